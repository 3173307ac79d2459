"""Whole pages filled in: a printed side, a pupil's hand, and the truth of every box."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import pypdfium2
from glyphs import Glyphs
from pens import BLANK, KINDS, SCALE, USUAL, Pupil, Writer

from chalkpoint.scanning.places import Box
from chalkpoint.scanning.printed import Printed, rendered

__all__ = ["Filled", "filled", "paper_of"]

#: Says what bit a box should hold: 0, 1, or None for an empty one; of a box to tick, 1 for a cross.
Says = Callable[[Box], int | None]


@dataclass(frozen=True, slots=True, eq=False)
class Filled:
    """A side as the pupil hands it in; *truth* and *kinds* of the boxes that are read, by their numbers on it."""

    page: npt.NDArray[np.float32]
    truth: dict[int, int]
    kinds: dict[int, str]


def paper_of(printed: Printed, code: str) -> npt.NDArray[np.float32]:
    """Return a blank side: 1 paper, 0 toner, SCALE px/mm."""
    path, number = printed.files[code]
    with pypdfium2.PdfDocument(path) as document:
        return rendered(document, number, SCALE).astype(np.float32) / 255


def filled(
    printed: Printed,
    code: str,
    says: Says,
    *,
    pupil: Pupil,
    glyphs: Glyphs,
    draw: np.random.Generator,
    shares: tuple[float, ...] = USUAL,
    paper: npt.NDArray[np.float32] | None = None,
) -> Filled:
    """Return the side *code*, each box filled as *says* tells it; how tidily is drawn by *shares*.

    A box that should be empty stays so, or is dirty or rubbed out; the share of empty boxes in *shares* is left out.
    """
    side = printed.side(code)
    page = paper_of(printed, code) if paper is None else paper
    ink = np.zeros(page.shape, np.float32)
    writer = Writer(ink, pupil, glyphs, draw)
    empty = {"blank", "rubbed out", "dirt"}
    chances = {
        wanted: np.array(
            [share if (kind in empty) == wanted else 0 for kind, share in zip(KINDS, shares, strict=True)]
        )
        for wanted in (True, False)
    }
    truth, kinds = {}, {}
    for at, box in enumerate(side.boxes):
        edges = np.array([box.x, box.y, box.x + box.width, box.y + box.height]) * SCALE
        if box.kind == "tick" and says(box):
            writer.tick(edges)
        if not box.is_read:
            continue
        bit = says(box)
        chance = chances[bit is None]
        kind = KINDS[draw.choice(len(KINDS), p=chance / chance.sum())]
        (found,) = writer.write(edges[None], [kind], [draw.integers(2) if bit is None else bit])
        truth[at] = BLANK if bit is None else found
        kinds[at] = kind
    writer.finish()
    return Filled(page * (1 - ink), truth, kinds)
