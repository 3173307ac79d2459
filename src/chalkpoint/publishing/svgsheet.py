"""The sheet of an SVG drawing: boxes, strokes and words of rows, put down by its pen."""

from __future__ import annotations

from chalkpoint.publishing import layout
from chalkpoint.publishing.layout import Line
from chalkpoint.publishing.stagerows import Measures
from chalkpoint.publishing.svgpen import Box, Pen

__all__ = ["VALUE", "WEIGHT", "SvgSheet", "U", "svg_measures"]

U = 36.0  # px, the width of a cell
WEIGHT = 12.0  # px, the size of place values
VALUE = 18.0, 13.0  # px, the size of a decimal value, of what stands under it
RISE = 0.36  # of the size of words, from the middle of their line down to their baseline


def svg_measures(left: float) -> Measures:
    """Return the measures of a drawing's rows, from *left* px."""
    return Measures(
        u=U,
        left=left,
        label=13,
        weight=WEIGHT,
        line=0.5,
        digit=layout.DIGIT,
        carry=layout.CARRY_DIGIT * U,
        held=layout.HELD_HEIGHT,
        held_digit=layout.DIGIT,
        value=VALUE,
    )


class SvgSheet:
    """Draws with *pen* what `stagerows.Rows` asks for."""

    def __init__(self, pen: Pen) -> None:
        self.pen = pen

    def open(self, name: str, words: str) -> None:
        """Groups need no marks: the words of the whole drawing stand in its description."""

    def close(self) -> None:
        """End a group."""

    def line(
        self, x1: float, y1: float, x2: float, y2: float, colour: str, width: float, dash: str = ""
    ) -> None:
        """Draw a stroke."""
        self.pen.line(Line(x1, y1, x2, y2), colour, width, dashed=bool(dash))

    def box(
        self,
        x: float,
        y: float,
        width: float,
        height: float,
        *,
        edge: str = "",
        thick: float = 2,
        dash: str = "",
        fill: str = "",
        hatched: bool = False,
        shape: str = "rect",
    ) -> None:
        """Draw a box, its edge, filled or hatched; a triangle is the point."""
        if shape == "triangle":
            self.pen.wedge(x + width / 2, y + height, width, height, fill)
            return
        box = Box(x, y, width, height)
        if fill:
            self.pen.box(box, fill, fill=True)
        if hatched:
            for stroke in layout.hatch(x, y, width, height, layout.STROKE_GAP * U):
                self.pen.line(stroke, "rail" if edge else "hair", 1)
        if edge:
            self.pen.box(box, edge, dashed=bool(dash))

    def words(
        self,
        x: float,
        y: float,
        width: float,
        height: float,
        runs: list[tuple[str, str]],
        size: float,
        *,
        colour: str = "ink",
        anchor: str = "start",
        bold: bool = False,
        name: str = "words",
    ) -> None:
        """Write in a box; what is to be raised is told to the pen by a caret."""
        text = "".join(f"^{part}" if kind == "power" else part for part, kind in runs)
        at = x + {"start": 0.0, "middle": width / 2, "end": width}[anchor]
        self.pen.words(at, y + height / 2 + RISE * size, text, size, colour=colour, anchor=anchor, bold=bold)
