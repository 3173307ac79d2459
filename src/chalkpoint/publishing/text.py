"""A scene in plain text, for a terminal, an editor or an e-mail.

Marks under a line show the bits that changed; ticks above a line show copies of the sign; hatched
bits stand in the tray, whose walls run down to the check.
"""

from __future__ import annotations

from collections.abc import Iterator

from chalkpoint.publishing.canvas import TextLine, in_ascii
from chalkpoint.publishing.layout import from_place
from chalkpoint.publishing.parts import (
    Block,
    Carries,
    Cell,
    Check,
    Held,
    Item,
    Left,
    Names,
    PlaceValues,
    Rail,
    Scene,
    Threads,
    Tray,
)
from chalkpoint.publishing.sentences import wrap
from chalkpoint.publishing.textgrid import FIELD_GAP, INDENT, SIGN, TextGrid, choose_grid, split_grid
from chalkpoint.publishing.textrows import (
    bits_line,
    carries_line,
    fields_on,
    held_line,
    marks_line,
    names_line,
    put_walls,
    ticks_line,
)

__all__ = ["text"]

NARROWEST = 40  # characters
LONGEST_SENTENCE = 88  # of a line of words; rows may be longer
MINUS = "\u2212"


def text(scene: Scene, *, plain: bool = False, colour: bool = False, width: int = 80) -> str:
    """Return *scene* as lines of text, ending in a line break.

    plain   ASCII only
    colour  add ANSI styles; they never say anything alone
    width   characters a line, at least 40
    """
    lines = Writer(scene, max(width, NARROWEST)).lines()
    written = "\n".join(line.render(colour=colour) for line in lines) + "\n"
    return in_ascii(written) if plain else written


class Writer:
    """Writes one scene on one grid."""

    def __init__(self, scene: Scene, width: int) -> None:
        self.scene = scene
        self.width = width
        self.measure = min(width, LONGEST_SENTENCE)
        self.grid = choose_grid(scene, width)
        self.pieces = split_grid(self.grid) if self.grid.broken else []
        self.headed = scene.headed
        self.explained = False  # place values are told once

    def lines(self) -> Iterator[TextLine]:
        """Yield every line."""
        yield from self._top()
        yield TextLine()
        for block in self.scene.blocks:
            yield from self._heading(block.number, block.title, block.detail)
            yield from self._broken(block) if self.grid.broken else self._whole(block)
        yield from self._check(self.scene.check)

    # === Sentences ===

    def _top(self) -> Iterator[TextLine]:
        """Yield the title, with the method at the right-hand end where it fits."""
        method = f"method: {self.scene.method}" if self.scene.method else ""
        at = self.measure - len(method)
        if at > len(self.scene.title) + 2:
            line = TextLine()
            line.put(0, self.scene.title, "bold")
            line.put(at, method)
            yield line
        else:
            yield from self._wrapped(0, self.scene.title, "bold")
            yield from self._wrapped(0, method)
        for note in self.scene.notes:
            yield from self._wrapped(0, note, "soft")

    def _heading(self, number: int, title: str, detail: str) -> Iterator[TextLine]:
        """Yield a step's number, its title, and what is done."""
        says = f"{title}: {detail}" if detail else title
        indent = len(f"{number} ")
        for index, line in enumerate(self._wrapped(indent, says)):
            if index == 0:
                line.put(0, f"{number} ")
                line.put(indent, title[: self.measure - indent], "bold")
            yield line

    def _wrapped(self, at: int, sentence: str, style: str = "") -> Iterator[TextLine]:
        for part in wrap(sentence, self.measure - at):
            line = TextLine()
            line.put(at, part, style)
            yield line

    # === Whole rows ===

    def _whole(self, block: Block) -> Iterator[TextLine]:
        """Yield the rows of *block*: bits, exponent and value side by side."""
        if block is self.headed:
            yield self._headings()
        line = TextLine()
        for item, tray_before in with_tray_before(block.items):
            for line in self._item(item, self.grid, tray_before):
                yield line
        if not line.closes:
            yield put_walls(TextLine(), block.tray, self.grid)

    def _headings(self) -> TextLine:
        mantissa, exponent, value, _ = self.scene.headings
        line, grid = TextLine(), self.grid
        if self.scene.sign:
            line.put(grid.sign_at, SIGN)
        if self.scene.before:
            line.put(grid.before_at, exponent)
        if self.scene.after:
            line.put(grid.exponent_at, exponent)
        line.put(grid.at[self.scene.heading_column], mantissa)
        if grid.values == "beside":
            line.put(max(grid.value_at, line.length + FIELD_GAP + 1), value)
        return line

    def _item(self, item: Item, grid: TextGrid, tray_before: Tray | None) -> Iterator[TextLine]:
        match item:
            case Rail():
                yield from self._rail(item, grid, tray_before)
            case Carries():
                yield carries_line(item, grid)
            case Held():
                yield held_line(item, grid)
            case Names():
                yield names_line(item, grid)
            case PlaceValues() if not self.explained:
                self.explained = True
                yield from self._wrapped(grid.text_at, item.words)
            case Threads() | PlaceValues():
                pass  # columns tell the way of a digit; place values were told

    def _rail(self, rail: Rail, grid: TextGrid, tray_before: Tray | None) -> Iterator[TextLine]:
        """Yield a row between its ticks and its marks; what it lost stands on the lower line if it must."""
        if ticks := ticks_line(rail, grid, tray_before, self.scene.headings[3]):
            yield ticks
        row = fields_on(bits_line(rail, grid), rail, grid)
        marks = marks_line(rail, grid, exponent=True)
        beside = grid.values == "beside"
        rest = self._put_value(row, rail) if beside else f"{rail.value}   {rail.lost_words}".strip()
        yield row
        if marks and beside:
            marks.put(grid.value_at, rest)
            rest = ""
        if marks:
            yield marks
        if rest:
            yield from self._below(rest, rail.tray)
        if rail.note:
            yield self._under_exponent(rail)

    def _under_exponent(self, rail: Rail) -> TextLine:
        """Return how the exponent is stored, under it, or as far to the left as it takes."""
        line = put_walls(TextLine(), rail.tray, self.grid)
        line.put(max(0, min(self.grid.exponent_of(rail), self.width - len(rail.note))), rail.note, "soft")
        return line

    def _below(self, words: str, tray: Tray | None, line: TextLine | None = None) -> Iterator[TextLine]:
        """Yield *words* at the right-hand end of *line* or of lines of their own, beside the walls if they fit."""
        for part in wrap(words, self.width - INDENT):
            line = line or TextLine(closes=True)
            at = max(INDENT, self.width - len(part))
            if tray and self.grid.wall_right(tray) + 1 < at:
                put_walls(line, tray, self.grid)
            line.put(at, part)
            yield line
            line = None

    def _put_value(self, line: TextLine, rail: Rail) -> str:
        """Put the row's value on *line*, and what it lost if that fits; return what did not."""
        grid = self.grid
        line.put(grid.value_at - rail.value.startswith(MINUS), rail.value)
        at = grid.value_at + len(rail.value.lstrip(MINUS)) + FIELD_GAP
        if at + len(rail.lost_words) > self.width:
            return rail.lost_words
        line.put(at, rail.lost_words)
        return ""

    # === Rows in pieces: all rows of a step break together, exponents and values follow ===

    def _broken(self, block: Block) -> Iterator[TextLine]:
        for grid in self.pieces:
            if grid is not self.pieces[0] and any(_stands_on(item, grid) for item in block.items):
                yield _from_place(grid, block.rows)
            for item, tray_before in with_tray_before(block.items):
                if _stands_on(item, grid):
                    yield from self._piece(item, grid, tray_before)
        told = [item for item in block.items if isinstance(item, Rail) and (item.has_fields or item.value)]
        if any(rail.has_fields for rail in told):
            line = TextLine()
            if any(rail.sign for rail in told):
                line.put(self.grid.sign_at, SIGN)
            if block.has_exponent:
                line.put(self.grid.exponent_at, self.scene.headings[1])
            yield line
        for rail in told:
            yield from self._exponent(rail)
        yield TextLine()

    def _piece(self, item: Item, grid: TextGrid, tray_before: Tray | None) -> Iterator[TextLine]:
        if not isinstance(item, Rail):
            yield from self._item(item, grid, tray_before)
            return
        ticks = ticks_line(item, grid, tray_before, self.scene.headings[3])
        marks = marks_line(item, grid, exponent=False)
        yield from (line for line in (ticks, bits_line(item, grid), marks) if line)

    def _exponent(self, rail: Rail) -> Iterator[TextLine]:
        """Yield the row's exponent and value, on lines of their own where they are long."""
        grid = self.grid
        line = fields_on(TextLine(), rail, grid)
        marks = marks_line(rail, grid.part(range(0)), exponent=True)
        line.put(INDENT, rail.label)
        value, at = rail.value, max(grid.value_at, line.length + FIELD_GAP)
        if value and not rail.has_fields:
            value, at = f"= {value}", grid.exponent_at
        below = [part for part in (value, rail.aside) if part]
        if value and at + len(value) <= self.width:
            line.put(at - value.startswith(MINUS), value)
            below = below[1:]
        yield line
        for part in below:
            yield from self._below(part, None, marks)
            marks = None
        if marks:
            yield marks

    # === The check ===

    def _check(self, check: Check) -> Iterator[TextLine]:
        yield from self._heading(check.number, check.title, check.detail)
        for left in check.left:
            yield from self._left(left)
        for label, words in check.lines:
            if INDENT + len(label) >= self.grid.text_at:
                yield from self._wrapped(INDENT, label)
                label = ""  # noqa: PLW2901 -- it stands above
            for index, line in enumerate(self._wrapped(self.grid.text_at, words)):
                if index == 0:
                    line.put(INDENT, label)
                yield line
        for sentence in (check.verdict, *check.reasons):
            yield from self._wrapped(INDENT, sentence, "bold" if sentence == check.verdict else "")

    def _left(self, left: Left) -> Iterator[TextLine]:
        """Yield what stands on the floor of the tray."""
        bits = Rail(label=left.label, cells=left.cells)
        grids = [grid for grid in self.pieces or [self.grid] if _stands_on(bits, grid)]
        lines = [
            line
            for grid in grids
            for line in (
                *([_from_place(grid, [left.cells])] if grid is not grids[0] else []),
                bits_line(bits, grid),
            )
        ]
        at = lines[-1].length + 1 if self.grid.broken or not self.scene.after else self.grid.exponent_at
        if at + len(left.worth) <= self.width:
            lines[-1].put(at, left.worth)
            yield from lines
        else:
            yield from lines
            yield from self._wrapped(self.grid.text_at, left.worth)


def with_tray_before(items: tuple[Item, ...]) -> Iterator[tuple[Item, Tray | None]]:
    """Yield each item with the tray that stood before it."""
    before: Tray | None = None
    for index, item in enumerate(items):
        yield item, before if index else None
        before = item.tray


def _from_place(grid: TextGrid, rows: list[tuple[Cell, ...]]) -> TextLine:
    """Return what stands over a piece of *rows*."""
    line = TextLine()
    line.put(grid.at[grid.columns[0]], from_place(grid.columns[0], rows))
    return line


def _stands_on(item: Item, grid: TextGrid) -> bool:
    """Tell whether any of *item* stands on *grid*; place values are told on the piece of the first."""
    if isinstance(item, PlaceValues):
        return item.weights[0].column in grid.columns
    if isinstance(item, Names):
        return any(column in grid.columns for column, _ in item.names)
    return isinstance(item, Rail | Carries | Held) and any(cell.column in grid.columns for cell in item.cells)
