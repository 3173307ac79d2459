"""The measures of a scene, in units of u, the width of one cell: shared by every medium that draws.

A medium says how large u is and where a working starts; what goes where is decided here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from chalkpoint.publishing.parts import Cell, Ruler, Scene, Thread

__all__ = [
    "BAR",
    "CARRY_DIGIT",
    "CARRY_HEIGHT",
    "CELL_HEIGHT",
    "CHARACTER",
    "DIGIT",
    "FIELD_GAP",
    "HELD_HEIGHT",
    "LONGEST_WHOLE",
    "LONG_LINE",
    "RULER_HEIGHT",
    "SIGN_GAP",
    "STROKE_GAP",
    "THREADS_HEIGHT",
    "TRAY_GAP",
    "WEDGE",
    "Grid",
    "Line",
    "RulerPlan",
    "chunks",
    "edge_after",
    "from_place",
    "grid",
    "hatch",
    "plan_ruler",
    "thread_line",
]

CELL_HEIGHT = 1.3
DIGIT = 0.68  # size of the digit
CARRY_HEIGHT, CARRY_DIGIT = 0.62, 0.42
HELD_HEIGHT = 1.0  # what the tray holds since an earlier step
WEDGE = (0.4, 0.42)  # width, height
BAR = 0.13  # thickness of the bar under a changed digit
THREADS_HEIGHT = 1.05
TRAY_GAP = 0.25  # after the last column
FIELD_GAP = 0.75  # between mantissa and exponent
SIGN_GAP = 0.5  # after a sign that is a field of its own
STROKE_GAP = 0.17  # between the strokes of a hatch
CHUNK = 8  # columns of one line where a long rail breaks
LONG_LINE = 4  # chunks of one line where there is more room
LONGEST_WHOLE = 16  # columns that never break


@dataclass(frozen=True, slots=True)
class Line:
    """A straight stroke from (x1, y1) to (x2, y2)."""

    x1: float
    y1: float
    x2: float
    y2: float


@dataclass(frozen=True, slots=True)
class Grid:
    """Where columns stand, in u from the left edge of the grid.

    columns      how many the mantissa's grid has, extra sign place and tray among them
    mantissa_at  left edge of the mantissa's grid
    sign_at      left edge of the sign's, with the column of its plus sign
    before_at    left edge of the exponent's grid left of the mantissa
    exponent_at  left edge of the exponent's grid right of it
    width        of all and the gaps between them
    """

    first: int
    columns: int
    mantissa_at: float
    sign_at: float
    before_at: float
    exponent_at: float
    width: float

    def x(self, column: int) -> float:
        """Return the left edge of a mantissa column."""
        return self.mantissa_at + column - self.first


def grid(scene: Scene) -> Grid:
    """Return where the columns of *scene* stand: sign, exponent, mantissa, exponent, with gaps between them."""
    columns = scene.last - scene.first + 1
    sign, before = (_with_gap(scene.sign, SIGN_GAP), _with_gap(scene.before, FIELD_GAP))
    sign_at, before_at = (before, 0.0) if scene.sign_inside else (0.0, sign)
    mantissa_at = sign + before
    width = mantissa_at + columns + TRAY_GAP
    exponent_at = width + FIELD_GAP
    if scene.after:
        width = exponent_at + scene.after
    return Grid(scene.first, columns, mantissa_at, sign_at, before_at, exponent_at, width)


def _with_gap(columns: int, gap: float) -> float:
    return columns + gap if columns else 0.0


def edge_after(column: int, point: int | None) -> bool:
    """Tell whether a darker edge stands right of *column*: every fourth place from the point.

    >>> [column for column in range(9) if edge_after(column, 0)]
    [4, 8]
    """
    return point is not None and column != point and (column - point) % 4 == 0


def chunks(scene: Scene) -> tuple[range, ...]:
    """Return the columns in lines of eight places, for rails that must break; all rows break together.

    Lines end after every eighth place from the point; a few places before the point join the first.
    Short rails never break.
    """
    starts = [column for column in range(scene.first + CHUNK // 2, scene.last + 1) if column % CHUNK == 1]
    if scene.last - scene.first < LONGEST_WHOLE:
        starts = []
    edges = [scene.first, *starts, scene.last + 1]
    return tuple(range(left, right) for left, right in pairwise(edges))


def from_place(column: int, rows: Iterable[tuple[Cell, ...]] = ()) -> str:
    """Return what stands over a line of broken *rows* that starts with *column*.

    On the far side of a middle left out, away from the point, no digit stands under its true place.

    >>> from_place(9), from_place(-15)
    ('from place 9', 'from 2^15')
    >>> row = (Cell(24, "1"), Cell(25, "\u2026"), Cell(26, "0"))
    >>> from_place(17, [row]), from_place(33, [row])
    ('from place 17', 'after the \u2026')
    """
    gaps = [cell.column for row in rows for cell in row[:-1] if cell.digit == "\u2026"]
    if any(0 < gap < column for gap in gaps):
        return "after the \u2026"
    if any(column < gap <= 0 for gap in gaps):
        return "before the \u2026"
    return f"from place {column}" if column > 0 else f"from 2^{-column}"


def thread_line(thread: Thread) -> Line:
    """Return a thread's stroke from the middle of its upper column to that of its lower, y from 0 to 1.

    x is counted in columns from the left edge of column 0. A copy ends at its tick, short of the cell.
    """
    return Line(thread.start + 0.5, 0.0, thread.end + 0.5, 0.9 if thread.kind == "copied" else 1.0)


def hatch(x: float, y: float, width: float, height: float, gap: float) -> Iterator[Line]:
    """Yield strokes rising to the right, *gap* apart across, that fill a box and end on its edges."""
    step = gap * 2**0.5
    offset = step
    while offset < width + height:
        down, across = min(offset, height), min(offset, width)
        yield Line(x + offset - down, y + down, x + across, y + offset - across)
        offset += step


# === The ruler ===

RULER_WIDTH, RULER_HEIGHT = 9.5, 2.1
RULER_LINE = 1.1  # y of the ruler's line
TICK, NAMED_TICK = 0.22, 0.4
RULER_HATCH = 0.14
CHARACTER = 0.23  # width of one on the ruler, at most


@dataclass(frozen=True, slots=True)
class Caption:
    """Words on the ruler at (x, y); *anchor* is "start", "middle" or "end"."""

    x: float
    y: float
    anchor: str
    text: str


@dataclass(frozen=True, slots=True)
class RulerPlan:
    """The ruler drawn in a box of *width* by *height*, the hatched gap at (x, y, width, height)."""

    width: float
    height: float
    line: Line
    ticks: tuple[Line, ...]
    gap: tuple[float, float, float, float]
    hatch: tuple[Line, ...]
    captions: tuple[Caption, ...]


def plan_ruler(ruler: Ruler, *, character: float = CHARACTER) -> RulerPlan:
    """Return where everything on *ruler* stands; *character* is the width of one of its captions.

    The two names and values lean away from each other, so that however long they are they never meet.
    """
    margin = 0.4
    step = (RULER_WIDTH - 2 * margin) / ruler.steps
    exact, worked = (margin + step * float(at) for at in (ruler.exact, ruler.worked))
    named = {exact, worked}
    ticks = [_tick(margin + step * tick.at, TICK) for tick in ruler.ticks if not tick.named]
    ticks += [_tick(x, NAMED_TICK) for x in sorted(named)]
    gap = (min(named), RULER_LINE - 0.4, max(named) - min(named), 0.4)
    return RulerPlan(
        width=RULER_WIDTH,
        height=RULER_HEIGHT,
        line=Line(0.1, RULER_LINE, RULER_WIDTH - 0.1, RULER_LINE),
        ticks=tuple(ticks),
        gap=gap,
        hatch=tuple(hatch(*gap, RULER_HATCH)),
        captions=tuple(_captions(ruler, exact, worked, character)),
    )


def _tick(x: float, length: float) -> Line:
    return Line(x, RULER_LINE, x, RULER_LINE + length)


def _captions(ruler: Ruler, exact: float, worked: float, character: float) -> Iterator[Caption]:
    """Yield the two names and, where both have room, the two values, under their ticks or leaning away."""
    placed = list(zip(ruler.labels, (exact, worked), (worked, exact), strict=True))
    for (name, _), x, other in placed:
        anchor, lean = ("end", -0.12) if x < other else ("start", 0.12)
        yield Caption(x + lean, RULER_LINE - 0.58, anchor, name)
    values = [_value_caption(value, x, other, character) for (_, value), x, other in placed]
    if all(values):
        yield from (caption for caption in values if caption)
    if ruler.scale:
        yield Caption(RULER_WIDTH, RULER_LINE + 0.82 + (0.5 if all(values) else 0), "end", ruler.scale)


def _value_caption(value: str, x: float, other: float, character: float) -> Caption | None:
    wide = len(value) * character
    if wide < abs(x - other) and wide / 2 < min(x, RULER_WIDTH - x):
        return Caption(x, RULER_LINE + 0.82, "middle", value)
    if wide < (x if x < other else RULER_WIDTH - x):
        return Caption(
            x + (-0.08 if x < other else 0.08), RULER_LINE + 0.82, "end" if x < other else "start", value
        )
    return None
