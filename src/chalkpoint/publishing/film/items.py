"""The things on a page of 1920 by 1080: rows, words, pointer, threads, walls, number line, each drawn by any pen."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import TypeAlias

from chalkpoint.publishing.film.lettering import CAP, HEIGHT, WIDTH, Pen, fitting, powered, text_width
from chalkpoint.publishing.film.row import Row

__all__ = [
    "Band",
    "Bit",
    "Chunk",
    "Countdown",
    "Item",
    "Ledge",
    "NumberLine",
    "Rules",
    "Strokes",
    "Walls",
    "Words",
    "faded",
    "mixed",
]


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
        """Write them one after the other, powers raised; only one run alone can end or be centred at *x*."""
        x = self.x
        for text, kind in self.runs:
            colour = kind if kind in {"soft", "change"} else "ink"
            bold = kind in {"bold", "change"}
            pen.text((x, self.y), powered(text), self.size, colour, bold=bold, anchor=self.anchor, a=self.a)
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
        """Write them; a lower text goes under a line."""
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
        pen.wedge(self.x + self.w / 2 - 14, self.y + self.h + 2, 28, 20, "change")


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


LEAN = 7  # px, of words that lean away from each other


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
            at = x + {"start": LEAN, "end": -LEAN}.get(anchor, 0)
            pen.text((at, self.y + 66), value, size, bold=bold, anchor=anchor, a=self.a)
            pen.text((at, self.y + 104), name, 30, "soft", anchor=anchor, a=self.a)
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
