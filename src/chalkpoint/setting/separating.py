"""Greedy separation: which questions, together, make ways of working give different answers.

A pair of ways is worth less each time it has been separated (1, then 0.35, 0.1, 0.02), so the choice
spreads its effort; it stops when every pair that can be separated has been, twice. The weights are
whole hundredths, so that nothing is decided by a float. Source: pedagogy of diagnosis by specific
wrong answers (Lee and Corter 2011); the weights are this project's own.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

__all__ = ["Separation", "choose_separating", "classes_of", "separation"]

WEIGHTS = (100, 35, 10, 2)
ENOUGH = 2  # times every pair is separated

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
        self.times += [[0] * len(self.names) for _ in WEIGHTS[1:]]

    def apart(self, answers: Answers) -> list[int]:
        """Return for each way the ways that *answers* separate from it: none for one without an answer."""
        masks: dict[str, int] = {}
        for at, name in enumerate(self.names):
            if name in answers:
                masks[answers[name]] = masks.get(answers[name], 0) | 1 << at
        known = sum(masks.values())
        return [known & ~masks[answers[name]] if name in answers else 0 for name in self.names]

    def gain(self, apart: list[int]) -> int:
        """Return what separating these is worth, twice over (each pair is counted from both sides)."""
        return sum(
            weight * sum((mask & other).bit_count() for mask, other in zip(row, apart, strict=True))
            for weight, row in zip(WEIGHTS, self.times, strict=True)
        )

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


def choose_separating(
    pool: Sequence[Answers], names: tuple[str, ...], most: int, *, start: Sequence[int] = ()
) -> list[int]:
    """Return the places in *pool* of the questions that separate *names* best, in the order chosen.

    start  places already chosen
    most   the most questions

    >>> pool = [{"right": "1", "x": "1", "y": "2"}, {"right": "1", "x": "2", "y": "1"}]
    >>> choose_separating(pool, ("right", "x", "y"), 4)
    [0, 1]
    """
    tally = Tally(names)
    apart = [tally.apart(answers) for answers in pool]
    best = Tally(names)  # what all of the pool together can do
    for row in apart:
        best.add(row)
    out_of_reach = [best.pairs_at_most(times) for times in range(ENOUGH)]
    chosen = list(start)
    for at in chosen:
        tally.add(apart[at])
    while len(chosen) < most:
        if [tally.pairs_at_most(times) for times in range(ENOUGH)] == out_of_reach:
            break
        gains = [(tally.gain(row), -at) for at, row in enumerate(apart) if at not in chosen]
        if not gains or max(gains)[0] == 0:
            break
        at = -max(gains)[1]
        chosen.append(at)
        tally.add(apart[at])
    return chosen


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
