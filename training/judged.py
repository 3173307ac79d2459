"""Readings held against the truth: errors, and the thresholds that let few enough through."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np
import numpy.typing as npt
from pens import KINDS, PLAIN
from rows import Crops

from chalkpoint.scanning.bounds import upper_bound
from chalkpoint.scanning.network import Weights, scores_of
from chalkpoint.scanning.reader import NAMES, Doubts, doubts_of

__all__ = ["Judged", "chosen_thresholds", "scored"]

WANTED, CAUGHT = 2e-4, 0.95
STEPS_OTHER = (1e-1, 3e-2, 1e-2, 3e-3, 1e-3, 3e-4, 1e-4)
STEPS_MARRED = (0.3, 0.1, 0.05, 0.02, 0.01, 0.005)


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
    """Return the thresholds that send the fewest plain boxes of *sets* together and keep to what is wanted.

    Of all plain boxes WANTED at most may be wrong and not sent, and of the marred CAUGHT at least must be.
    """
    best, chosen = 2.0, [STEPS_OTHER[-1], STEPS_MARRED[-1]]
    plain = sum(int(judged.plain.sum()) for judged in sets)
    marred = sum(int((~judged.plain).sum()) for judged in sets)
    for pair in product(STEPS_OTHER, STEPS_MARRED):
        sent = [judged.sent({name: list(pair) for name in NAMES}) for judged in sets]
        together = list(zip(sets, sent, strict=True))
        wrong = sum(int((one.wrong & one.plain & ~which).sum()) for one, which in together)
        caught = sum(int((~one.plain & which).sum()) for one, which in together) / marred
        share = sum(int((one.plain & which).sum()) for one, which in together) / plain
        print(
            f"{pair}: {share:.1%} sent, {wrong} plain wrong and not sent, at most "
            f"{upper_bound(wrong, plain) * 1e4:.1f} in 10,000; {caught:.1%} of the marred caught",
            flush=True,
        )
        if wrong <= WANTED * plain and caught >= CAUGHT and share < best:
            best, chosen = share, list(pair)
    return {name: list(chosen) for name in NAMES}
