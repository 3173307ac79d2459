"""What a page shows, row by row: the scene's cells as class names, for the templates to set out.

Nothing is decided here but which class says what; where columns stand comes from `layout`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from chalkpoint.publishing.layout import LONG_LINE, Line, chunks, edge_after, from_place, thread_line
from chalkpoint.publishing.parts import (
    Block,
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

__all__ = ["Group", "Piece", "Shower", "ShownCell", "ShownLine"]

WIDEST_TOP = 3  # characters of a place value that a column has room for


@dataclass(frozen=True, slots=True)
class ShownCell:
    """A cell: the class names of its marks, its digit, or a place value."""

    classes: str
    digit: str = ""
    weight: Weight | None = None


@dataclass(frozen=True, slots=True)
class Piece:
    """The cells of a row that stand in one chunk of columns.

    chunk        which chunk, from 0
    line         which long line, of several chunks, from 0
    leads        whether it is its row's first piece in that long line
    at           column of the first cell, counted from the first column of the scene
    indent       the same, counted from the first column of the chunk
    line_indent  the same, counted from the first column of the long line
    """

    chunk: int
    line: int
    leads: bool
    at: int
    indent: int
    line_indent: int
    cells: tuple[ShownCell, ...]


@dataclass(frozen=True, slots=True)
class ShownLine:
    """One line of a step: a rail, its carries, its place values, or the threads to the next.

    kind      "rail", "carries", "holds", "names", "pv", "threads" or "floor"
    row       its number in the step, from 1
    gap       whether it keeps a distance from the line above
    classes   class names of its rails
    moved     whether the exponent's integer is another than before
    before    whether the exponent stands left of the mantissa
    joins     "over" or "under" where threads join it to the next row or the one above
    threads   (class, stroke) of each thread
    """

    kind: str
    row: int
    label: str = ""
    words: str = ""
    gap: bool = False
    classes: str = ""
    joins: str = ""
    pieces: tuple[Piece, ...] = ()
    sign: tuple[ShownCell, ...] = ()
    exponent: tuple[ShownCell, ...] = ()
    exponent_text: str = ""
    moved: bool = False
    before: bool = False
    value: str = ""
    lost: str = ""
    note: str = ""
    threads: tuple[tuple[str, Line], ...] = ()


@dataclass(slots=True)
class Group:
    """Lines one under the other beside the same tray, if any."""

    tray: Tray | None
    gap: bool = False
    lines: list[ShownLine] = field(default_factory=list)


KINDS = {"lost": "lost", "held": "stays", "extra": "keep", "dropped": "drop"}
THREADS = {"kept": "kept", "fallen": "fell", "copied": "copy"}


def _weighed(weights: Mapping[int, Weight], column: int) -> ShownCell:
    """Return the place value of a column; one that is wider than the room it has is drawn smaller."""
    weight = weights.get(column)
    crowded = weight and (column - 2 in weights or column == max(weights)) and len(weight.power) >= WIDEST_TOP
    return ShownCell("wide" if weight and (len(weight.top) > WIDEST_TOP or crowded) else "", weight=weight)


class Shower:
    """Shows the blocks of one scene."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self.chunks = chunks(scene)
        self.columns = scene.last - scene.first + 1

    def breaks(self, block: Block) -> list[tuple[int, str, int | None]]:
        """Return (chunk, its heading, its long line if it starts one) for all used chunks but the first."""
        used = {cell.column for cells in block.rows for cell in cells}
        return [
            (
                index,
                from_place(columns.start, block.rows),
                index // LONG_LINE if index % LONG_LINE == 0 else None,
            )
            for index, columns in enumerate(self.chunks)
            if index and used & set(columns)
        ]

    def groups(self, block: Block) -> list[Group]:
        """Return the lines of *block*, those beside one tray together; walls also pass a block without lines."""
        found: list[Group] = []
        above: Item | None = None
        for row, item in enumerate(block.items, start=1):
            if not found or found[-1].tray != item.tray:
                found.append(Group(item.tray))
            line = self.line(item, row, gap=isinstance(above, Rail) and isinstance(item, Rail))
            below = block.items[row] if row < len(block.items) else None
            joins = "under" if isinstance(above, Threads) else "over" if isinstance(below, Threads) else ""
            if line.gap and not found[-1].lines:
                found[-1].gap, line = True, replace(line, gap=False)  # walls start at the row, not above it
            found[-1].lines.append(replace(line, joins=joins))
            above = item
        if not found and block.tray:
            found.append(Group(block.tray))
        return found

    def line(self, item: Item, row: int, *, gap: bool) -> ShownLine:
        """Return *item* as a line."""
        match item:
            case Rail():
                return self._rail(item, row, gap=gap)
            case Carries():
                cells = tuple(ShownCell("", cell.digit) for cell in filled(item.cells))
                return ShownLine("carries", row, item.label, pieces=self._pieces(item.cells[0].column, cells))
            case Held():
                pieces = self._pieces(item.cells[0].column, shown_cells(item.cells))
                return ShownLine("holds", row, item.label, item.words, pieces=pieces)
            case Names():
                return self._names(item, row)
            case PlaceValues():
                return self._place_values(item, row)
            case Threads():
                strokes = tuple((THREADS[thread.kind], thread_line(thread)) for thread in item.threads)
                return ShownLine("threads", row, threads=strokes)

    def floor(self, left: Left) -> ShownLine:
        """Return a line of the tray's floor."""
        pieces = self._pieces(left.cells[0].column, shown_cells(left.cells))
        return ShownLine("floor", 1, left.label, left.words, pieces=pieces, lost=left.worth)

    def _rail(self, rail: Rail, row: int, *, gap: bool) -> ShownLine:
        cells = [*shown_cells(rail.cells, rail.point)]
        first = rail.cells[0].column if rail.cells else 0
        sign = [*shown_cells(rail.sign)]
        if rail.operator and sign:
            sign.insert(0, ShownCell("op", rail.operator))
        elif rail.operator:
            cells.insert(0, ShownCell("op", rail.operator))
            first -= 1
        return ShownLine(
            "rail",
            row,
            rail.label,
            rail.words,
            gap=gap,
            classes="was" if rail.soft else "",
            pieces=self._pieces(first, tuple(cells)),
            exponent=shown_cells(rail.exponent),
            sign=tuple(sign),
            exponent_text=rail.exponent_text,
            moved=rail.exponent_moved,
            before=rail.exponent_first,
            value=rail.value,
            lost=rail.lost_words,
            note=rail.note,
        )

    def _names(self, item: Names, row: int) -> ShownLine:
        named = dict(item.names)
        first, last = min(named), max(named)
        cells = tuple(ShownCell("", named.get(at, "")) for at in range(first, last + 1))
        return ShownLine("names", row, pieces=self._pieces(first, cells))

    def _place_values(self, item: PlaceValues, row: int) -> ShownLine:
        first = item.weights[0].column
        by_column = {weight.column: weight for weight in item.weights}
        cells = tuple(_weighed(by_column, at) for at in range(first, item.weights[-1].column + 1))
        exponents = {weight.column: weight for weight in item.exponent}
        exponent = tuple(_weighed(exponents, at) for at in range(item.exponent_columns))
        pieces = self._pieces(first, cells)
        return ShownLine("pv", row, item.label, pieces=pieces, exponent=exponent, before=item.exponent_first)

    def _pieces(self, first: int, cells: tuple[ShownCell, ...]) -> tuple[Piece, ...]:
        """Return *cells*, which start in column *first*, parted as the scene's columns are."""
        found: list[Piece] = []
        for index, columns in enumerate(self.chunks):
            here = tuple(cells[max(0, columns.start - first) : max(0, columns.stop - first)])
            if here:
                start, line = max(first, columns.start), index // LONG_LINE
                line_start = self.chunks[line * LONG_LINE].start
                leads = not found or found[-1].line != line
                at = start - self.scene.first
                found.append(Piece(index, line, leads, at, start - columns.start, start - line_start, here))
        return tuple(found)


def shown_cells(row: tuple[Cell, ...], point: int | None = None) -> tuple[ShownCell, ...]:
    """Return the cells of *row* with the class names of their marks; its point stands after column *point*."""
    starts = next(
        (cell for cell in row if cell.kind in {"kept", "lost"}), None
    )  # an extra sign place is outside
    falls = next((cell for cell in row if cell.kind in {"lost", "held"}), None)
    found = []
    for cell in row:
        column = cell.column
        marks = (
            (True, KINDS.get(cell.kind, "")),
            (cell.changed, "ch"),
            (cell.copied, "fill"),
            (cell.unwritten, "unwritten"),
            (cell.ringed, "ring"),
            (edge_after(column, point), "g"),
            (column == point, "p"),
            (point is not None and cell is row[0] and column == point + 1, "pb"),
            (cell is starts, "a"),
            (cell is row[-1], "z"),
            (cell is falls, "t"),
        )
        found.append(ShownCell(" ".join([name for marked, name in marks if marked and name]), cell.digit))
    return tuple(found)


def filled(cells: tuple[Cell, ...]) -> Iterator[Cell]:
    """Yield *cells* with blank ones between them, so that they stand without gaps."""
    by_column = {cell.column: cell for cell in cells}
    for column in range(cells[0].column, cells[-1].column + 1):
        yield by_column.get(column, Cell(column, ""))
