"""The blind reader: crops in, readings out. It knows ink and blank print, and nothing of what should be there."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Final, NamedTuple

import numpy as np
import numpy.typing as npt

from chalkpoint.scanning.network import Weights, scores_of

__all__ = ["GUESSES", "MARRED", "NAMES", "Doubts", "Reader", "Reading", "doubts_of", "the_reader"]

#: The readings that may be sure, in the order of the network's scores. After them come those of marred boxes: that it
#: was written over or corrected and should be a 0, a 1, or that it is no bit at all.
NAMES: Final = ("0", "1", "blank")
GUESSES: Final = ("0", "1", "?")
MARRED: Final = len(NAMES)

Thresholds = Mapping[str, tuple[float, float]]


@dataclass(frozen=True, slots=True, eq=False)
class Doubts:
    """How crops are read, and how far in doubt.

    reading  0, 1 or 2 (blank)
    other    how likely it is another of the three, by the networks' mean
    marred   how likely it is written over, crossed out or no bit at all, by the networks' mean
    guess    what a marred one is taken for on the teacher's sheet, as GUESSES has them; never without the teacher
    """

    reading: npt.NDArray[np.int64]
    other: npt.NDArray[np.float64]
    marred: npt.NDArray[np.float64]
    guess: npt.NDArray[np.int64]

    def over(self, thresholds: Thresholds) -> npt.NDArray[np.bool_]:
        """Return which are too doubtful to be taken without the teacher."""
        found = np.ones(len(self.reading), bool)
        for at, name in enumerate(NAMES):
            mine = self.reading == at
            other, marred = thresholds[name]
            found[mine] = (self.other[mine] > other) | (self.marred[mine] > marred)
        return found


def doubts_of(scores: npt.NDArray[np.float32]) -> Doubts:
    """Return the readings of *scores* (networks, crops, classes)."""
    mean = scores.astype(np.float64).mean(0)
    reading = mean[:, :MARRED].argmax(1)
    mine = mean[np.arange(len(reading)), reading]
    other = 1 - mine / np.maximum(mean[:, :MARRED].sum(1), 1e-12)
    marred = mean[:, MARRED:]
    return Doubts(reading, other, marred.sum(1), marred.argmax(1))


class Reading(NamedTuple):
    """How one crop is read: "0", "1", "blank" or "marred", its doubt (0..1), whether it is sure; a guess if marred."""

    reading: str
    doubt: float
    sure: bool
    guess: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Reader:
    """Networks and the thresholds past which a reading is the teacher's."""

    networks: list[Weights]
    thresholds: Thresholds

    def read(self, crops: npt.NDArray[np.uint8], tone: float) -> list[Reading]:
        """Return the reading of each crop of a page with this *tone*."""
        if not len(crops):
            return []
        doubts = doubts_of(scores_of(self.networks, crops, np.full(len(crops), tone, np.float32)))
        sent = doubts.over(self.thresholds)
        return [
            Reading("marred", float(doubts.marred[at]), sure=False, guess=GUESSES[int(doubts.guess[at])])
            if doubts.marred[at] > 0.5
            else Reading(
                NAMES[int(doubts.reading[at])],
                float(max(doubts.other[at], doubts.marred[at])),
                sure=not sent[at],
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
