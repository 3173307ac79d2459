"""One row of a scene as lines of text on a grid: ticks above it, its bits, marks of what changed below."""

from __future__ import annotations

from chalkpoint.publishing.canvas import TextLine
from chalkpoint.publishing.parts import Carries, Cell, Held, Names, Rail, Tray
from chalkpoint.publishing.textgrid import INDENT, TextGrid

__all__ = [
    "bits_line",
    "carries_line",
    "fields_on",
    "held_line",
    "marks_line",
    "names_line",
    "put_walls",
    "ticks_line",
]

WEDGE, WALL, HATCH, CHANGED, TICK = "\u25b4", "\u2503", "\u2591", "\u2594", "\u2577"


def put_walls(line: TextLine, tray: Tray | None, grid: TextGrid) -> TextLine:
    """Put the walls of *tray* on *line*, as far as they stand on *grid*."""
    if tray and tray.left in grid.columns:
        line.put(grid.wall_left(tray), WALL)
    if tray and tray.left + tray.width - 1 in grid.columns:
        line.put(grid.wall_right(tray), WALL)
    return line


def put_own_walls(line: TextLine, rail: Rail, grid: TextGrid) -> TextLine:
    """Put the walls that pass a row, and those of its own lost digits where no tray stands for them.

    Digits worth nothing have none: they are shown on their own row only.
    """
    put_walls(line, rail.tray, grid)
    if rail.lost and not (rail.tray and rail.tray.left == rail.lost[0].column):
        put_walls(line, Tray(rail.lost[0].column, len(rail.lost)), grid)
    return line


def bits_line(rail: Rail, grid: TextGrid) -> TextLine:
    """Return the row's label and bits, with its point and its tray."""
    line = TextLine()
    line.put(INDENT, rail.label, style_of(rail))
    put_own_walls(line, rail, grid)
    if rail.operator and not rail.sign and rail.cells[0].column - 1 in grid.columns:
        line.put(grid.at[rail.cells[0].column - 1], rail.operator)
    for cell in here(rail.cells, grid):
        line.put(grid.at[cell.column], cell.digit, style_of(rail, cell))
        if cell.kind in {"lost", "held"} and grid.pitch == 2:
            line.put(grid.at[cell.column] + 1, HATCH)
    wedge = grid.wedge(rail.point)
    if wedge is not None:
        line.put(wedge, WEDGE, style_of(rail))
    return line


def here(cells: tuple[Cell, ...], grid: TextGrid) -> list[Cell]:
    """Return those of *cells* that stand on *grid*."""
    return [cell for cell in cells if cell.column in grid.columns]


def style_of(rail: Rail, cell: Cell | None = None) -> str:
    """Return how a row, or one bit of it, is set in colour."""
    if cell and cell.changed:
        return "changed"
    if cell and cell.kind == "lost":
        return "bold"
    return "soft" if rail.soft or (cell and cell.kind == "held") else ""


def fields_on(line: TextLine, rail: Rail, grid: TextGrid) -> TextLine:
    """Put the row's sign and exponent on *line*: their bits, or an integer that is not written in bits."""
    for cell in rail.sign:
        line.put(grid.sign_at, cell.digit, style_of(rail, cell))
        if rail.operator:
            line.put(grid.sign_at - 2, rail.operator)
    for cell in rail.exponent:
        line.put(grid.exponent_of(rail) + grid.pitch * cell.column, cell.digit, style_of(rail, cell))
    line.put(grid.exponent_of(rail), rail.exponent_text, style_of(rail))
    return line


def ticks_line(rail: Rail, grid: TextGrid, tray: Tray | None, heading: str) -> TextLine | None:
    """Return the line above a row that moved: a tick over each copy of the sign, a word over the tray.

    tray  the tray that stood before this row
    """
    copies = [cell for cell in here(rail.cells, grid) if cell.copied]
    falls_here = rail.lost and rail.lost[0].column in grid.columns
    if not copies and not falls_here:
        return None
    line = put_walls(TextLine(), tray, grid)
    for cell in copies:
        line.put(grid.at[cell.column], TICK, "changed")
    if falls_here:
        line.put(min(grid.at[rail.lost[0].column], grid.width - len(heading)), heading)
    return line


def marks_line(rail: Rail, grid: TextGrid, *, exponent: bool) -> TextLine | None:
    """Return the line below a row: a mark under each changed bit, a word for its extra sign place."""
    changed = [grid.at[cell.column] for cell in here(rail.cells, grid) if cell.changed]
    if exponent:
        at = grid.exponent_of(rail)
        changed += [at + grid.pitch * cell.column for cell in rail.exponent if cell.changed]
        changed += [at + index for index in range(len(rail.exponent_text)) if rail.exponent_moved]
    lead = [cell for cell in here(rail.cells, grid) if cell.kind in {"dropped", "extra"}]
    if not changed and not lead:
        return None
    line = put_own_walls(TextLine(closes=True), rail, grid)
    if lead:
        line.put(INDENT, f"{lead[0].digit} dropped" if lead[0].kind == "dropped" else "extra place")
    for at in changed:
        line.put(at, CHANGED, "changed")
    return line


def carries_line(carries: Carries, grid: TextGrid) -> TextLine:
    """Return the carries, each above its column."""
    line = put_walls(TextLine(), carries.tray, grid)
    line.put(INDENT, carries.label)
    for cell in here(carries.cells, grid):
        line.put(grid.at[cell.column], cell.digit, "changed")
    return line


def held_line(held: Held, grid: TextGrid) -> TextLine:
    """Return what the tray holds since an earlier step."""
    return bits_line(Rail(label=held.label, cells=held.cells, soft=True, tray=held.tray), grid)


def names_line(names: Names, grid: TextGrid) -> TextLine:
    """Return the names of columns: a letter above its column, a word that ends there."""
    line = put_walls(TextLine(), names.tray, grid)
    for column, name in names.names:
        if column in grid.columns:
            line.put(max(INDENT, grid.at[column] + 1 - len(name)), name)
    return line
