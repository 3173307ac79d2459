"""Readings held against the truth: errors, and the thresholds that let few enough through."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np
import numpy.typing as npt
from pens import KINDS, PLAIN
from rows import Crops

from chalkpoint.scanning.audit import upper_bound
from chalkpoint.scanning.network import Weights, scores_of
from chalkpoint.scanning.reader import NAMES, Doubts, doubts_of

__all__ = ["Judged", "chosen_thresholds", "scored"]

WANTED, CAUGHT = 2e-4, 0.97
STEPS_OTHER = tuple(float(f"{10**-power:.2g}") for power in np.arange(1, 6.1, 0.25))
STEPS_MARRED = (0.4, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005)


@dataclass(frozen=True, slots=True, eq=False)
class Judged:
    """Crops as they were read, and what was true."""

    doubts: Doubts
    wrong: npt.NDArray[np.bool_]
    plain: npt.NDArray[np.bool_]
    crops: Crops

    def sent(self, thresholds: dict[str, list[float]]) -> npt.NDArray[np.bool_]:
        """Return which are sent to the teacher."""
        return self.doubts.over({name: (pair[0], pair[1]) for name, pair in thresholds.items()})


def scored(networks: list[Weights], crops: Crops) -> Judged:
    """Return how *crops* are read by *networks*."""
    doubts = doubts_of(scores_of(networks, crops.x, crops.tone))
    plain = np.isin(crops.kind, [KINDS.index(kind) for kind in PLAIN])
    return Judged(doubts, doubts.reading != crops.truth, plain, crops)


def chosen_thresholds(*sets: Judged) -> dict[str, list[float]]:
    """Return the thresholds of each reading that send the fewest plain boxes of *sets* together and are safe.

    Of all plain boxes two fifths as many may be wrong and not sent as would show, with 95 in 100 certainty, that it is
    WANTED at most: thresholds are a little kind to what they were chosen on. Of the marred, CAUGHT must be sent.
    """
    pairs = list(product(STEPS_OTHER, STEPS_MARRED))
    plain = sum(int(judged.plain.sum()) for judged in sets)
    marred = sum(int((~judged.plain).sum()) for judged in sets)
    most = 0
    while upper_bound(most + 1, plain) <= WANTED:
        most += 1
    most = most * 2 // 5
    kept, wrong, missed = (  # plain boxes not sent, of those the wrong ones, marred ones not sent
        [np.array([sum(count(one, reading, pair) for one in sets) for pair in pairs]) for reading in range(3)]
        for count in (_kept, _wrong, _missed)
    )
    best, chosen = -1, [len(pairs) - 1] * 3
    for first in range(len(pairs)):
        fits = wrong[0][first] + wrong[1][:, None] + wrong[2] <= most
        fits &= missed[0][first] + missed[1][:, None] + missed[2] <= (1 - CAUGHT) * marred
        both = np.where(fits, kept[0][first] + kept[1][:, None] + kept[2], -1)
        if both.max() > best:
            best = int(both.max())
            chosen = [first, *(int(at) for at in np.unravel_index(int(both.argmax()), both.shape))]
    print(f"{1 - best / plain:.1%} of {plain:,} plain boxes sent, {most} wrong at most not sent", flush=True)
    return {name: list(pairs[at]) for name, at in zip(NAMES, chosen, strict=True)}


def _passed(judged: Judged, reading: int, pair: tuple[float, float]) -> npt.NDArray[np.bool_]:
    doubts = judged.doubts
    sure = (doubts.reading == reading) & (doubts.other <= pair[0]) & (doubts.marred <= pair[1])
    return np.asarray(sure, bool)


def _kept(judged: Judged, reading: int, pair: tuple[float, float]) -> int:
    return int((_passed(judged, reading, pair) & judged.plain).sum())


def _wrong(judged: Judged, reading: int, pair: tuple[float, float]) -> int:
    return int((_passed(judged, reading, pair) & judged.plain & judged.wrong).sum())


def _missed(judged: Judged, reading: int, pair: tuple[float, float]) -> int:
    return int((_passed(judged, reading, pair) & ~judged.plain).sum())
