"""The blind reader: crops in, readings out. It knows ink and blank print, and nothing of what should be there."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Final

import numpy as np
import numpy.typing as npt

from chalkpoint.scanning.network import Weights, scores_of

__all__ = ["NAMES", "Doubts", "Reader", "doubts_of", "the_reader"]

#: The readings that may be sure, in the order of the network's scores; the last score is of a box that is marred.
NAMES: Final = ("0", "1", "blank")
MARRED: Final = 3

Thresholds = Mapping[str, tuple[float, float]]


@dataclass(frozen=True, slots=True, eq=False)
class Doubts:
    """How crops are read, and how far in doubt.

    reading  0, 1 or 2 (blank)
    other    how likely it is another of the three, by the networks' mean
    marred   how likely it is written over, crossed out or no bit at all, by the networks' mean
    """

    reading: npt.NDArray[np.int64]
    other: npt.NDArray[np.float64]
    marred: npt.NDArray[np.float64]

    def over(self, thresholds: Thresholds) -> npt.NDArray[np.bool_]:
        """Return which are too doubtful to be taken without the teacher."""
        found = np.ones(len(self.reading), bool)
        for at, name in enumerate(NAMES):
            mine = self.reading == at
            other, marred = thresholds[name]
            found[mine] = (self.other[mine] > other) | (self.marred[mine] > marred)
        return found


def doubts_of(scores: npt.NDArray[np.float32]) -> Doubts:
    """Return the readings of *scores* (networks, crops, 4)."""
    mean = scores.astype(np.float64).mean(0)
    reading = mean[:, :MARRED].argmax(1)
    mine = mean[np.arange(len(reading)), reading]
    other = 1 - mine / np.maximum(mean[:, :MARRED].sum(1), 1e-12)
    return Doubts(reading, other, mean[:, MARRED])


@dataclass(frozen=True, slots=True, eq=False)
class Reader:
    """Networks and the thresholds past which a reading is the teacher's."""

    networks: list[Weights]
    thresholds: Thresholds

    def read(self, crops: npt.NDArray[np.uint8], tone: float) -> list[tuple[str, float, bool]]:
        """Return the reading of each crop ("0", "1", "blank", "marred"), its doubt (0..1) and whether it is sure."""
        if not len(crops):
            return []
        doubts = doubts_of(scores_of(self.networks, crops, np.full(len(crops), tone, np.float32)))
        sent = doubts.over(self.thresholds)
        return [
            (
                "marred" if doubts.marred[at] > 0.5 else NAMES[int(doubts.reading[at])],
                float(max(doubts.other[at], doubts.marred[at])),
                not sent[at] and doubts.marred[at] <= 0.5,
            )
            for at in range(len(crops))
        ]


@cache
def the_reader() -> Reader:
    """Return the reader that the package brings."""
    here = files("chalkpoint.scanning")
    kept = json.loads((here / "thresholds.json").read_text(encoding="utf-8"))
    with (here / "weights.npz").open("rb") as file, np.load(file) as arrays:
        networks: dict[str, Weights] = {}
        for name in arrays.files:
            which, _, part = name.partition(".")
            networks.setdefault(which, {})[part] = arrays[name].astype(np.float32)
    thresholds = {name: (float(pair[0]), float(pair[1])) for name, pair in kept["thresholds"].items()}
    return Reader(list(networks.values()), thresholds)
