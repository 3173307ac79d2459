"""Corner marks: from a square code and the printed wedges to the way that a page lies in a picture."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from chalkpoint.scanning.boxes import PER_MM
from chalkpoint.scanning.codes import Code
from chalkpoint.scanning.printed import Side
from chalkpoint.scanning.vision import cv2

__all__ = ["LEAST_CORNERS", "Placed", "placed_by_code", "placed_without_code"]

INSET, LEG = 8.0, 7.0  # mm, of a wedge from the edges, and along them
LEAST_CORNERS = 3
GOOD = 0.6  # the least likeness of a corner found by its picture
ORDER = (1, 0, 3, 2)  # top right first, where the larger code is

Grey = npt.NDArray[np.uint8]
Points = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """How a page lies in a picture.

    matrix   takes mm of the page to px of the picture (3, 3); None where too few corners were found
    corners  how many corners were found
    """

    matrix: Points | None
    corners: int


def wedges_of(size: tuple[float, float]) -> list[Points]:
    """Return the corner wedges of a page in mm, the right angle of each first: top left, top right, bottom both."""
    wide, high = size
    found = []
    for down in (0, 1):
        for along in (0, 1):
            x, y = (wide - INSET if along else INSET), (high - INSET if down else INSET)
            a, b = (-LEG if along else LEG), (-LEG if down else LEG)
            found.append(np.array([[x, y], [x + a, y], [x, y + b]]))
    return found


def placed_by_code(picture: Grey, codes: list[Code], side: Side) -> Placed:
    """Return how *side* lies in a picture in which its *codes* were read."""
    pairs = _pairs(codes, side)
    mm = np.concatenate([there for there, _ in pairs])
    px = np.concatenate([here for _, here in pairs])
    unit = float(np.ptp(pairs[0][1], 0).max() / np.ptp(pairs[0][0], 0).max())
    return _grown(picture, mm, px, _triangles(picture, unit), side)


def placed_without_code(picture: Grey, side: Side) -> Placed:
    """Return how *side*, named by the teacher, lies in a picture that has no code to read: all four ways are tried."""
    unit = max(picture.shape) / max(side.size)
    best, likeness = Placed(None, 0), 0.3
    triangles = _triangles(picture, unit)
    for turn in range(4):
        wide, high = side.size
        page = np.array([[0, 0], [wide, 0], [wide, high], [0, high]])
        across, down = picture.shape[1], picture.shape[0]
        frame = np.roll(np.array([[0.0, 0], [across, 0], [across, down], [0, down]]), -turn, 0)
        found = _grown(picture, page, frame, triangles, side)
        if found.matrix is not None:
            alike = _likeness(picture, found.matrix, side)
            if alike > likeness:
                best, likeness = found, alike
    return best


def _pairs(codes: list[Code], side: Side) -> list[tuple[Points, Points]]:
    """Return the corners of each printed code (mm) with those of the one that was read (px): the larger first."""
    printed = sorted(side.codes, key=lambda one: -one.side)
    if len(codes) >= 2 and len(printed) >= 2:
        return list(
            zip((one.corners for one in printed), (one.corners for one in _by_place(codes)), strict=False)
        )
    return [(printed[0].corners, codes[0].corners)]


def _by_place(codes: list[Code]) -> list[Code]:
    """Return the upper code first: seen from the one at top right, the other is below and at the left."""
    first, second = codes[:2]
    along, down = first.corners[1] - first.corners[0], first.corners[3] - first.corners[0]
    way = second.corners.mean(0) - first.corners.mean(0)
    return (
        [first, second] if way @ down > 0 > way @ along or way @ down > abs(way @ along) else [second, first]
    )


def _affine(mm: Points, px: Points, weights: Points) -> Points:
    ones = np.c_[mm, np.ones(len(mm))]
    solved = np.linalg.lstsq(ones * weights[:, None], px * weights[:, None], rcond=None)[0]
    return np.vstack([solved.T, [0, 0, 1]])


def _homography(mm: Points, px: Points) -> Points:
    found, _ = cv2.findHomography(mm.reshape(-1, 1, 2), px.reshape(-1, 1, 2), 0)
    return np.asarray(found)


def _triangles(picture: Grey, unit: float) -> list[Points]:
    """Return right-angled triangles with legs of about a wedge's, the right angle first; *unit* is about px/mm."""
    scale = min(1.0, 5 / unit)
    small = (
        cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA) if scale < 1 else picture
    )
    u = unit * scale
    dark = cv2.adaptiveThreshold(
        cv2.GaussianBlur(small, (0, 0), 0.8),
        255,
        cv2.ADAPTIVE_THRESH_MEAN_C,
        cv2.THRESH_BINARY_INV,
        int(20 * u) | 1,
        22,
    )
    contours, nested = cv2.findContours(dark, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    found = []
    for at, contour in enumerate(contours):
        area = cv2.contourArea(contour)
        if nested[0][at][3] >= 0 or not 10 * u * u < area < 60 * u * u:  # a hole, or not of a wedge's size
            continue
        _, triangle = cv2.minEnclosingTriangle(contour)
        if triangle is None or area / max(cv2.contourArea(triangle), 1) < 0.78:
            continue
        corners = triangle.reshape(3, 2).astype(np.float64)
        longest = int(
            np.argmax([np.linalg.norm(corners[(at + 1) % 3] - corners[(at + 2) % 3]) for at in range(3)])
        )
        ordered = np.roll(corners, -longest, 0)
        one, other = ordered[1] - ordered[0], ordered[2] - ordered[0]
        if abs(one @ other) < 0.35 * np.linalg.norm(one) * np.linalg.norm(other):
            found.append((ordered + 0.5) / scale - 0.5)
    return found


def _grown(picture: Grey, mm: Points, px: Points, triangles: list[Points], side: Side) -> Placed:
    """Find the corners one after another, each expected from what was found before it; then each by its picture."""
    wedges = wedges_of(side.size)
    known_mm, known_px, weights = list(mm), list(px), [1.0] * len(mm)
    found = 0
    for which in ORDER:
        back = np.linalg.inv(_affine(np.array(known_mm), np.array(known_px), np.array(weights)))
        best = _nearest(triangles, np.asarray(back, np.float64), wedges[which])
        if best is not None:
            known_mm += list(wedges[which])
            known_px += list(best)
            weights += [2.0] * 3
            found += 1
    if found < LEAST_CORNERS:
        return Placed(None, found)
    first = len(mm)
    return _refined(
        picture, _homography(np.array(known_mm[first:]), np.array(known_px[first:])), side, (mm, px)
    )


def _nearest(triangles: list[Points], back: Points, wedge: Points) -> Points | None:
    """Return the triangle nearest to where *wedge* should be that points the same way, its corners in its order."""
    middle = wedge.mean(0)
    out = (wedge[0] - middle) / np.linalg.norm(wedge[0] - middle)
    best: tuple[float, Points] | None = None
    for triangle in triangles:
        at = (np.c_[triangle, np.ones(3)] @ back.T)[:, :2]
        way = at[0] - at.mean(0)
        far = float(np.linalg.norm(at.mean(0) - middle))
        if far < 45 and way @ out > 0.8 * np.linalg.norm(way) and (best is None or far < best[0]):
            same = (at[1] - at[0]) @ (wedge[1] - wedge[0]) > (at[2] - at[0]) @ (wedge[1] - wedge[0])
            best = far, (triangle if same else triangle[[0, 2, 1]])
    return None if best is None else best[1]


def _refined(picture: Grey, matrix: Points, side: Side, code: tuple[Points, Points]) -> Placed:
    """Return the place of the page from each corner's own picture, held against the print within a few mm."""
    fine, half, around = 6.0, 9.0, 1.7
    count, there, here = int(2 * half * fine), [], []
    for wedge in wedges_of(side.size):
        low, high = wedge.min(0), wedge.max(0)
        middle = (low + high) / 2
        local = np.array([[1 / fine, 0, middle[0] - half], [0, 1 / fine, middle[1] - half], [0, 0, 1]])
        seen = cv2.warpPerspective(
            picture,
            matrix @ local,
            (count, count),
            flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP,
            borderMode=cv2.BORDER_REPLICATE,
        )
        left, top, right, bottom = (round(one * PER_MM) for one in (*(low - around), *(high + around)))
        print_of = cv2.resize(side.ink[top:bottom, left:right], (int((LEG + 2 * around) * fine),) * 2)
        pattern = cv2.GaussianBlur(255 - print_of, (0, 0), 1.2)
        alike = cv2.matchTemplate(seen, pattern, cv2.TM_CCOEFF_NORMED)
        _, best, _, (x, y) = cv2.minMaxLoc(alike)
        if best >= GOOD:
            size = pattern.shape[0] / 2
            point = matrix @ np.array(
                [(x + size) / fine + middle[0] - half, (y + size) / fine + middle[1] - half, 1]
            )
            there.append(middle)
            here.append(point[:2] / point[2])
    if len(there) < LEAST_CORNERS:
        return Placed(None, len(there))
    count = len(there)
    if count == LEAST_CORNERS:
        there.append(code[0].mean(0))
        here.append(code[1].mean(0))
    return Placed(_homography(np.array(there), np.array(here)), count)


def _likeness(picture: Grey, matrix: Points, side: Side) -> float:
    """Return how alike the page laid flat and the blank print are, from -1 to 1."""
    small = np.diag([2 / PER_MM, 2 / PER_MM, 1.0])
    size = side.ink.shape[1] // 2, side.ink.shape[0] // 2
    flat = cv2.warpPerspective(picture, matrix @ small, size, flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP)
    printed = cv2.GaussianBlur(cv2.resize(side.ink, size, interpolation=cv2.INTER_AREA), (0, 0), 1.5)
    ink = cv2.GaussianBlur(255 - flat, (0, 0), 1.5)
    return float(cv2.matchTemplate(ink, printed, cv2.TM_CCOEFF_NORMED)[0, 0])
