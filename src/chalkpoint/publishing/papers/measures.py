"""How large things are on a paper: one look a kind of printing, in millimetres and points."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.setting.asking import Printing
from chalkpoint.setting.cards import named_fields

__all__ = ["GAP", "TRAY", "Sheet", "has_tray", "sheet_for"]

TRAY = 4  # boxes for lost bits, always: their number tells nothing
GAP = 0.5  # u, between tray and exponent
MARK = 11.0  # mm, for "[1]" at the right
LEAST_U = 6.0  # mm: where a row would make boxes smaller, the exponent stands under its mantissa
TINTS = {"none": "#ffffff", "cream": "#fdf6df", "blue": "#e6f1fa", "green": "#e8f4e6", "rose": "#fbe9ec"}


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet of paper as it is printed.

    paper    typst's name of the size
    width    of the type, in mm
    box      width of a box to write in, in mm
    scale    of every size of type
    wide     whether letters, words and lines stand further apart
    tint     colour of the page
    """

    paper: str
    width: float
    box: float
    scale: float
    wide: bool
    tint: str

    @property
    def labels(self) -> float:
        """Room for a row's label, in mm."""
        return 27.0 * self.scale

    def stacks(self, fmt: Any) -> bool:
        """Tell whether the fields stand under each other; a sign stays with what follows it."""
        fields = named_fields(fmt)
        columns = sum(columns_of(field, fmt) for field in fields) + GAP * (len(fields) - 1)
        return len(fields) > 1 and self._room / columns < min(self.box, LEAST_U * self.scale)

    def u(self, fmt: Any) -> float:
        """Return the width of a box, in mm: the usual one, less where a row is long."""
        columns = [columns_of(field, fmt) for field in named_fields(fmt)]
        wide = max(columns) if self.stacks(fmt) else sum(columns) + GAP * (len(columns) - 1)
        return min(self.box, self._room / wide)

    @property
    def _room(self) -> float:
        return self.width - self.labels - MARK * self.scale


def has_tray(fmt: Any) -> bool:
    """Tell whether rows of *fmt* have boxes for the bits that an alignment loses."""
    return isinstance(fmt, FloatFormat) and fmt.plain


def columns_of(field: tuple[str, int], fmt: Any) -> int:
    """Return the columns of a field, with those of the tray behind a mantissa."""
    name, bits = field
    return bits + (TRAY if name == "mantissa" and has_tray(fmt) else 0)


def sheet_for(printing: Printing) -> Sheet:
    """Return the sheet a blueprint asks for.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> usual, large = sheet_for(Printing()), sheet_for(Printing(text="large"))
    >>> usual.u(parse_format("8+4")), large.stacks(parse_format("8+4"))
    (8.0, True)
    """
    large = printing.text == "large"
    paper, width = ("a4", 210.0) if printing.paper == "A4" else ("us-letter", 215.9)
    return Sheet(
        paper,
        width - 36.0,
        9.0 if large else 8.0,
        1.4 if large else 1.0,
        printing.spacing == "wide",
        TINTS[printing.tint],
    )
