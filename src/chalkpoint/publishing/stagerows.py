"""The rows of a scene drawn on a sheet, a group a row: on a slide or in an SVG file, whichever sheet is given."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Protocol

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.exact import MINUS
from chalkpoint.publishing import layout
from chalkpoint.publishing.sentences import raised

__all__ = ["CHARACTER", "Measures", "Rows", "RulerDrawer", "Sheet"]

HEIGHT = layout.CELL_HEIGHT
RULER_LABEL = 48.0  # px
CHARACTER = 0.62  # width of a character, of its size
THREADS = {"kept": ("soft", 2.0, ""), "fallen": ("ink", 5.0, ""), "copied": ("change", 5.0, "sysDot")}
Data = JsonObject


class Sheet(Protocol):
    """What rows are drawn on; measures are px."""

    def open(self, name: str, words: str) -> None:
        """Start a group, with the words that stand for it."""

    def close(self) -> None:
        """End the group."""

    def line(
        self, x1: float, y1: float, x2: float, y2: float, colour: str, width: float, dash: str = ""
    ) -> None:
        """Draw a stroke."""

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
        """Draw a box, its edge, filled or hatched."""

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
        """Write runs of (text, kind) around the middle of a box; *name* is what an editor calls them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measures:
    """How large rows are drawn.

    u           px, the width of a cell
    left        px, where x is 0
    label       px, the size of labels
    weight      px, the size of place values
    line        how thick lines are, of those on a board
    digit       u, the size of a digit
    carry       px, the size of a carry
    held        u, the height of what the tray holds since an earlier step
    held_digit  u, the size of its digits
    value       px, the sizes of a row's decimal value and of what stands under it
    """

    u: float
    left: float
    label: float
    weight: float
    line: float
    digit: float
    carry: float
    held: float
    held_digit: float
    value: tuple[float, float]

    def height_of(self, row: Data) -> float:
        """Return how high a row is, in u, as `rails.typ` has it."""
        match row["kind"]:
            case "rail":
                return layout.CELL_HEIGHT
            case "carries":
                return layout.CARRY_HEIGHT
            case "held":
                return self.held
            case "threads":
                return layout.THREADS_HEIGHT
            case "names":
                return 1.5 * self.weight / self.u
            case "space":
                return float(row["height"])
        return 0.35 + 2.4 * self.weight / self.u


class Rows:
    """Draws rows on *sheet*; their places come in u and leave in px."""

    def __init__(self, sheet: Sheet, measures: Measures) -> None:
        self.sheet = sheet
        self.u = measures.u
        self.measures = measures

    def x(self, at: float) -> float:
        """Return where something stands, in px."""
        return self.measures.left + at * self.u

    def headings(self, names: list[tuple[float, str]], y: float) -> None:
        """Name the fields, in a line of words at *y*: narrow fields have less room than their names need."""
        named = sorted(names)
        rooms = [
            (right - left) * self.u / ((len(name) + 0.5) * CHARACTER)
            for (left, name), (right, _) in pairwise(named)
            if name != "sign"
        ]
        size = min([self.measures.label, *rooms])
        for x, name in named:
            at, anchor = self.x(x), "start"
            if name == "sign":  # wider than its column: it ends there, clear of the next name
                at, anchor = at + self.u - 400, "end"
            high = self.measures.label
            self.sheet.words(
                at, y, 400, high, [(name, "")], size, colour="soft", anchor=anchor, name="heading"
            )

    def draw(self, rows: list[Data], words: list[str], top: float) -> float:
        """Draw *rows* from *top* (px) down, each with its words, and return where they end."""
        y = top
        for row, said in zip(rows, words, strict=True):
            height = (row["gap"] + self.measures.height_of(row)) * self.u
            self.sheet.open(row["kind"], said)
            top, bottom = y, y + height
            y += row["gap"] * self.u
            match row["kind"]:
                case "rail":
                    self._rail(row, y)
                case "carries":
                    self._carries(row, y)
                case "held":
                    self._held(row, y)
                case "threads":
                    self._threads(row, y)
                case "weights":
                    self._weights(row, y)
                case "names":
                    for x, name in row["names"]:
                        size = self.measures.weight
                        wide = max(4 * self.u, len(name) * size)
                        at, runs = self.x(x) - wide / 2, [(name, "")]
                        self.sheet.words(at, y, wide, 1.4 * size, runs, size, colour="soft", anchor="middle")
            self.walls(row["wall"], top, bottom)
            self.sheet.close()
            y = bottom
        return y

    def floor(self, left: Data, y: float, words: str) -> float:
        """Draw bits left in the tray on its floor, and return where it ends."""
        self.sheet.open("tray", words)
        for cell in left["cells"]:
            self._cell(cell, y, soft=False)
        start, end = self.x(left["cells"][0]["x"]), self.x(left["cells"][-1]["x"] + 1)
        bottom = y + HEIGHT * self.u
        self.sheet.line(start, y, start, bottom, "ink", 5 * self.measures.line)
        self.sheet.line(start - self.u / 2, bottom, end, bottom, "ink", 8 * self.measures.line)
        self._label(left["label"], start - 0.7 * self.u, y + HEIGHT * self.u / 2, self.u)
        self.sheet.words(
            self.x(left["worth_at"]),
            y,
            900,
            HEIGHT * self.u,
            left["worth"],
            self.measures.label,
            colour="soft",
        )
        self.sheet.close()
        return bottom

    def walls(self, wall: Data | None, top: float, bottom: float) -> None:
        """Draw the walls of a tray."""
        if wall:
            self.sheet.line(
                self.x(wall["left"]), top, self.x(wall["left"]), bottom, "ink", 5 * self.measures.line
            )
            self.sheet.line(
                self.x(wall["right"]), top, self.x(wall["right"]), bottom, "rail", 2 * self.measures.line
            )

    def _label(self, text: str, right: float, middle: float, most: float) -> None:
        """Write a label, no larger than *most* px: labels of low rows must not run into each other."""
        if text:
            runs, size = [(raised(text), "")], min(self.measures.label, most)
            self.sheet.words(right - 1100, middle - 30, 1100, 60, runs, size, colour="soft", anchor="end")

    def _rail(self, row: Data, y: float) -> None:
        middle = y + HEIGHT * self.u / 2
        colour = "soft" if row["soft"] else "ink"
        self._label(row["label"], self.x(row["label_at"]), middle, self.u)
        if row["operator"]:
            self._centred(
                row["operator_at"],
                y,
                row["operator"],
                min(max(self.measures.label, 0.6 * self.u), 1.1 * self.u),
                "ink",
            )
        for cell in (*row["cells"], *row["exponent"]):
            self._cell(cell, y, soft=row["soft"])
        if row["exponent_text"]:
            self._number(row, y)
        if row["point"] is not None:
            wide, high = (side * self.u for side in layout.WEDGE)
            at, bottom = self.x(row["point"]), y + HEIGHT * self.u
            self.sheet.box(at - wide / 2, bottom - high, wide, high, fill=colour, shape="triangle")

        self._value(row, y)

    def _number(self, row: Data, y: float) -> None:
        """Draw an exponent that is not written in bits."""
        x, width, tall = self.x(row["exponent_at"]), row["exponent_width"] * self.u, HEIGHT * self.u
        moved, bar = row["exponent_moved"], layout.BAR * self.u
        self.sheet.box(x, y, width, tall, edge="rail", thick=2 * self.measures.line, dash="dash")
        if moved:
            self.sheet.box(x, y + tall - bar, width, bar, fill="change")
        self._centred(
            row["exponent_at"] + row["exponent_width"] / 2,
            y,
            row["exponent_text"],
            min(0.7, self.measures.digit) * self.u,
            "change" if moved else "soft" if row["soft"] else "ink",
            bold=moved,
        )

    def _value(self, row: Data, y: float) -> None:
        """Write a row's decimal value, and under it what was lost and how its exponent is stored."""
        if row["value"]:
            x, tall, (size, small) = self.x(row["value_at"]), HEIGHT * self.u, self.measures.value
            colour, under = "soft" if row["soft"] else "ink", row["lost_words"]
            high = tall - 1.2 * small if under else tall
            self.sheet.words(x, y, 1100, high, row["value"], size, colour=colour)
            if under:
                self.sheet.words(x, y + high - 0.1 * small, 1100, 1.2 * small, under, small, colour="soft")

    def _cell(self, cell: Data, y: float, *, soft: bool) -> None:
        x, u, tall = self.x(cell["x"]), self.u, HEIGHT * self.u
        colour, bold, line = "soft" if soft else "ink", cell["changed"], self.measures.line
        match cell["kind"]:
            case "dropped":
                self._digit(cell, y, "soft")
                self.sheet.line(x + 0.12 * u, y + 0.85 * u, x + 0.88 * u, y + 0.45 * u, "ink", 0.07 * u)
                return
            case "lost":
                self.sheet.box(x, y, u, tall, edge="rail", thick=2 * line, hatched=True)
                self.sheet.box(
                    x + 0.2 * u, y + 0.2 * u, 0.6 * u, tall - 0.4 * u, fill="paper", shape="roundRect"
                )
                bold = True
            case "extra":
                self.sheet.box(x, y, u, tall, edge="rail", thick=2 * line, dash="dash")
            case _:
                self.sheet.box(x, y, u, tall, edge="hair", thick=2 * line)
                if not cell["changed"] and not soft and cell["lined"]:
                    self.sheet.line(x, y + tall, x + u, y + tall, "rail", 4 * line)
        if cell["changed"]:
            bar = layout.BAR * u
            self.sheet.box(x, y + tall - bar, u, bar, fill="change")
            colour = "change"
        if cell["copied"]:
            self.sheet.line(x + u / 2, y - 0.16 * u, x + u / 2, y + 0.14 * u, "change", 0.07 * u)
        if cell["edge"] or cell["start"]:
            side = x + u if cell["edge"] else x
            self.sheet.line(side, y, side, y + tall, "hair" if soft else "rail", 2 * line)
        if cell["wall"]:
            self.sheet.line(x, y, x, y + tall, "ink", 5 * line)
        self._digit(cell, y, colour, bold=bold)

    def _digit(self, cell: Data, y: float, colour: str, *, bold: bool = False) -> None:
        if cell["digit"]:
            size = self.measures.digit * self.u
            self._centred(cell["x"] + 0.5, y, cell["digit"], size, colour, bold=bold)

    def _centred(
        self,
        x: float,
        y: float,
        text: str,
        size: float,
        colour: str,
        *,
        bold: bool = False,
    ) -> None:
        wide, tall = max(self.u, len(text) * size), HEIGHT * self.u
        left, runs = self.x(x) - wide / 2, [(text, "")]
        self.sheet.words(left, y, wide, tall, runs, size, colour=colour, anchor="middle", bold=bold)

    def _carries(self, row: Data, y: float) -> None:
        tall = layout.CARRY_HEIGHT * self.u
        self._label(row["label"], self.x(row["label_at"]), y + tall / 2, 1.2 * tall)
        for cell in row["cells"]:
            runs = [(cell["digit"], "")]
            size = self.measures.carry
            self.sheet.words(
                self.x(cell["x"]), y, self.u, tall, runs, size, colour="change", anchor="middle", bold=True
            )

    def _held(self, row: Data, y: float) -> None:
        """Draw what the tray holds since an earlier step."""
        u, tall = self.u, self.measures.held * self.u
        self._label(row["label"], self.x(row["label_at"]), y + tall / 2, 1.05 * tall)
        for cell in row["cells"]:
            x, runs = self.x(cell["x"]), [(cell["digit"], "")]
            self.sheet.box(x, y, u, tall, hatched=True)
            self.sheet.box(
                x + 0.2 * u, y + 0.05 * u, 0.6 * u, tall - 0.1 * u, fill="paper", shape="roundRect"
            )
            self.sheet.words(
                x, y, u, tall, runs, self.measures.held_digit * u, colour="soft", anchor="middle"
            )

    def _threads(self, row: Data, y: float) -> None:
        tall = layout.THREADS_HEIGHT * self.u
        for thread in row["threads"]:
            colour, width, dash = THREADS[thread["kind"]]
            self.sheet.line(
                self.x(thread["x1"]),
                y + thread["y1"] * tall,
                self.x(thread["x2"]),
                y + thread["y2"] * tall,
                colour,
                width * self.measures.line,
                dash,
            )

    def _weights(self, row: Data, y: float) -> None:
        size, top = self.measures.weight, y + 0.1 * self.u
        self._label(row["label"], self.x(row["label_at"]), top + size, 1.5 * size)
        weights = sorted(row["weights"], key=lambda weight: float(weight["x"]))
        fits = [
            2 * (right["x"] - left["x"]) * self.u / (CHARACTER * (_characters(left) + _characters(right)))
            for left, right in pairwise(weights)
        ]
        largest = dict(
            zip((weight["x"] for weight in weights), map(min, [*fits, size], [size, *fits]), strict=True)
        )
        for weight in row["weights"]:
            size = min(self.measures.weight, largest[weight["x"]])
            runs = [(weight["top"], "soft")]
            if weight["power"]:
                runs.append((weight["power"], "power"))
            middle = self.x(weight["x"])
            wide = max(2 * self.u, _characters(weight) * size)
            self.sheet.words(
                middle - wide / 2, top, wide, 1.3 * size, runs, size, colour="soft", anchor="middle"
            )
            if weight["bottom"]:
                half = CHARACTER / 2 * len(weight["bottom"]) * size
                self.sheet.line(
                    middle - half,
                    top + 1.35 * size,
                    middle + half,
                    top + 1.35 * size,
                    "soft",
                    2 * self.measures.line,
                )
                below = [(weight["bottom"], "soft")]
                self.sheet.words(
                    middle - wide / 2,
                    top + 1.4 * size,
                    wide,
                    1.3 * size,
                    below,
                    size,
                    colour="soft",
                    anchor="middle",
                )


def _characters(weight: Data) -> float:
    """Return how many characters wide a place value is; a minus is wider than a digit."""
    top = weight["top"] + weight["power"]
    return float(max(len(top) + 0.4 * top.count(MINUS), len(weight["bottom"])))


class RulerDrawer:
    """Draws the ruler of a check; *u* is px."""

    def __init__(self, sheet: Sheet, u: float) -> None:
        self.sheet = sheet
        self.u = u

    def draw(self, plan: Data, words: str, left: float, top: float) -> None:
        """Draw the ruler whose plan this is."""
        self.sheet.open("ruler", words)
        x, y, width, height = plan["gap"]
        at = (left + x * self.u, top + y * self.u)
        self.sheet.box(*at, width * self.u, height * self.u, edge="ink", hatched=True)
        for (x1, y1, x2, y2), thick in [(plan["line"], 4), *((tick, 2) for tick in plan["ticks"])]:
            start, end = (left + x1 * self.u, top + y1 * self.u), (left + x2 * self.u, top + y2 * self.u)
            self.sheet.line(*start, *end, "ink", thick)
        for x, y, anchor, runs in plan["captions"]:
            shift = {"start": 0, "middle": 250, "end": 500}[anchor]
            below = 0.45 if y > layout.RULER_HEIGHT else 0.0  # what a step is, clear of the values
            at = (left + x * self.u - shift, top + (y + below) * self.u - 34)
            self.sheet.words(*at, 500, 44, runs, RULER_LABEL, anchor=anchor)
        self.sheet.close()
