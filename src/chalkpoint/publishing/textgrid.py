"""Where columns stand in a line of text: two characters a bit, or one where two do not fit.

With one character a bit the digits stand in groups of four from the point, and a blank is kept
wherever a wall or the point has to stand.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from chalkpoint.publishing.parts import Carries, Held, Rail, Scene, Tray

__all__ = ["FIELD_GAP", "INDENT", "SIGN", "TextGrid", "choose_grid", "split_grid"]

INDENT = 4
LABEL = 12  # characters kept for labels; longer ones make it wider
LONGEST_LABEL = 20
FIELD_GAP = 3
SIGN, SIGN_GAP = "sign", 2
PIECE = 8  # places


@dataclass(frozen=True, slots=True)
class TextGrid:
    """Character positions in a line, from 0.

    width        characters a line
    columns      the mantissa columns this grid covers
    first        the first column of the whole scene
    at           position of each column
    pitch        characters from one bit to the next
    text_at      where sentences beside labels start
    sign_at      position of a sign that is a field of its own
    before_at    position of the first bit of an exponent left of the mantissa
    exponent_at  the same right of it
    value_at     position of a value's first digit; a minus stands before it
    values       "beside" the bits, or "below" where they do not fit
    broken       whether exponents and values stand on lines of their own
    """

    width: int
    first: int
    columns: range
    at: dict[int, int]
    pitch: int
    text_at: int
    sign_at: int
    before_at: int
    exponent_at: int
    value_at: int
    values: str = "beside"
    broken: bool = False

    def wedge(self, point: int | None) -> int | None:
        """Return the position of a point that stands right of column *point*; None where it is not on this grid."""
        if point is None:
            return None
        if point in self.columns:
            return self.at[point] + 1
        begins = self.first > point and point + 1 in self.columns
        return self.at[point + 1] - 1 if begins else None

    def exponent_of(self, rail: Rail) -> int:
        """Return the position of *rail*'s exponent."""
        return self.before_at if rail.exponent_first else self.exponent_at

    def wall_left(self, tray: Tray) -> int:
        """Position of a tray's left wall."""
        return self.at[tray.left] - 1

    def wall_right(self, tray: Tray) -> int:
        """Position of a tray's right wall."""
        return self.at[tray.left + tray.width - 1] + self.pitch

    def part(self, columns: range) -> TextGrid:
        """Return the grid of these columns alone, moved to the left edge."""
        shift = self.at[columns[0]] - self.at[self.columns[0]] if columns else 0
        return replace(self, columns=columns, at={column: self.at[column] - shift for column in columns})


def choose_grid(scene: Scene, width: int) -> TextGrid:
    """Return the roomiest grid on which *scene* fits into *width* characters.

    Tried in turn: two characters a bit; one; one with the values below; rails in pieces, at two
    characters a bit if a whole rail fits that way, else at one.
    """
    for pitch, values in ((2, "beside"), (1, "beside"), (1, "below")):
        found = _grid(scene, width, pitch, values)
        if _right_edge(scene, found) <= width:
            return found
    roomy = _grid(scene, width, 2, broken=True)
    if max(roomy.at.get(scene.last, 0) + 2, roomy.exponent_at + 2 * scene.exponent_bits) <= width:
        return roomy
    return _grid(scene, width, 1, broken=True)


def _grid(scene: Scene, width: int, pitch: int, values: str = "beside", *, broken: bool = False) -> TextGrid:
    labels = max((len(label) for label in _labels(scene)), default=0)
    label = min(max(LABEL, labels), LONGEST_LABEL)
    start = INDENT + label + 1
    start += 2 if scene.first >= 0 or scene.sign else 0  # room for a plus sign is always kept
    text_at = INDENT + label + 3
    sign_at, before_at, mantissa_at = _before(scene, text_at if broken else start, pitch)
    at, edge = _positions(scene, start if broken else mantissa_at, pitch)
    edge = max(edge, at.get(scene.heading_column, 0) + len(scene.headings[0]))
    exponent_at = before_at if broken else edge + FIELD_GAP
    after = scene.exponent_bits if broken else scene.after
    before_value = exponent_at + after * pitch - (pitch - 1) if after else 0 if broken else edge
    if broken:  # a sign that stands behind the exponent is passed as well
        before_value = max(before_value, sign_at + 1)
    return TextGrid(
        width=width,
        first=scene.first,
        columns=range(scene.first, scene.last + 1),
        at=at,
        pitch=pitch,
        text_at=text_at,
        sign_at=sign_at,
        before_at=before_at,
        exponent_at=exponent_at,
        value_at=before_value + FIELD_GAP + 1,
        values=values,
        broken=broken,
    )


def _before(scene: Scene, start: int, pitch: int) -> tuple[int, int, int]:
    """Return where the sign, an exponent on the left and the mantissa stand, from *start*."""
    sign = len(SIGN) + SIGN_GAP if scene.sign else 0
    exponent = (
        max(scene.before * pitch - (pitch - 1), len(scene.headings[1])) + FIELD_GAP if scene.before else 0
    )
    if scene.sign_inside:
        return start + exponent, start, start + exponent + sign
    return start, start + sign, start + sign + exponent


def _labels(scene: Scene) -> Iterable[str]:
    for block in scene.blocks:
        for item in block.items:
            if isinstance(item, Rail | Carries | Held):
                yield item.label
    yield from (label for label, _ in scene.check.lines if len(label) <= LABEL)  # others stand above


def _positions(scene: Scene, start: int, pitch: int) -> tuple[dict[int, int], int]:
    """Return the position of every column from *start*, and the first free position after them."""
    drawn = scene.rails
    closed = {rail.lost[-1].column for rail in drawn if rail.lost}
    parted = closed | {rail.lost[0].column - 1 for rail in drawn if rail.lost}
    parted |= {cell.column for rail in drawn for cell in rail.cells if cell.kind in {"dropped", "extra"}}
    parted |= {rail.cells[0].column - 1 for rail in drawn if rail.operator and not rail.sign}
    at, position = {}, start
    for column in range(scene.first, scene.last + 1):
        at[column] = position
        position += pitch + (1 if pitch == 1 and (column % 4 == 0 or column in parted) else 0)
    return at, position + (1 if pitch == 2 and scene.last in closed else 0)


def _right_edge(scene: Scene, grid: TextGrid) -> int:
    """Return how long the longest row is; what a row lost may stand on the line below it."""
    _, exponent, value, _ = scene.headings
    named_to = grid.exponent_at + len(exponent) if scene.after else 0
    if grid.values == "below":
        return max(grid.value_at - FIELD_GAP, named_to)
    beside = [max(len(rail.value.lstrip("\u2212")), len(rail.lost_words)) for rail in scene.rails]
    return max(
        max(grid.value_at, named_to + FIELD_GAP + 1) + len(value), grid.value_at + max(beside, default=0)
    )


def split_grid(grid: TextGrid) -> list[TextGrid]:
    """Return *grid* in pieces that fit a line, broken after every eight places or a multiple.

    A last place for a wall is kept free.
    """
    starts = [column for column in grid.columns if column % PIECE == 1 and column > grid.columns[0]]
    ends = [*starts, grid.columns.stop]
    pieces, first = [], grid.columns.start
    room = grid.width - grid.at[first] - 1
    for end, following in zip(ends, [*ends[1:], None], strict=True):
        if following is None or grid.at[following - 1] - grid.at[first] + grid.pitch > room:
            pieces.append(grid.part(range(first, end)))
            first = end
    return pieces
