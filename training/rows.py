"""Rows of boxes to learn from: printed, filled in by a pupil drawn at random, taken, and cropped as a page's are."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pypdfium2
from cameras import CAPTURES, seen
from glyphs import Glyphs
from pens import KINDS, PENS, SCALE, USUAL, Writer, a_pupil

from chalkpoint.scanning.boxes import PER_MM, crops_of, even_ink, ink_of, tone_of
from chalkpoint.scanning.printed import Printed, rendered
from chalkpoint.scanning.vision import cv2

__all__ = ["Crops", "Strip", "crops_from", "strips_of"]

AROUND = (8.0, 7.0, 8.0, 5.0)  # mm at the left, above, at the right, below


@dataclass(frozen=True, slots=True, eq=False)
class Strip:
    """A row of boxes with the print around it; boxes as left, top, width and height in mm within it."""

    paper: npt.NDArray[np.float32]
    boxes: npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Crops:
    """Crops with the truth of each: what happened in it, what may be read, and how it was taken."""

    x: npt.NDArray[np.uint8]
    tone: npt.NDArray[np.float32]
    truth: npt.NDArray[np.int8]
    kind: npt.NDArray[np.int8]
    capture: npt.NDArray[np.int8]
    pen: npt.NDArray[np.int8]

    def save(self, path: Path) -> None:
        """Write them to a file."""
        np.savez(path, **{name: getattr(self, name) for name in self.__slots__})

    @classmethod
    def load(cls, path: Path) -> Crops:
        """Read them from a file."""
        with np.load(path) as kept:
            return cls(**{name: kept[name] for name in cls.__slots__})


def strips_of(papers: Path) -> list[Strip]:
    """Return every row of boxes of the papers in papers.json, as printed."""
    printed = Printed.beside(papers)
    found = []
    for code, (path, number) in printed.files.items():
        with pypdfium2.PdfDocument(path) as document:
            page = rendered(document, number, SCALE).astype(np.float32) / np.float32(255)
        side = printed.side(code)
        for row in side.rows:
            boxes = np.array([side.rectangles[at] for at in row if side.boxes[at].is_read])
            if len(boxes):
                left, top = boxes[:, 0].min() - AROUND[0], boxes[:, 1].min() - AROUND[1]
                right = (boxes[:, 0] + boxes[:, 2]).max() + AROUND[2]
                bottom = (boxes[:, 1] + boxes[:, 3]).max() + AROUND[3]
                cut = page[int(top * SCALE) : int(bottom * SCALE), int(left * SCALE) : int(right * SCALE)]
                found.append(
                    Strip(cut.copy(), boxes - [int(left * SCALE) / SCALE, int(top * SCALE) / SCALE, 0, 0])
                )
    return found


def crops_from(
    strips: list[Strip],
    glyphs: Callable[[np.random.Generator], Glyphs],
    count: int,
    *,
    seed: int,
    first: int = 0,
    shares: tuple[float, ...] = USUAL,
    captures: tuple[str, ...] = tuple(CAPTURES),
) -> Crops:
    """Return the crops of *count* rows from the *first* on, each by a pupil of its own, in the shapes of *glyphs*."""
    parts = [
        _row(strips, glyphs, np.random.default_rng([seed, at]), shares, captures)
        for at in range(first, first + count)
    ]
    columns = zip(*parts, strict=True)
    return Crops(*(np.concatenate(column) for column in columns))


def _row(
    strips: list[Strip],
    glyphs: Callable[[np.random.Generator], Glyphs],
    draw: np.random.Generator,
    shares: tuple[float, ...],
    captures: tuple[str, ...],
) -> tuple[npt.NDArray[np.generic], ...]:
    strip, capture = strips[draw.integers(len(strips))], str(draw.choice(captures))
    pupil, count = a_pupil(draw), len(strip.boxes)
    ink = np.zeros(strip.paper.shape, np.float32)
    writer = Writer(ink, pupil, glyphs(draw), draw)
    kinds = [KINDS[at] for at in draw.choice(len(KINDS), count, p=np.array(shares) / sum(shares))]
    bits = draw.integers(0, 2, count)
    edges = np.column_stack([strip.boxes[:, :2], strip.boxes[:, :2] + strip.boxes[:, 2:]]) * SCALE
    truth = writer.write(edges, kinds, [int(bit) for bit in bits])
    writer.finish()
    crops = _taken(strip, strip.paper * (1 - ink), capture, draw)
    same = np.full(count, list(CAPTURES).index(capture)), np.full(count, list(PENS).index(pupil.pen))
    return (
        crops,
        np.full(count, tone_of(crops), np.float32),
        np.array(truth, np.int8),
        np.array([KINDS.index(kind) for kind in kinds], np.int8),
        *(one.astype(np.int8) for one in same),
    )


def _taken(
    strip: Strip, paper: npt.NDArray[np.float32], capture: str, draw: np.random.Generator
) -> npt.NDArray[np.uint8]:
    """Return the crops of a row after it was taken, laid flat again as exactly as pages are."""
    how = CAPTURES[capture]
    scale = how.scale / SCALE
    high, wide = paper.shape
    size = int(wide * scale), int(high * scale)
    turn = draw.normal(0, 0.012 if how.is_phone else 0.006)
    c, s = np.cos(turn), np.sin(turn)
    matrix = np.array([[c, -s], [s, c]]) * scale * draw.uniform(0.97, 1.03, (2, 1))
    there = np.column_stack([matrix, np.array(size) / 2 - matrix @ np.array([wide / 2, high / 2])])
    how_drawn = cv2.INTER_AREA if scale < 1 else cv2.INTER_LINEAR
    picture = seen(cv2.warpAffine(paper, there, size, flags=how_drawn, borderValue=1.0), capture, draw)
    off, step = (0.12 if how.is_phone else 0.06) * SCALE, SCALE / PER_MM
    flat = there @ np.array(
        [
            [step * (1 + draw.normal(0, 0.0012)), draw.normal(0, 0.002), draw.normal(0, off)],
            [draw.normal(0, 0.002), step * (1 + draw.normal(0, 0.002)), draw.normal(0, off)],
            [0, 0, 1],
        ]
    )
    size = int(wide / step), int(high / step)
    laid = cv2.warpAffine(
        picture, flat, size, flags=cv2.INTER_AREA | cv2.WARP_INVERSE_MAP, borderMode=cv2.BORDER_REPLICATE
    )
    printed = cv2.resize(1 - strip.paper, size, interpolation=cv2.INTER_AREA)
    printed = np.clip(printed - np.median(printed), 0, 1)
    boxes = [(float(x), float(y), float(wide), float(high)) for x, y, wide, high in strip.boxes]
    return crops_of(even_ink(ink_of(laid), printed), printed, boxes)
