"""The rows of a scene in SVG: each is drawn with its top at *y* and says where the next one starts."""

from __future__ import annotations

from typing import Unpack

from chalkpoint.publishing import layout
from chalkpoint.publishing.layout import Grid, Line
from chalkpoint.publishing.parts import (
    Carries,
    Cell,
    Held,
    Item,
    Left,
    Names,
    PlaceValues,
    Rail,
    Scene,
    Threads,
    Tray,
    Weight,
)
from chalkpoint.publishing.svgpen import Box, Pen, Setting

__all__ = ["Rows", "U"]

U = 36.0  # px, the width of a cell
HEIGHT = layout.CELL_HEIGHT * U
BEFORE_VALUE = 24.0
NAMES_HEIGHT = 17.0
BAR = layout.BAR * U
LABEL_SIZE, VALUE_SIZE, WEIGHT_SIZE = 13.0, 18.0, 12.0
THREADS = {"kept": ("soft", 1.25), "fallen": ("ink", 2.0), "copied": ("change", 2.0)}  # colour, width


class Rows:
    """Draws rows; *left* is the left edge of their grid."""

    def __init__(self, pen: Pen, scene: Scene, grid: Grid, left: float) -> None:
        self.pen = pen
        self.scene = scene
        self.grid = grid
        self.left = left
        self.sign_at = left + (grid.sign_at + max(0, scene.sign - 1)) * U
        self.value_at = left + grid.width * U + BEFORE_VALUE

    def x(self, column: int) -> float:
        """Return the left edge of a mantissa column."""
        return self.left + self.grid.x(column) * U

    def exponent_at(self, *, first: bool) -> float:
        """Return the left edge of the exponent on one side of the mantissa."""
        return self.left + (self.grid.before_at if first else self.grid.exponent_at) * U

    def draw(self, item: Item, y: float) -> float:
        """Draw *item* and return where it ends."""
        match item:
            case Rail():
                self._rail(item, y)
                return y + HEIGHT
            case Carries():
                self._carries(item, y)
                return y + layout.CARRY_HEIGHT * U
            case Held():
                self._held(item, y)
                return y + layout.HELD_HEIGHT * U
            case Names():
                self._names(item, y)
                return y + NAMES_HEIGHT
            case Threads():
                self._threads(item, y)
                return y + layout.THREADS_HEIGHT * U
            case PlaceValues():
                self._place_values(item, y)
                return y + 36

    def headings(self, y: float) -> None:
        """Name the fields, with the words' baseline at *y*."""
        mantissa, exponent, value, _ = self.scene.headings
        self.pen.words(self.x(self.scene.heading_column), y, mantissa, LABEL_SIZE, colour="soft")
        if self.scene.sign:
            self.pen.words(self.sign_at + U, y, "sign", LABEL_SIZE, colour="soft", anchor="end")
        for first, columns in ((True, self.scene.before), (False, self.scene.after)):
            if columns:
                self.pen.words(self.exponent_at(first=first), y, exponent, LABEL_SIZE, colour="soft")
        self.pen.words(self.value_at, y, value, LABEL_SIZE, colour="soft")

    def label(self, text: str, y: float, *, x: float | None = None) -> None:
        """Write a row's label left of the grid, or left of *x*."""
        self.pen.words((self.left if x is None else x) - 14, y, text, LABEL_SIZE, colour="soft", anchor="end")

    def walls(self, tray: Tray, top: float, bottom: float) -> None:
        """Draw the walls of *tray*."""
        left, right = self.x(tray.left), self.x(tray.left + tray.width)
        self.pen.line(Line(left, top, left, bottom), "ink", 2)
        self.pen.line(Line(right, top, right, bottom), "rail", 1)

    def floor(self, left: Left, y: float) -> float:
        """Draw bits left in the tray on its floor, and return where it ends."""
        rail, bottom = Rail(label="", cells=left.cells), y + HEIGHT
        for cell in left.cells:
            self._cell(self.x(cell.column), y, cell, rail)
        self._edges(rail, y)
        start, end = self.x(left.cells[0].column), self.x(left.cells[-1].column + 1)
        self.pen.line(Line(start - 1, bottom, end, bottom), "ink", 4)
        self.label(left.label, bottom - U / 2, x=start)
        worth_at = self.exponent_at(first=False) if self.scene.after else self.value_at
        self.pen.words(worth_at, bottom - U / 2, left.worth, 15, colour="soft")
        return bottom

    # === Rails ===

    def _rail(self, rail: Rail, y: float) -> None:
        middle = y + HEIGHT / 2
        colour = "soft" if rail.soft else "ink"
        self.label(rail.label, middle + 4)
        if rail.operator:
            before = self.sign_at if rail.sign else self.x(rail.cells[0].column)
            self.pen.words(before - U / 2, middle + 8, rail.operator, 0.6 * U, anchor="middle")
        for cell in rail.cells:
            self._cell(self.x(cell.column), y, cell, rail)
        self._edges(rail, y)
        exponent_at = self.exponent_at(first=rail.exponent_first)
        self._field(rail.sign, self.sign_at, y, rail)
        self._field(rail.exponent, exponent_at, y, rail)
        if rail.exponent_text:
            width = (self.scene.before if rail.exponent_first else self.scene.after) * U
            self.pen.box(Box(exponent_at, y, width, HEIGHT), "rail", dashed=True)
            if rail.exponent_moved:
                self.pen.box(Box(exponent_at, y + HEIGHT - BAR, width, BAR), "change", fill=True)
            self._digit(
                exponent_at + width / 2,
                y,
                rail.exponent_text,
                colour="change" if rail.exponent_moved else colour,
                bold=rail.exponent_moved,
            )
        self._value(rail, middle, colour)

    def _value(self, rail: Rail, middle: float, colour: str) -> None:
        lost = f" and {rail.lost_words}" if rail.worth else ""
        base = middle - 1 if rail.note else middle + 6
        self.pen.words(self.value_at, base, rail.value, VALUE_SIZE, colour=colour, then=lost, then_size=15)
        self.pen.words(self.value_at, middle + 17, rail.note, LABEL_SIZE, colour="soft")

    def _field(self, cells: tuple[Cell, ...], x: float, y: float, rail: Rail) -> None:
        """Draw the cells of a field beside the mantissa, from *x*."""
        for cell in cells:
            self._cell(x + cell.column * U, y, cell, rail)
        if cells:
            self._side(x, y, soft=rail.soft)
            self._side(x + len(cells) * U, y, soft=rail.soft)

    def _cell(self, x: float, y: float, cell: Cell, rail: Rail) -> None:
        match cell.kind:
            case "dropped":
                self._digit(x + U / 2, y, cell.digit, colour="soft")
                self.pen.line(Line(x + 0.12 * U, y + 0.85 * U, x + 0.88 * U, y + 0.45 * U), "ink", 0.07 * U)
                return
            case "lost":
                for stroke in layout.hatch(x, y, U, HEIGHT, layout.STROKE_GAP * U):
                    self.pen.line(stroke, "rail", 1)
                self.pen.box(Box(x, y, U, HEIGHT), "rail")
                self._digit(x + U / 2, y, cell.digit, bold=True, halo=True)
                return
            case _ if cell.kind == "extra" or cell.unwritten:
                self.pen.box(Box(x, y, U, HEIGHT), "rail", dashed=True)
            case _:
                self.pen.box(Box(x, y, U, HEIGHT), "hair")
        colour = "change" if cell.changed else "soft" if rail.soft else "ink"
        self._digit(x + U / 2, y, cell.digit, colour=colour, bold=cell.changed)
        self._marks(x, y, cell, soft=rail.soft)

    def _marks(self, x: float, y: float, cell: Cell, *, soft: bool) -> None:
        """Draw a cell's lower line, the bar of a changed one, the tick of a copy."""
        bottom = y + HEIGHT
        if cell.changed:
            self.pen.box(Box(x, bottom - layout.BAR * U, U, layout.BAR * U), "change", fill=True)
        elif not soft and not cell.unwritten:
            self.pen.line(Line(x, bottom, x + U, bottom), "rail", 2)
        if cell.copied:
            self.pen.line(Line(x + U / 2, y - 0.16 * U, x + U / 2, y + 0.14 * U), "change", 0.07 * U)

    def _digit(self, x: float, y: float, digit: str, **setting: Unpack[Setting]) -> None:
        size = layout.DIGIT * U
        setting["anchor"] = "middle"
        self.pen.words(x, y + HEIGHT / 2 + 0.36 * size, digit, size, **setting)

    def _edges(self, rail: Rail, y: float) -> None:
        """Draw what is between cells: the rail's ends, every fourth edge, the tray's wall, the wedge."""
        kept = [cell.column for cell in rail.cells if cell.kind == "kept" and not cell.unwritten]
        ends = {kept[0], kept[-1] + 1} if kept else set()
        for column in sorted(ends | {at + 1 for at in kept if layout.edge_after(at, rail.point)}):
            self._side(self.x(column), y, soft=rail.soft)
        if rail.lost:
            x = self.x(rail.lost[0].column)
            self.pen.line(Line(x, y, x, y + HEIGHT), "ink", 2)
        if rail.point is not None:
            width, height = layout.WEDGE
            colour = "soft" if rail.soft else "ink"
            self.pen.wedge(self.x(rail.point + 1), y + HEIGHT + 1, width * U, height * U, colour)

    def _side(self, x: float, y: float, *, soft: bool) -> None:
        self.pen.line(Line(x, y, x, y + HEIGHT), "hair" if soft else "rail", 1)

    # === Other rows ===

    def _carries(self, carries: Carries, y: float) -> None:
        base, size = y + layout.CARRY_HEIGHT * U - 5, layout.CARRY_DIGIT * U
        self.label(carries.label, base)
        for cell in carries.cells:
            x = self.x(cell.column) + U / 2
            self.pen.words(x, base, cell.digit, size, colour="change", anchor="middle", bold=True)

    def _held(self, held: Held, y: float) -> None:
        """Draw what the tray holds since an earlier step."""
        height, size = layout.HELD_HEIGHT * U, layout.DIGIT * U
        base = y + height / 2 + 0.36 * size
        self.label(held.label, y + height / 2 + 4)
        for cell in held.cells:
            x = self.x(cell.column)
            for stroke in layout.hatch(x, y, U, height, layout.STROKE_GAP * U):
                self.pen.line(stroke, "hair", 1)
            self.pen.words(x + U / 2, base, cell.digit, size, colour="soft", anchor="middle", halo=True)

    def _names(self, item: Names, y: float) -> None:
        for column, name in item.names:
            middle = self.x(column) + U / 2
            self.pen.words(middle, y + WEIGHT_SIZE, name, WEIGHT_SIZE, colour="soft", anchor="middle")

    def _threads(self, item: Threads, y: float) -> None:
        across, down = U, layout.THREADS_HEIGHT * U
        for thread in item.threads:
            line, start = layout.thread_line(thread), self.x(0)
            colour, width = THREADS[thread.kind]
            ends = Line(
                start + line.x1 * across, y + line.y1 * down, start + line.x2 * across, y + line.y2 * down
            )
            self.pen.line(ends, colour, width, dashed=thread.kind == "copied")

    def _place_values(self, item: PlaceValues, y: float) -> None:
        self.label(item.label, y + 16)
        for weight in item.weights:
            self._weight(self.x(weight.column) + U / 2, y + 16, weight)
        for weight in item.exponent:
            at = self.exponent_at(first=item.exponent_first) + (weight.column + 0.5) * U
            self._weight(at, y + 16, weight)

    def _weight(self, x: float, base: float, weight: Weight) -> None:
        top = f"{weight.top}^{weight.power}" if weight.power else weight.top
        self.pen.words(x, base, top, WEIGHT_SIZE, colour="soft", anchor="middle")
        if weight.bottom:
            half = len(weight.bottom) * 4.2 + 1
            self.pen.line(Line(x - half, base + 3.5, x + half, base + 3.5), "soft", 1)
            self.pen.words(x, base + 15, weight.bottom, WEIGHT_SIZE, colour="soft", anchor="middle")
