"""Paper that is bent as a whole: the page laid flat is straightened by its own print before its rows are looked for."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from chalkpoint.scanning.boxes import PER_MM
from chalkpoint.scanning.corners import wedges_of
from chalkpoint.scanning.printed import Side
from chalkpoint.scanning.vision import cv2

__all__ = ["straightened"]

COARSE = 2.0  # px/mm
TILE, STEP, REACH = 18.0, 9.0, 4.2  # mm: of print that is looked for, from one to the next, and how far
PRINTED = 0.02  # of a tile must be print
ALIKE = 0.55  # a tile must be at least as like its print
LEAST = 25  # tiles
BENT = 0.8  # mm: what is bent less, the rows find by themselves
STRAY = 0.4  # mm: a tile that is farther off its neighbours counts little
TIMES = 2
GRID = (56, 40)  # points down and across a page at which a bend is reckoned

Grey = npt.NDArray[np.uint8]
Array = npt.NDArray[np.float64]


def straightened(flat: Grey, side: Side) -> tuple[Grey, bool]:
    """Return the page with each point where the print has it, as far as a smooth bend says; and whether one was found.

    A page that is bent by less than BENT is returned as it is, and so is one on which too little print is found.
    """
    for _ in range(TIMES):
        bend = _bend(flat, side)
        if bend is None:
            return flat, False
        if np.linalg.norm(_terms(_grid(flat)) @ bend, axis=1).max() < BENT:
            break
        flat = _moved(flat, bend)
    return flat, True


def _bend(flat: Grey, side: Side) -> Array | None:
    """Return the coefficients (terms, 2) of how far, in mm, points moved; None where no bend explains it."""
    middles, moved, alike = _tiles(flat, side)
    if len(middles) < LEAST:
        return None
    corners = np.array([wedge.mean(0) for wedge in wedges_of(side.size)])  # by them the page was laid flat
    where = _terms(np.concatenate([middles, corners]))
    by = np.concatenate([moved, np.zeros((len(corners), 2))])
    first = np.concatenate([alike**2, np.full(len(corners), 2.0)])
    weights, found = first, np.zeros((where.shape[1], 2))
    for _ in range(6):
        root = np.sqrt(weights)[:, None]
        found = np.linalg.lstsq(where * root, by * root, rcond=None)[0]
        stray = np.linalg.norm(by - where @ found, axis=1)
        weights = first / (1 + (stray / STRAY) ** 2)
    return found if np.median(stray) < STRAY else None


def _tiles(flat: Grey, side: Side) -> tuple[Array, Array, Array]:
    """Return the middles of the tiles that are found (mm), by how much each moved (mm), and how like it is."""
    high, wide = (round(one * COARSE / PER_MM) for one in flat.shape)
    seen, printed = (
        cv2.GaussianBlur(cv2.resize(one, (wide, high), interpolation=cv2.INTER_AREA), (0, 0), 1.0)
        for one in (255 - flat, side.ink)
    )
    tile, reach = round(TILE * COARSE), round(REACH * COARSE)
    found = []
    for top in range(reach, high - tile - reach, round(STEP * COARSE)):
        for left in range(reach, wide - tile - reach, round(STEP * COARSE)):
            wanted = printed[top : top + tile, left : left + tile]
            if wanted.mean() < PRINTED * 255:
                continue
            around = seen[top - reach : top + tile + reach, left - reach : left + tile + reach]
            likeness = cv2.matchTemplate(around, wanted, cv2.TM_CCOEFF_NORMED)
            _, best, _, (x, y) = cv2.minMaxLoc(likeness)
            if best >= ALIKE:
                found.append((left + tile / 2, top + tile / 2, x - reach, y - reach, best * COARSE))
    table = np.array(found).reshape(-1, 5) / COARSE
    return table[:, :2], table[:, 2:4], table[:, 4]


def _terms(points: Array) -> Array:
    """Return what a bend is made of at each point: it may wave along the page and across it, and twist a little."""
    x, y = points[:, 0] / 100 - 1, points[:, 1] / 150 - 1
    return np.column_stack(
        [np.ones(len(x)), *(x**n for n in range(1, 5)), *(y**n for n in range(1, 5)), x * y]
    )


def _grid(flat: Grey) -> Array:
    """Return points over the whole page, in mm, as many as GRID says, row by row."""
    down, across = (np.linspace(0, one / PER_MM, count) for one, count in zip(flat.shape, GRID, strict=True))
    return np.stack(np.meshgrid(across, down), -1).reshape(-1, 2)


def _moved(flat: Grey, bend: Array) -> Grey:
    """Return the page with each point taken from where it moved to."""
    points = _grid(flat)
    there = ((points + _terms(points) @ bend) * PER_MM).reshape(*GRID, 2).astype(np.float32)
    maps = [_spread(there[..., axis], (flat.shape[1], flat.shape[0])) for axis in (0, 1)]
    return np.asarray(cv2.remap(flat, *maps, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE), np.uint8)


def _spread(values: npt.NDArray[np.float32], size: tuple[int, int]) -> npt.NDArray[np.float32]:
    """Return values on a grid from edge to edge spread over every px (cv2.resize would put them half a cell in)."""
    rows, columns = values.shape
    step = np.array([[(columns - 1) / size[0], 0, 0], [0, (rows - 1) / size[1], 0]], np.float32)
    how = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    return cv2.warpAffine(values, step, size, flags=how, borderMode=cv2.BORDER_REPLICATE)
