"""Crops: what stands in and around one box of a page that was laid flat, beside what was printed there."""

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
    """Return how dark the pencil or pen of a page is, from all its boxes together."""
    if not len(crops):
        return 0.0
    inside = crops[:, :, 18:52, 7:37].astype(np.int16)
    added = np.clip(inside[:, 0] - inside[:, 1], 0, 255).reshape(len(crops), -1)
    darkest = np.partition(added, added.shape[1] - 40, 1)[:, -40:].mean(1) / 255
    return float(np.quantile(darkest, 0.7))
