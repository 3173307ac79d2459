"""Paper bends: how far each box is from where a flat page would have it, row by row."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

from chalkpoint.scanning.boxes import PER_MM, Ink
from chalkpoint.scanning.printed import Side
from chalkpoint.scanning.vision import cv2

__all__ = ["Fit", "fitted"]

FAR, NEAR = (
    (3.4, 4.6),
    (1.2, 1.2),
)  # mm, how far a row is looked for across and down; NEAR on a straightened page
LIKE = (
    0.45  # of the way to the next box and to the next row that looks the same: no row is looked for farther
)
CLOSE = 0.8  # mm, how far around the place found in a coarse picture it is looked for in a fine one
COARSE = 2
TOGETHER = 4  # boxes that are held against the print at a time
AROUND = 1.5  # mm
LINE = 0.05  # ink: what is printed and close to it is compared, not what pupils write within boxes
STRAY = 0.25  # mm: a piece of a row that is farther off than its neighbours counts little

Array = npt.NDArray[np.float64]
Reach = tuple[float, float]  # mm across and down
#: For each box: by how many mm it moved to the right and down (boxes, 2), and how well its row fits (boxes).
Fit = tuple[Array, Array]


def fitted(ink: Ink, side: Side, *, is_straight: bool) -> Fit:
    """Return how far the boxes of *side* moved on the page whose *ink* is given, and how well each row fits."""
    far = NEAR if is_straight else FAR
    moved, fit = np.zeros((len(side.boxes), 2)), np.zeros(len(side.boxes))
    fine = cv2.GaussianBlur(ink, (0, 0), 0.9), cv2.GaussianBlur(side.shares(), (0, 0), 0.9)
    coarse = _smaller(fine[0]), _smaller(fine[1])
    places = np.array(side.rectangles).reshape(-1, 4)
    done: list[int] = []
    for reach, row in sorted(_reaches(side, places, far), reverse=True):
        boxes = places[row]
        near = moved[_nearest(done, row[0], places)] if done and reach != far else np.zeros(2)
        pieces = [
            piece
            for at in range(0, len(row), 2)
            if (piece := _piece(fine, coarse, boxes[at : at + TOGETHER], near, reach)) is not None
        ]
        if not pieces:
            continue
        found = np.array(pieces)
        middles = boxes[:, 0] + boxes[:, 2] / 2
        for axis in (0, 1):
            moved[row, axis] = _smoothed(found[:, 0], found[:, 1 + axis], found[:, 3], middles)
        fit[row] = np.median(found[:, 3])
        done += row
    framed = {at for row in side.rows for at in row}
    for at in set(range(len(side.boxes))) - framed if done else ():
        moved[at] = moved[_nearest(done, at, places)]  # room for words has no frame to be found by
    return moved, fit


def _reaches(side: Side, places: Array, far: Reach) -> Iterator[tuple[Reach, list[int]]]:
    """Yield how far each row is looked for, and the row: never so far that a box is taken for another like it."""
    rows = side.rows
    for row in rows:
        left, top, _, high = places[row[0]]
        like = [
            abs(places[other[0], 1] - top)
            for other in rows
            if other is not row
            and abs(places[other[0], 0] - left) < high
            and abs(places[other[0], 3] - high) < high / 4
        ]
        beside = np.diff(np.sort(places[row, 0])).min() if len(row) > 1 else np.inf
        across, down = LIKE * beside, LIKE * min(like, default=np.inf)
        yield (float(min(far[0], across)), float(min(far[1], down))), row


def _nearest(done: list[int], at: int, places: Array) -> int:
    """Return which of the boxes *done* is nearest to another, those beside it before those above and below."""
    far = abs(places[done, 1] - places[at, 1]) + abs(places[done, 0] - places[at, 0]) / 10
    return done[int(np.argmin(far))]


def _smaller(picture: Ink) -> Ink:
    return cv2.resize(picture, None, fx=1 / COARSE, fy=1 / COARSE, interpolation=cv2.INTER_AREA)


def _piece(
    fine: tuple[Ink, Ink], coarse: tuple[Ink, Ink], boxes: Array, near: Array, reach: Reach
) -> tuple[float, float, float, float] | None:
    """Return (where, mm to the right, mm down, likeness) of a few boxes; None where they reach over the edge."""
    left, top = boxes[:, 0].min() - AROUND, boxes[:, 1].min() - AROUND
    right, bottom = (boxes[:, 0] + boxes[:, 2]).max() + AROUND, (boxes[:, 1] + boxes[:, 3]).max() + AROUND
    edges = left, top, right, bottom
    first = _found(*coarse, edges, PER_MM / COARSE, (float(near[0]), float(near[1])), reach)
    found = first and _found(*fine, edges, PER_MM, first[:2], (CLOSE, CLOSE))
    return found and ((left + right) / 2, *found)


def _found(
    seen: Ink,
    printed: Ink,
    edges: tuple[float, ...],
    per_mm: float,
    near: tuple[float, float],
    reach: Reach,
) -> tuple[float, float, float] | None:
    """Return by how many mm the print within *edges* moved to the right and down, and how alike it is there."""
    a, b, c, d = (round(edge * per_mm) for edge in edges)
    x, y = (round(one * per_mm) for one in near)
    across, down = (round(one * per_mm) for one in reach)
    west, north = max(a + x - across, 0), max(b + y - down, 0)
    around = seen[north : d + y + down, west : c + x + across]
    if around.shape[0] < d - b or around.shape[1] < c - a:
        return None
    wanted = printed[b:d, a:c]
    near_lines = cv2.dilate(wanted, np.ones((3, 3), np.uint8)) > LINE
    alike = cv2.matchTemplate(around, wanted, cv2.TM_CCOEFF_NORMED, mask=near_lines.astype(np.float32))
    alike[~np.isfinite(alike) | (abs(alike) > 1.01)] = -1  # where all is one grey
    _, best, _, (right, low) = cv2.minMaxLoc(alike)
    return (
        (_peak(alike[low], right) + west - a) / per_mm,
        (_peak(alike[:, right], low) + north - b) / per_mm,
        best,
    )


def _peak(values: npt.NDArray[np.float32], at: int) -> float:
    """Return where a parabola through the highest value and its neighbours is highest."""
    if not 0 < at < len(values) - 1:
        return at
    before, here, after = (float(one) for one in values[at - 1 : at + 2])
    return at + 0.5 * (before - after) / (before - 2 * here + after - 1e-9)


def _smoothed(where: Array, by: Array, likeness: Array, wanted: Array) -> Array:
    """Return a smooth course through what the pieces of a row say; those that disagree count little."""
    scaled = (where - where.mean()) / 100
    first = np.clip(likeness, 0.01, 1) ** 2
    weights = first.copy()
    course = np.zeros(1)
    for _ in range(4):
        course = np.polyfit(scaled, by, min(2, len(where) - 1), w=weights)
        weights = first / (1 + ((by - np.polyval(course, scaled)) / STRAY) ** 2)
    return np.asarray(np.polyval(course, (wanted - where.mean()) / 100))
