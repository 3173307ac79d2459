"""Agreement of two markers: on how many questions of a sample they give the same mark, and how far apart they are."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from chalkpoint.marking.students import Entry

__all__ = ["Agreement", "Compared", "agreement"]


#: From which share of agreement on, and what it says: this project's own steps, between chance and rule.
MEANINGS = (
    (0.95, "a mark would hardly change with the marker"),
    (0.85, "most marks would stand with another marker; look at the few that differ"),
    (0.0, "the scheme is read in two ways: agree on it before marks are given out"),
)


@dataclass(frozen=True, slots=True)
class Compared:
    """One question of one script, marked twice; *second* is None where it was not marked again."""

    student: str
    question: int
    of: int
    first: int
    second: int | None

    @property
    def agrees(self) -> bool:
        """Whether both gave the same mark."""
        return self.first == self.second


@dataclass(frozen=True, slots=True)
class Agreement:
    """A sample marked twice.

    >>> twice = Agreement((Compared("H01", 1, 3, 3, 3), Compared("H01", 2, 4, 1, 2), Compared("H02", 1, 3, 0, None)))
    >>> twice.agreed, twice.of, twice.apart
    (1, 2, 1)
    """

    compared: tuple[Compared, ...]

    @property
    def marked(self) -> list[Compared]:
        """What was marked twice."""
        return [one for one in self.compared if one.second is not None]

    @property
    def agreed(self) -> int:
        """On how many questions both gave the same mark."""
        return sum(one.agrees for one in self.marked)

    @property
    def of(self) -> int:
        """How many questions were marked twice."""
        return len(self.marked)

    @property
    def share(self) -> float:
        """The share of the questions marked twice on which both gave the same mark; 0 where none was."""
        return self.agreed / self.of if self.of else 0.0

    @property
    def meaning(self) -> str:
        """What that share says of the marks.

        >>> Agreement((Compared("H01", 1, 3, 3, 3), Compared("H01", 2, 4, 1, 2))).meaning
        'the scheme is read in two ways: agree on it before marks are given out'
        """
        return next(said for least, said in MEANINGS if self.share >= least)

    @property
    def by_difference(self) -> list[Compared]:
        """What was marked twice, those furthest apart first."""
        return sorted(self.marked, key=lambda one: -abs(one.first - (one.second or 0)))

    @property
    def apart(self) -> int:
        """By how many marks the two differ at most."""
        return max((abs(one.first - (one.second or 0)) for one in self.marked), default=0)


def agreement(sample: Iterable[Entry], second: Mapping[tuple[str, int], int]) -> Agreement:
    """Return the marks of *sample* beside a second marker's, by pupil and question; what has none is left out."""
    return Agreement(
        tuple(
            Compared(
                entry["student"],
                question["question"],
                question["of"],
                question["marks"],
                second.get((entry["student"], question["question"])),
            )
            for entry in sample
            for question in entry["questions"]
        )
    )
