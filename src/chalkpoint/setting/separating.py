"""Separation: which ways of working a set of questions tells apart, by the answers they give."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

__all__ = ["Answers", "Separation", "Tally", "classes_of", "separation"]

MOST_TIMES = 4  # separations of one pair that are counted

Answers = dict[str, str]  # by way of working: what it writes in the answer's place


@dataclass(slots=True)
class Tally:
    """How often each pair of ways has been separated, as one set of ways (a bit mask) a way and a count."""

    names: tuple[str, ...]
    times: list[list[int]] = field(default_factory=list)

    def __post_init__(self) -> None:
        everyone = (1 << len(self.names)) - 1
        # times[t][a] has bit b set where a and b have been separated t times (the last: that often or more).
        self.times = [[everyone ^ (1 << at) for at in range(len(self.names))]]
        self.times += [[0] * len(self.names) for _ in range(MOST_TIMES)]

    def apart(self, answers: Answers) -> list[int]:
        """Return for each way the ways that *answers* separate from it: none for one without an answer."""
        masks: dict[str, int] = {}
        for at, name in enumerate(self.names):
            if name in answers:
                masks[answers[name]] = masks.get(answers[name], 0) | 1 << at
        known = sum(masks.values())
        return [known & ~masks[answers[name]] if name in answers else 0 for name in self.names]

    def add(self, apart: list[int]) -> None:
        """Count one more separation for each pair in *apart*."""
        for at, other in enumerate(apart):
            moved = 0
            for level, row in enumerate(self.times):
                leaving = 0 if level == len(self.times) - 1 else row[at] & other
                row[at] = (row[at] & ~leaving) | moved
                moved = leaving

    def pairs_at_most(self, times: int) -> int:
        """Return how many pairs have been separated *times* times or less."""
        return sum(mask.bit_count() for row in self.times[: times + 1] for mask in row) // 2

    def never(self) -> Iterable[tuple[str, str]]:
        """Yield the pairs never separated."""
        for at, mask in enumerate(self.times[0]):
            for other in range(at + 1, len(self.names)):
                if mask >> other & 1:
                    yield self.names[at], self.names[other]


@dataclass(frozen=True, slots=True)
class Separation:
    """What a set of questions can and cannot tell apart.

    pairs     pairs of ways in all
    never     pairs no question separates
    once      how many pairs exactly one question separates
    classes   ways that give the same answers throughout, in groups of two or more
    untested  ways that give the right way's answers throughout
    """

    pairs: int
    never: tuple[tuple[str, str], ...]
    once: int
    classes: tuple[tuple[str, ...], ...]
    untested: tuple[str, ...]


def separation(questions: Sequence[Answers], names: tuple[str, ...]) -> Separation:
    """Return what *questions* separate among *names*, the first of which is the right way.

    >>> questions = [{"right": "1", "x": "1", "y": "2", "z": "2"}]
    >>> separation(questions, ("right", "x", "y", "z")).classes
    (('right', 'x'), ('y', 'z'))
    """
    tally = Tally(names)
    for answers in questions:
        tally.add(tally.apart(answers))
    classes = classes_of(questions, names)
    untested = next((group[1:] for group in classes if group[0] == names[0]), ())
    once = tally.pairs_at_most(1) - tally.pairs_at_most(0)
    return Separation(len(names) * (len(names) - 1) // 2, tuple(tally.never()), once, classes, untested)


def classes_of(questions: Sequence[Answers], names: tuple[str, ...]) -> tuple[tuple[str, ...], ...]:
    """Return the groups of two or more ways that answer every question alike."""
    groups: dict[tuple[str, ...], list[str]] = {}
    for name in names:
        groups.setdefault(tuple(answers.get(name, "") for answers in questions), []).append(name)
    return tuple(tuple(group) for group in groups.values() if len(group) > 1)
