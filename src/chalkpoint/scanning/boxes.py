"""Crops: the inside and surroundings of one box of a page that was laid flat, beside what was printed there."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from chalkpoint.scanning.vision import cv2

__all__ = ["CROP_HIGH", "CROP_WIDE", "PER_MM", "contrast_of", "crop", "crops_of", "ink_of", "tone_of"]

PER_MM = 5.0  # px of a page that was laid flat
CROP_WIDE, CROP_HIGH = 44, 64
#: What of a box's surroundings a crop shows, in boxes: more above, where corrections are written.
LEFT, RIGHT, TOP, BOTTOM = -0.19, 1.19, -0.38, 1.14

INSIDE = np.s_[18:52, 8:36]  # of a crop: what lies within the box
PIXELS = 40  # of a box, the darkest, by which its pen is judged: about as many as the shortest 1 has
WRITTEN = 2 / 3  # of the stroke in the fullest boxes: with less of one, a box counts as empty
LONG = 9  # px: no speck is as long


def _lines() -> list[npt.NDArray[np.float32]]:
    """Return kernels that take the mean along a line, in eight directions."""
    found = []
    for turn in np.pi * np.arange(8) / 8:
        ends = (LONG // 2 * np.array([[-1], [1]]) * [np.cos(turn), np.sin(turn)] + LONG // 2).round()
        line = np.zeros((LONG, LONG), np.uint8)
        cv2.line(line, *ends.astype(int).tolist(), 1)
        found.append((line / line.sum()).astype(np.float32))
    return found


LINES = _lines()

Grey = npt.NDArray[np.uint8]
Ink = npt.NDArray[np.float32]
Crops = npt.NDArray[np.uint8]
Rectangle = tuple[float, float, float, float]  # left, top, width and height in mm


def ink_of(page: Grey) -> Ink:
    """Return how much ink is at each point (0..1), held against the paper around it: shadows fall away."""
    small = cv2.resize(page, None, fx=0.2, fy=0.2, interpolation=cv2.INTER_AREA)
    paper = cv2.morphologyEx(small, cv2.MORPH_CLOSE, np.ones((13, 13), np.uint8))
    paper = cv2.GaussianBlur(paper, (0, 0), 3)
    around = cv2.resize(paper, (page.shape[1], page.shape[0])).astype(np.float32)
    return np.clip(1 - page.astype(np.float32) / np.maximum(around, 8), 0, 1)


def contrast_of(ink: Ink, printed: Ink) -> float:
    """Return how dark the printed lines came out, by which a page's ink is made comparable with any other's."""
    lines = printed > 0.6
    return float(np.quantile(ink[lines], 0.6)) if lines.sum() > 50 else 0.8


def even_ink(ink: Ink, printed: Ink) -> Ink:
    """Return ink in which printed lines are equally dark on every page."""
    return np.clip(ink / max(contrast_of(ink, printed), 0.3), 0, 1.3) / np.float32(1.3)


def crop(ink: Ink, box: Rectangle, moved: tuple[float, float] = (0.0, 0.0)) -> Ink:
    """Return the crop of one box that was found *moved* by so many mm from where it was printed."""
    x, y, wide, high = box
    across, down = (RIGHT - LEFT) * wide / CROP_WIDE * PER_MM, (BOTTOM - TOP) * high / CROP_HIGH * PER_MM
    first = (x + moved[0] + LEFT * wide) * PER_MM + across / 2 - 0.5
    top = (y + moved[1] + TOP * high) * PER_MM + down / 2 - 0.5
    back = np.array([[across, 0, first], [0, down, top]], np.float32)
    how = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    return cv2.warpAffine(ink, back, (CROP_WIDE, CROP_HIGH), flags=how, borderMode=cv2.BORDER_REPLICATE)


def crops_of(
    ink: Ink, printed: Ink, boxes: Sequence[Rectangle], moved: npt.NDArray[np.float64] | None = None
) -> Crops:
    """Return the crops of *boxes*, each with the blank print at the same place: (boxes, 2, CROP_HIGH, CROP_WIDE).

    moved  by how many mm to the right and down each box was found from where it was printed
    """
    found = np.zeros((len(boxes), 2, CROP_HIGH, CROP_WIDE), np.uint8)
    for at, box in enumerate(boxes):
        by = (0.0, 0.0) if moved is None else (float(moved[at, 0]), float(moved[at, 1]))
        found[at, 0] = np.clip(crop(ink, box, by) * 255, 0, 255)
        found[at, 1] = np.clip(crop(printed, box) * 255, 0, 255)
    return found


def tone_of(crops: Crops) -> float:
    """Return how dark the pencil or pen of a page is, from all its boxes together: 0 where nothing was written.

    Only what is as long as a stroke counts: the pepper of a photocopier may be darker than a pencil, but is short.
    Boxes with far less of it than the fullest are empty, and say nothing of the pen.
    """
    if not len(crops):
        return 0.0
    strokes = np.array([_stroke(*one) for one in crops])
    written = strokes >= np.quantile(strokes, 0.9) * WRITTEN
    return float(np.median(strokes[written]))


def _stroke(crop: npt.NDArray[np.uint8], printed: npt.NDArray[np.uint8]) -> float:
    """Return how dark the strokes within one box are that were not printed there (0..1)."""
    added = cv2.subtract(crop[INSIDE], cv2.dilate(printed, np.ones((3, 3), np.uint8))[INSIDE])
    along = np.max([cv2.filter2D(added, -1, line, borderType=cv2.BORDER_CONSTANT) for line in LINES], 0)
    return float(np.partition(along, along.size - PIXELS, None)[-PIXELS:].mean()) / 255
