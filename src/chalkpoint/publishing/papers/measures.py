"""How large things are on a paper: one look a kind of printing, in millimetres and points."""

from __future__ import annotations

from dataclasses import dataclass

from chalkpoint.numbers.families import FLOATING
from chalkpoint.numbers.named import AnyFormat
from chalkpoint.publishing.papers.metrics import Setting
from chalkpoint.setting.asking import Printing

__all__ = ["LEFT", "TRAY", "Sheet", "has_tray", "sheet_for"]

TRAY = 4  # boxes for lost bits, always: their number tells nothing
LEFT = 18.0  # mm, the margin at both sides
LABELS, LABELS_SCANNED = 31.0, 23.5  # mm, before the first box
GAP = 1.0  # mm, between the boxes of a sheet that is read by machine: a stroke over an edge is then no neighbour's
FOOT = 37.0  # mm above the lower edge: no question reaches below it
TINTS = {"none": "#ffffff", "cream": "#fdf6df", "blue": "#e6f1fa", "green": "#e8f4e6", "rose": "#fbe9ec"}


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet of paper as it is printed; lengths in mm.

    paper   typst's name of the size
    page    its width and height
    labels  room for a row's label
    box     width of a box to write in, the same on the whole paper
    height  height of a box
    scale   of every size of type
    wide    whether letters, words and lines stand further apart
    tint    colour of the page
    scan    whether the filled sheet is read by machine
    gap     between two boxes of a row
    """

    paper: str
    page: tuple[float, float]
    labels: float
    box: float
    height: float
    scale: float
    wide: bool
    tint: str
    scan: bool = False
    gap: float = 0.0

    @property
    def width(self) -> float:
        """The width of the type."""
        return self.page[0] - 2 * LEFT

    @property
    def right(self) -> float:
        """Where the type ends."""
        return self.page[0] - LEFT

    @property
    def first_box(self) -> float:
        """Where the first box of every row stands."""
        return LEFT + self.labels

    @property
    def pitch(self) -> float:
        """From the left edge of a box to that of the next."""
        return self.box + self.gap

    def span(self, boxes: int) -> float:
        """Return how wide *boxes* side by side are."""
        return boxes * self.pitch - self.gap

    @property
    def line_pitch(self) -> float:
        """From one line of a row that takes several to the next."""
        return self.height + (2.5 if self.scan else 1.5)

    @property
    def carry(self) -> float:
        """The height of a row for carries, with the space between it and the boxes below."""
        return 5.0 * self.scale + max(0.4 * self.scale, self.gap)

    @property
    def room(self) -> float:
        """The width that the boxes of a row may take."""
        return self.right - self.first_box - 8.0 * self.scale

    @property
    def bottom(self) -> float:
        """Where a question ends at the latest."""
        return self.page[1] - FOOT

    def type(self, size: float, *, bold: bool = False) -> Setting:
        """Return type of *size* pt at this sheet's scale."""
        return Setting(size * self.scale, bold=bold, wide=self.wide)


def has_tray(fmt: AnyFormat) -> bool:
    """Tell whether rows of *fmt* have boxes for the bits that an alignment loses."""
    return fmt.family == FLOATING and fmt.plain


def sheet_for(printing: Printing) -> Sheet:
    """Return the sheet a blueprint asks for.

    >>> usual, large = sheet_for(Printing()), sheet_for(Printing(text="large"))
    >>> (usual.box, usual.first_box), (large.box, large.scale)
    ((8.0, 49.0), (10.0, 1.4))
    """
    large = printing.text == "large"
    labels = LABELS_SCANNED if printing.scan else LABELS
    paper, page = ("a4", (210.0, 297.0)) if printing.paper == "A4" else ("us-letter", (215.9, 279.4))
    return Sheet(
        paper,
        page,
        40.0 if large else labels,
        10.0 if large else 8.0,
        11.5 if large else 9.0,
        1.4 if large else 1.0,
        printing.spacing == "wide",
        TINTS[printing.tint],
        printing.scan,
        GAP if printing.scan else 0.0,
    )
