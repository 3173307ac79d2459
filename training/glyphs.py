"""Digits as centre lines, so that any pen can trace them: made from strokes, or thinned from a data set's pictures.

A glyph is a field: at every point of a square, the distance to the centre line. `UCI` is the Optical Recognition of
Handwritten Digits data set (E. Alpaydin, C. Kaynak; UCI Machine Learning Repository, CC BY 4.0), as scikit-learn
hands it on: 1,797 digits of 13 writers, in the order of writing. MNIST is read for tests only: none is trained on.
"""

from __future__ import annotations

import struct
from functools import cache
from pathlib import Path

import numpy as np
import numpy.typing as npt

from chalkpoint.scanning.vision import cv2

__all__ = ["HEIGHT", "SIDE", "Field", "Glyphs", "made_glyphs", "mnist_glyphs", "thinned", "uci_glyphs"]

HEIGHT = 48  # px, of a glyph in its field
SIDE = 76  # px, of a field
LEAST_RING = 0.15  # how wide a 0 must be for its length, as spreads of its points
#: Of MNIST's training digits, those before LOOKED_AT were tested on before; from FIRST on they help to set thresholds.
FIRST, LOOKED_AT = 16000, 48000
A_PIXEL = 8  # units of a field to one of its pixels

Field = npt.NDArray[np.uint8]
Glyphs = dict[int, list[Field]]
Points = npt.NDArray[np.float64]


def _field(on: npt.NDArray[np.uint8]) -> Field:
    """Return the distance to the nearest 0 of *on*, in eighths of a pixel."""
    return np.asarray(np.clip(cv2.distanceTransform(on, cv2.DIST_L2, 5) * A_PIXEL, 0, 255), np.uint8)


def _drawn(strokes: list[Points]) -> Field:
    """Return the field of strokes whose points lie in -1..1, the glyph being as high as from -1 to 1."""
    on = np.ones((SIDE, SIDE), np.uint8)
    for stroke in strokes:
        points = np.round((stroke * HEIGHT / 2 + SIDE / 2) * 16).astype(np.int32)
        cv2.polylines(on, [points], False, 0, 1, cv2.LINE_8, 4)  # noqa: FBT003 - the library's own signature
    return _field(on)


def made_glyphs(seed: int, count: int) -> Glyphs:
    """Return *count* zeros and *count* ones made from strokes: round, narrow, leaning, open, looped; bare, bent."""
    draw = np.random.default_rng([seed, 71])
    return {
        0: [_drawn([_zero(draw)]) for _ in range(count)],
        1: [_drawn([_one(draw)]) for _ in range(count)],
    }


def _zero(draw: np.random.Generator) -> Points:
    """A ring: a superellipse whose ends meet, run past each other, or stay apart."""
    begins = draw.normal(-np.pi / 2, 0.7)
    turn = 2 * np.pi * (1 + draw.choice([0.0, draw.uniform(0.0, 0.12), -draw.uniform(0.02, 0.10)]))
    angle = begins + draw.choice([-1, 1]) * np.linspace(0, turn, 60)
    power = draw.uniform(0.75, 1.1)
    wide = draw.uniform(0.32, 0.85)
    across, up = np.cos(angle), np.sin(angle)
    ring = np.stack([wide * np.sign(across) * abs(across) ** power, np.sign(up) * abs(up) ** power], 1)
    ring *= (1 + draw.normal(0, 0.06) * np.linspace(-1, 1, 60))[:, None]
    ring[:, 0] *= 1 + draw.normal(0, 0.15) * ring[:, 1]  # an egg, its narrow end up or down
    ring[:, 0] += draw.normal(-0.1, 0.2) * ring[:, 1]
    return _shaken(ring, draw)


def _one(draw: np.random.Generator) -> Points:
    """A stroke from top to foot, bent a little."""
    down = np.linspace(-1, 1, 24)
    bend = draw.normal(0, 0.07) * (1 - down**2) + draw.normal(0, 0.03) * down**3
    return _shaken(np.stack([bend + draw.normal(-0.1, 0.15) * down, down], 1), draw)


def _shaken(points: Points, draw: np.random.Generator) -> Points:
    """Return the points as an unsteady hand draws them."""
    ripple = np.cumsum(draw.normal(0, 0.012, points.shape), 0)
    return np.asarray(points + ripple - np.linspace(0, 1, len(points))[:, None] * ripple[-1], np.float64)


def thinned(mask: npt.NDArray[np.bool_]) -> npt.NDArray[np.bool_]:
    """Return the centre line of a mask (Zhang and Suen, 1984)."""
    on = np.pad(mask.astype(np.uint8), 1)
    changed = True
    while changed:
        changed = False
        for half in (0, 1):
            ring = [
                np.roll(on, step, (0, 1))
                for step in ((1, 0), (1, -1), (0, -1), (-1, -1), (-1, 0), (-1, 1), (0, 1), (1, 1))
            ]
            near = sum(one.astype(int) for one in ring)
            rises = sum(((ring[at] == 0) & (ring[(at + 1) % 8] == 1)).astype(int) for at in range(8))
            north, east, south, west = ring[0], ring[2], ring[4], ring[6]
            free = (
                (north * east * south == 0) & (east * south * west == 0)
                if half == 0
                else (north * east * west == 0) & (north * south * west == 0)
            )
            goes = (on == 1) & (near >= 2) & (near <= 6) & (rises == 1) & free
            changed = changed or bool(goes.any())
            on[goes] = 0
    return on[1:-1, 1:-1].astype(bool)


def _from_picture(picture: npt.NDArray[np.float64]) -> Field | None:
    """Return the field of a small picture of a digit (ink 1, paper 0); None where too little is on it."""
    rows, columns = np.where(picture > 0.35)
    if len(rows) < 3:
        return None
    high, wide = np.ptp(rows) + 1, np.ptp(columns) + 1
    cut = picture[max(rows.min() - 2, 0) : rows.max() + 3, max(columns.min() - 2, 0) : columns.max() + 3]
    scale = HEIGHT / max(high, wide * 0.8)
    big = cv2.resize(np.pad(cut, 2), None, fx=scale, fy=scale, interpolation=cv2.INTER_CUBIC)
    rows, columns = np.where(thinned(cv2.GaussianBlur(big, (0, 0), scale * 0.4) > 0.4))
    if len(rows) < 8:
        return None
    down = rows - (rows.min() + rows.max()) // 2 + SIDE // 2
    along = columns - (columns.min() + columns.max()) // 2 + SIDE // 2
    inside = (down >= 0) & (down < SIDE) & (along >= 0) & (along < SIDE)
    on = np.ones((SIDE, SIDE), np.uint8)
    on[down[inside], along[inside]] = 0
    return _field(on)


def _glyphs(pictures: npt.NDArray[np.float64], digits: npt.NDArray[np.int64], most: int) -> Glyphs:
    found: Glyphs = {digit: [] for digit in range(10)}
    for picture, digit in zip(pictures, digits, strict=True):
        if len(found[int(digit)]) < (most if digit < 2 else most // 4 + 1):
            field = _from_picture(picture)
            if field is not None and (digit != 0 or _is_ring(field)):
                found[int(digit)].append(field)
    return found


def _is_ring(field: Field) -> bool:
    """Tell whether a 0 is still one: the thinning of a narrow one in a coarse picture may leave a single stroke."""
    rows, columns = np.where(field == 0)
    narrow, wide = np.linalg.eigvalsh(np.cov(rows, columns))
    return bool(narrow > (LEAST_RING * LEAST_RING) * wide)


@cache
def uci_glyphs(part: str, folder: Path | None = None) -> Glyphs:
    """Return the digits of UCI's writers.

    "other" are the last six of the thirteen that scikit-learn hands on. "train" are its first seven, and with a
    *folder* the thirty whom it leaves out. "pen" are the forty-four of the pen-based set in *folder*.
    """
    from sklearn.datasets import load_digits

    if part == "pen":
        assert folder is not None
        draw = np.random.default_rng(71)
        pen: Glyphs = {digit: [] for digit in range(10)}
        for row in _rows(folder / "penbased.dat"):
            if len(pen[row[-1]]) < (2000 if row[-1] < 2 else 150):
                narrow = draw.uniform(0.4, 0.95)  # the set has every digit as wide as it is high
                pen[row[-1]].append(_drawn([_pen_path(row[:-1].reshape(-1, 2)) * [narrow, 1]]))
        return pen
    data = load_digits()
    half = slice(0, 970) if part == "train" else slice(970, None)
    pictures, digits = data.images[half] / 16.0, data.target[half]
    if part == "train" and folder is not None:
        known = {picture.astype(np.int64).tobytes() for picture in data.images}
        rest = np.array([row for row in _rows(folder / "optdigits.dat") if row[:-1].tobytes() not in known])
        pictures = np.concatenate([pictures, rest[:, :-1].reshape(-1, 8, 8) / 16.0])
        digits = np.concatenate([digits, rest[:, -1]])
    return _glyphs(pictures, digits, 600)


def _rows(path: Path) -> npt.NDArray[np.int64]:
    """Return the rows of a table of UCI's or KEEL's: values, and the digit as the last of them."""
    lines = path.read_text(encoding="utf-8").splitlines()
    return np.array([[int(one) for one in line.split(",")] for line in lines if line and line[0] != "@"])


def _pen_path(points: npt.NDArray[np.int64]) -> Points:
    """Return the course of a pen through the eight points that are known of it (Catmull and Rom, 1974)."""
    middle = (points.min(0) + points.max(0)) / 2
    known = (points - middle) / np.array([50, -50])
    around = np.concatenate([2 * known[:1] - known[1:2], known, 2 * known[-1:] - known[-2:-1]])
    a, b, c, d = (around[at : len(around) - 3 + at, None] for at in range(4))
    along = np.linspace(0, 1, 12)[:, None]
    course = b + along / 2 * (c - a + along * (2 * a - 5 * b + 4 * c - d + along * (3 * (b - c) + d - a)))
    return np.asarray(course.reshape(-1, 2), np.float64)


@cache
def mnist_glyphs(folder: Path, part: str, most: int = 3000) -> Glyphs:
    """Return digits of MNIST: "test" is looked at once, the others choose how strict to be."""
    name = "t10k" if part == "strict" else "train"
    begin = {"strict": 0, "seen": FIRST, "test": LOOKED_AT}[part]
    pictures = _idx(folder / f"{name}-images-idx3-ubyte")
    digits = _idx(folder / f"{name}-labels-idx1-ubyte")
    return _glyphs(pictures[begin:] / 255.0, digits[begin:].astype(np.int64), most)


def _idx(path: Path) -> npt.NDArray[np.uint8]:
    content = path.read_bytes()
    shape = struct.unpack(f">{content[3]}I", content[4 : 4 + 4 * content[3]])
    return np.frombuffer(content, np.uint8, offset=4 + 4 * content[3]).reshape(shape)
