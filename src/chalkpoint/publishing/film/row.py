"""A row of cells with its label, its point and its value."""

from __future__ import annotations

from dataclasses import dataclass

from chalkpoint.publishing.film.lettering import CAP, WIDTH, Pen, fitting, powered

__all__ = ["Cell", "Row"]


@dataclass(frozen=True, slots=True)
class Cell:
    """One digit of a row, its left edge at *x*.

    style    "kept", "changed", "copied" from the sign, "lost", "dropped", "extra" or "marked"
    column   the scene's column; exponent and sign fields count from 1000 and -1000
    edge     whether it has a darker edge on its right
    start    whether it has one on its left
    """

    x: float
    digit: str
    style: str
    column: int
    edge: bool = False
    start: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A row of cells, *y* its top, *h* its height, *u* a cell's width; tall while it is worked on, thin when done.

    text  an exponent that is not written in bits: (left edge, width, number)
    """

    label: str
    cells: tuple[Cell, ...]
    y: float
    h: float
    u: float
    label_x: float
    value: str = ""
    value_x: float = 0
    value_below: bool = False
    aside: str = ""
    point: float | None = None
    operator: str = ""
    operator_at: float = 0.0
    text: tuple[float, float, str] | None = None
    soft: bool = False
    tall: bool = True
    words: str = ""
    a: float = 1

    @property
    def size(self) -> float:
        """The size of its digits."""
        return min(0.6 * self.h if self.tall else 0.64 * self.h, 0.76 * self.u)

    def draw(self, pen: Pen) -> None:
        """Draw every cell, the point, the label and the value."""
        if self.a < 0.05:
            return
        for cell in self.cells:
            self._cell(pen, cell)
        lost = [cell for cell in self.cells if cell.style == "lost"]
        if lost:
            pen.box(lost[0].x - 2, self.y, 5, self.h, "ink")
        tone = "soft" if self.soft else "ink"
        if self.point is not None:
            wide = max(12.0, min(0.4 * self.u, 0.34 * self.h))
            pen.wedge(self.point - wide / 2, self.y + self.h - wide, wide, wide, tone)
        middle = self.y + self.h / 2
        if self.text is not None:
            x, w, number = self.text
            for edge in (self.y, self.y + self.h - 2):
                pen.box(x, edge, w, 2, "rail", self.a)
            pen.text(
                (x + w / 2, middle + CAP * self.size), number, self.size, tone, anchor="middle", a=self.a
            )
        if self.operator:
            pen.text(
                (self.operator_at, middle + CAP * self.size),
                self.operator,
                self.size,
                anchor="middle",
                a=self.a,
            )
        self._words(pen, middle, tone)

    def _words(self, pen: Pen, middle: float, tone: str) -> None:
        label, room = (
            min(32.0 if self.tall else 28.0, (0.36 if self.value_below and self.tall else 0.62) * self.h),
            self.label_x - 16,
        )
        label = fitting(self.label, room, label, 18)
        below = bool(self.value) and self.value_below and self.tall
        shift = -0.55 * label if below else 0
        pen.text(
            (self.label_x, middle + 0.36 * label + shift),
            powered(self.label),
            label,
            "soft",
            anchor="end",
            a=self.a,
        )
        if not self.value:
            return
        if self.value_below:
            if below:
                size = fitting(self.value, room, min(30, 0.34 * self.h), 16)
                pen.text(
                    (self.label_x, middle + label), powered(self.value), size, tone, anchor="end", a=self.a
                )
            return
        room = WIDTH - 24 - self.value_x
        size = fitting(self.value, room, 40 if self.tall else 34, 18)
        pen.text((self.value_x, middle + CAP * size), powered(self.value), size, tone, a=self.a)
        if self.aside and self.tall:
            small = fitting(self.aside, room, 30, 16)
            pen.text((self.value_x, middle + CAP * size + 40), self.aside, small, "soft", a=self.a)

    def _cell(self, pen: Pen, cell: Cell) -> None:
        x, y, u, h, a = cell.x, self.y, self.u, self.h, self.a
        base, colour, bold = y + h / 2 + CAP * self.size, "soft" if self.soft else "ink", False
        if cell.style == "dropped":
            pen.text((x + u / 2, base), cell.digit, self.size, "soft", anchor="middle", a=a)
            pen.stroke((x + 0.14 * u, y + 0.72 * h, x + 0.86 * u, y + 0.3 * h), max(3, 0.055 * u), "ink", a)
            return
        lost = cell.style == "lost"
        if lost:
            pen.hatch(x, y, u, h)
            pen.box(x + 0.22 * u, y + 0.14 * h, 0.56 * u, 0.72 * h, "paper")
        edge = "rail" if lost or cell.style == "extra" else "hair"
        pen.box(x, y, u, 2, edge, a)
        pen.box(
            x, y + h - (3 if self.tall else 2), u, 3 if self.tall else 2, edge if self.soft else "rail", a
        )
        pen.box(x + u - 2, y, 2, h, "rail" if cell.edge or lost else "hair", a)
        if cell.start:
            pen.box(x, y, 2, h, "rail", a)
        if cell.style in {"changed", "copied"} and cell.digit:
            bar = max(4, 0.1 * h)
            pen.box(x, y + h - bar, u - 1, bar, "change", a)
            colour = "change"
        if cell.style == "marked":
            pen.box(x, y, u, 6, "change", a)
            pen.box(x, y + h - 8, u, 8, "change", a)
            colour = "change"
        if cell.style == "copied" and self.tall and cell.digit:
            pen.box(x + u / 2 - 3, y - 12, 6, 24, "change", a)
        bold = cell.style in {"changed", "copied", "lost", "marked"}
        pen.text((x + u / 2, base), cell.digit, self.size, colour, bold=bold, anchor="middle", a=a)
