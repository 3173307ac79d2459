"""What stands on a page of 1920 by 1080: rows, words, pointer, threads, walls, number line, each drawn by any pen."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Protocol, TypeAlias

__all__ = [
    "Band",
    "Bit",
    "Cell",
    "Chunk",
    "Countdown",
    "Item",
    "Ledge",
    "NumberLine",
    "Pen",
    "Row",
    "Rules",
    "Strokes",
    "Walls",
    "Words",
    "faded",
    "fitting",
    "mixed",
    "text_width",
]

WIDTH, HEIGHT = 1920, 1080
CAP = 0.365  # from the middle of a digit down to its baseline, of its size
CHARACTER = 0.62  # width of a character of a label, of its size


class Pen(Protocol):
    """Draws in px from the top left, in the colours of the look, by name; *a* is how much covers what is below."""

    def box(self, x: float, y: float, w: float, h: float, colour: str, a: float = 1) -> None:
        """Fill a box."""

    def hatch(self, x: float, y: float, w: float, h: float) -> None:
        """Fill a box with strokes."""

    def wedge(self, x: float, y: float, w: float, h: float, colour: str) -> None:
        """Draw a triangle that points up."""

    def stroke(
        self, ends: tuple[float, float, float, float], thick: float, colour: str, a: float = 1
    ) -> None:
        """Draw a straight stroke from (x1, y1) to (x2, y2)."""

    def text(
        self,
        at: tuple[float, float],
        text: str,
        size: float,
        colour: str = "ink",
        *,
        bold: bool = False,
        anchor: str = "start",
        a: float = 1,
    ) -> None:
        """Write on a baseline; *anchor* is "start", "middle" or "end"."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One digit of a row, its left edge at *x*.

    style    "kept", "changed", "copied" from the sign, "lost", "dropped", "extra" or "marked"
    column   the scene's column; exponent and sign fields count from 1000 and -1000
    edge     whether a darker edge stands on its right
    start    whether one stands on its left
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
        powered(pen, (self.label_x, middle + 0.36 * label + shift), self.label, label, "soft", "end", self.a)
        if not self.value:
            return
        if self.value_below:
            if below:
                size = fitting(self.value, room, min(30, 0.34 * self.h), 16)
                powered(pen, (self.label_x, middle + label), self.value, size, tone, "end", self.a)
            return
        room = WIDTH - 24 - self.value_x
        size = fitting(self.value, room, 40 if self.tall else 34, 18)
        powered(pen, (self.value_x, middle + CAP * size), self.value, size, tone, a=self.a)
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Bit:
    """One digit on its own, its middle at (x, y)."""

    digit: str
    x: float
    y: float
    size: float
    colour: str = "change"
    a: float = 1

    def draw(self, pen: Pen) -> None:
        """Draw the digit."""
        base = self.y + CAP * self.size
        pen.text((self.x, base), self.digit, self.size, self.colour, bold=True, anchor="middle", a=self.a)


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """Runs of words on one baseline: (text, "bold", "soft", "change" or ""), *x* where they are anchored."""

    runs: tuple[tuple[str, str], ...]
    x: float
    y: float
    size: float = 32
    anchor: str = "start"
    a: float = 1

    def draw(self, pen: Pen) -> None:
        """Write them one after the other; only a single run can be anchored elsewhere than at its start."""
        x = self.x
        for text, kind in self.runs:
            colour = kind if kind in {"soft", "change"} else "ink"
            bold = kind in {"bold", "change"}
            pen.text((x, self.y), text, self.size, colour, bold=bold, anchor=self.anchor, a=self.a)
            x += text_width(text, self.size, bold=bold)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """Place values or names under or over columns: (middle, upper text, lower text or "", power or "")."""

    label: str
    marks: tuple[tuple[float, str, str, str], ...]
    y: float
    label_x: float
    size: float = 32
    a: float = 1

    def draw(self, pen: Pen) -> None:
        """Write them; a lower text stands under a line."""
        size = self.size
        pen.text((self.label_x, self.y + size), self.label, size, "soft", anchor="end", a=self.a)
        for x, upper, lower, power in self.marks:
            pen.text((x, self.y + size), upper, size, "soft", anchor="middle", a=self.a)
            if power:
                right = x + text_width(upper, size) / 2
                pen.text((right, self.y + 0.62 * size), power, 0.66 * size, "soft", a=self.a)
            if lower:
                half = text_width(lower, size) / 2 + 3
                pen.box(x - half, self.y + 1.28 * size, 2 * half, 2, "soft", self.a)
                pen.text((x, self.y + 2.2 * size), lower, size, "soft", anchor="middle", a=self.a)


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """The pointer: the column that is worked on, *x* its left edge."""

    x: float
    y: float
    w: float
    h: float

    def draw(self, pen: Pen) -> None:
        """Draw the band and its arrow."""
        pen.box(self.x + 2, self.y, self.w - 5, self.h, "band")
        pen.wedge(self.x + self.w / 2 - 16, self.y + self.h + 4, 32, 28, "change")


@dataclass(frozen=True, slots=True, kw_only=True)
class Strokes:
    """Ways of digits between two rows: (x1, x2, kind)."""

    ways: tuple[tuple[float, float, str], ...]
    y: float
    h: float
    a: float = 1

    def draw(self, pen: Pen) -> None:
        """Draw each: kept thin, fallen thick, copied in the colour of change."""
        looks = {"kept": (3, "soft"), "fallen": (5, "ink"), "copied": (3, "change")}
        for x1, x2, kind in self.ways:
            thick, colour = looks[kind]
            pen.stroke((x1, self.y, x2, self.y + self.h), thick, colour, self.a)


@dataclass(frozen=True, slots=True, kw_only=True)
class Walls:
    """The tray's walls from the row that lost something down; at the check they have a floor."""

    x: float
    y: float
    w: float
    h: float
    floor: bool = False

    def draw(self, pen: Pen) -> None:
        """Draw the heavy left wall, the thin right one, the floor."""
        if self.h <= 0:
            return
        pen.box(self.x - 2, self.y, 5, self.h, "ink")
        pen.box(self.x + self.w - 2, self.y, 2, self.h, "rail")
        if self.floor:
            pen.box(self.x - 2, self.y + self.h, self.w + 4, 8, "ink")


@dataclass(frozen=True, slots=True, kw_only=True)
class Chunk:
    """Lost bits as one hatched piece: in the tray, or laid on the number line."""

    digits: str
    x: float
    y: float
    w: float
    h: float

    def draw(self, pen: Pen) -> None:
        """Draw its edge, the hatch and as many digits as have room."""
        w = max(3.0, self.w)
        pen.box(self.x, self.y, w, self.h, "paper")
        pen.hatch(self.x, self.y, w, self.h)
        for edge in (0.0, self.h - 3):
            pen.box(self.x, self.y + edge, w, 3, "ink")
        for side in (0.0, w - 3):
            pen.box(self.x + side, self.y, 3, self.h, "ink")
        each = w / max(1, len(self.digits))
        size = min(46.0, 0.66 * self.h, 0.9 * each)
        if size < 14:
            return
        for at, digit in enumerate(self.digits):
            middle = self.x + each * (at + 0.5)
            pen.box(middle - 0.36 * size, self.y + 0.14 * self.h, 0.72 * size, 0.72 * self.h, "paper")
            base = self.y + self.h / 2 + CAP * size
            pen.text((middle, base), digit, size, bold=True, anchor="middle")


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberLine:
    """A number line: *ticks* at x, and marks (x, where words are anchored, name, value, bold)."""

    x: float
    w: float
    y: float
    ticks: tuple[float, ...]
    marks: tuple[tuple[float, str, str, str, bool], ...]
    scale: str = ""
    a: float = 1

    def draw(self, pen: Pen) -> None:
        """Draw the line, ticks below it, names and values under them."""
        pen.box(self.x, self.y, self.w, 4, "ink", self.a)
        for x in self.ticks:
            pen.box(x - 1, self.y, 3, 16, "ink", self.a)
        for x, anchor, name, value, bold in self.marks:
            pen.box(x - 2, self.y - 6, 5, 32, "ink", self.a)
            room = x - 30 if anchor == "end" else WIDTH - 30 - x
            size = fitting(value, room, 38, 18)
            pen.text((x, self.y + 66), value, size, bold=bold, anchor=anchor, a=self.a)
            pen.text((x, self.y + 104), name, 30, "soft", anchor=anchor, a=self.a)
        if self.scale:
            pen.text((self.x + self.w, self.y - 22), self.scale, 26, "soft", anchor="end", a=self.a)


@dataclass(frozen=True, slots=True, kw_only=True)
class Countdown:
    """What the class thinks about, and a bar that runs out: *left* of 1."""

    text: str
    left: float
    x: float = 80
    y: float = 908
    w: float = 1200

    def draw(self, pen: Pen) -> None:
        """Write the question above its bar."""
        size = fitting(self.text, WIDTH - 160, 40, 26)
        pen.box(0, self.y - 48, WIDTH, 90, "paper")
        pen.text((self.x, self.y), self.text, size, "change", bold=True)
        pen.box(self.x, self.y + 18, self.w, 8, "hair")
        if self.left > 0:
            pen.box(self.x, self.y + 18, max(1, self.w * self.left), 8, "change")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledge:
    """The strip at the foot that is kept for captions."""

    y: float

    def draw(self, pen: Pen) -> None:
        """Fill it."""
        pen.box(0, self.y, WIDTH, HEIGHT - self.y, "ledge")


Item: TypeAlias = Row | Bit | Words | Rules | Band | Strokes | Walls | Chunk | NumberLine | Countdown | Ledge
MOVING = frozenset({"x", "y", "w", "h", "size", "a"})


def mixed(one: Item, other: Item, t: float) -> Item:
    """Return *other* on its way from *one*, at *t* from 0 to 1."""
    if type(one) is not type(other):
        return other
    between = {}
    for field in fields(other):
        if field.name in MOVING:
            start, end = getattr(one, field.name), getattr(other, field.name)
            if start != end:
                between[field.name] = start + (end - start) * t
    return replace(other, **between) if between else other


def faded(item: Item, a: float) -> Item:
    """Return *item* as it comes into sight; what cannot be seen through is there at once."""
    if isinstance(item, Band | Walls | Chunk | Countdown | Ledge):
        return item
    return replace(item, a=a)


def powered(
    pen: Pen,
    at: tuple[float, float],
    text: str,
    size: float,
    colour: str,
    anchor: str = "start",
    a: float = 1,
) -> None:
    """Write *text*, its powers such as "2^\u22127" raised."""
    base, caret, power = text.partition("^")
    if not caret:
        pen.text(at, text, size, colour, anchor=anchor, a=a)
        return
    small, x = 0.66 * size, at[0]
    if anchor == "end":
        x -= text_width(base, size) + text_width(power, small)
    pen.text((x, at[1]), base, size, colour, a=a)
    pen.text((x + text_width(base, size), at[1] - 0.38 * size), power, small, colour, a=a)


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Return about how wide *text* is, in px: what every pen agrees on."""
    return sum(_WIDE.get(letter, 0.636) for letter in text) * size * (1.1 if bold else 1)


_WIDE = (
    dict.fromkeys(" .,", 0.32)
    | dict.fromkeys("ijlI", 0.28)
    | dict.fromkeys("csz", 0.53)
    | dict.fromkeys("kvxy", 0.59)
    | dict.fromkeys("aeo", 0.613)
    | dict.fromkeys("mwMW", 0.95)
    | dict.fromkeys("+\u2212=\u2248\u00d7\u00f7", 0.84)
    | dict.fromkeys("()", 0.39)
    | {":": 0.34, "t": 0.39, "f": 0.35, "r": 0.41}
)


def fitting(text: str, room: float, largest: float, smallest: float) -> float:
    """Return the largest size at which *text* is no wider than *room*.

    >>> fitting("5.25", 400, 40, 18)
    40
    """
    wide = text_width(text, largest)
    return largest if wide <= room else max(smallest, int(largest * room / wide))
