"""Readings held against the truth: errors, and the thresholds that let few enough through."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from pens import KINDS, PLAIN
from rows import Crops

from chalkpoint.scanning.bounds import upper_bound
from chalkpoint.scanning.network import Weights, scores_of
from chalkpoint.scanning.reader import NAMES, Doubts, doubts_of

__all__ = ["Judged", "chosen_thresholds", "scored"]

#: Wrong readings let through, per box, that the steps of strictness aim at on the first set.
BUDGETS = (10e-4, 5e-4, 3e-4, 2e-4, 1e-4, 0.5e-4, 0.25e-4, 0.1e-4)
WANTED = 2e-4


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


def chosen_thresholds(first: Judged, strict: Judged) -> dict[str, list[float]]:
    """Return thresholds found on *first*, at the first strictness that reaches what is wanted on *strict*."""
    chosen: dict[str, list[float]] = {}
    for budget in BUDGETS:
        chosen = {name: _least_sent(first, at, budget) for at, name in enumerate(NAMES)}
        kept = strict.plain & ~strict.sent(chosen)
        missed = int((kept & strict.wrong).sum())
        bound = upper_bound(missed, int(strict.plain.sum()))
        share = strict.sent(chosen)[strict.plain].mean()
        caught = strict.sent(chosen)[~strict.plain].mean()
        print(
            f"budget {budget * 1e4:g}: {missed} plain wrong unflagged, at most {bound * 1e4:.1f} in 10,000; "
            f"{share:.1%} sent; {caught:.1%} of the marred caught",
            flush=True,
        )
        if bound <= WANTED:
            break
    return chosen


def _least_sent(judged: Judged, reading: int, budget: float) -> list[float]:
    """Return the two thresholds of one reading that send the fewest while its share of the budget holds."""
    mine = judged.doubts.reading == reading
    other, marred, wrong = judged.doubts.other[mine], judged.doubts.marred[mine], judged.wrong[mine]
    most = budget * len(judged.wrong) / len(NAMES)
    best, found = len(wrong) + 1, [0.0, 0.0]
    for a in np.geomspace(1e-7, 0.5, 50):
        for b in np.geomspace(1e-6, 0.9, 50):
            sent = (other > a) | (marred > b)
            if (wrong & ~sent).sum() <= most and sent.sum() < best:
                best, found = int(sent.sum()), [float(f"{a:.3g}"), float(f"{b:.3g}")]
    return found
