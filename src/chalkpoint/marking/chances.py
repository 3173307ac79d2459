"""How likely an answer is under each way of working: the way's own answer, a slip from it, or neither.

The figures are a model of ours, fixed here and nowhere else; they decide how sure a diagnosis is and
never what is right. Logarithms are added, so a float may stand here.
"""

from __future__ import annotations

from array import array
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache, cached_property, reduce
from math import log
from operator import ne, or_
from typing import NamedTuple

from chalkpoint.marking.ways import Way, predict
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.question import Question

__all__ = [
    "AGAINST",
    "SLIP_RATE",
    "Item",
    "Model",
    "Seen",
    "bits_of",
    "holders_in",
    "nearby",
    "priors",
    "unlike_at",
]

SLIP_RATE = 0.08
AGAINST = "against"  # the status of a right line that some beliefs would have written otherwise


@dataclass(frozen=True, slots=True)
class Model:
    """What is supposed about pupils before any answer is read.

    slip         chance that an answer is not what the pupil's way of working gives
    near         of slips, the share that is near that answer (`nearby`)
    catalogue    of slips, the share that is some belief's answer
    anything     of slips, the share that is any pattern at all
    right_alone  chance of a right answer from a pupil whom no way explains
    right, methods, singles, pairs, unexplained  the shares of each kind of way
    """

    slip: float = SLIP_RATE
    near: float = 0.6
    catalogue: float = 0.3
    anything: float = 0.1
    right_alone: float = 0.4
    right: float = 0.50
    methods: float = 0.07
    singles: float = 0.28
    pairs: float = 0.10
    unexplained: float = 0.05


def priors(ways: Sequence[Way], model: Model) -> list[float]:
    """Return the logarithm of each way's share, and last that of being unexplained.

    Beliefs share by their weight, pairs by the product of both weights; a belief held with another
    accepted method shares with the same belief on the course's own.
    """
    weights = [_weight(way) for way in ways]
    kinds = [_kind(way) for way in ways]
    share = {"right": model.right, "method": model.methods, "single": model.singles, "pair": model.pairs}
    totals = {kind: sum(w for w, k in zip(weights, kinds, strict=True) if k == kind) for kind in share}
    logs = [log(share[kind] * weight / totals[kind]) for kind, weight in zip(kinds, weights, strict=True)]
    return [*logs, log(model.unexplained)]


def _kind(way: Way) -> str:
    if len(way.beliefs) == 2:
        return "pair"
    if way.beliefs:
        return "single"
    return "method" if way.method else "right"


def _weight(way: Way) -> int:
    weight = 1
    for name in way.beliefs:
        weight *= BELIEFS[name].weight
    return weight


def nearby(one: str, other: str) -> bool:
    """Tell whether two written answers are a slip apart: a digit changed, left out or doubled, or neighbours exchanged.

    >>> nearby("01010100 0011", "01010000 0011"), nearby("01010100 0011", "01010010 0011")
    (True, True)
    >>> nearby("01010100 0011", "0101010 0011")
    True
    """
    if len(one) != len(other):
        longer, shorter = sorted((one, other), key=len, reverse=True)
        if len(longer) != len(shorter) + 1:
            return False
        at = 0
        while at < len(shorter) and longer[at] == shorter[at]:
            at += 1
        return longer[at + 1 :] == shorter[at:]
    if sum(map(ne, one, other)) > 2:
        return False
    unlike = sorted(unlike_at(one, other))
    if len(unlike) == 2:
        first, second = unlike
        return second == first + 1 and one[first] == other[second] and one[second] == other[first]
    return len(unlike) == 1


def unlike_at(one: str, other: str) -> frozenset[int]:
    """Return the places at which two answers of one length differ; none for two lengths.

    >>> sorted(unlike_at("01010100 0011", "01010010 0011"))
    [5, 6]
    """
    if len(one) != len(other):
        return frozenset()
    return frozenset(at for at, (left, right) in enumerate(zip(one, other, strict=True)) if left != right)


KEPT_SEEN = 64  # answers to one question whose chances are kept: the beliefs' own, and the usual slips
KEPT_COLUMNS = 8  # of them, those kept way by way


@dataclass(eq=False)
class Item:
    """One question with the answer of every way, or one of the answers it asks for.

    part     which of the answers the question asks for; "" where it asks for one
    right    the course's answer
    apart    the ways that give another, as a mask
    answers  by written answer, the ways that give it, as bits of an integer; worked out where not given
    group    by way, which of the answers it gives
    wrong    the answers of single beliefs that are wrong
    """

    question: Question
    ways: tuple[Way, ...]
    model: Model
    part: str = ""
    answers: dict[str, int] = field(default_factory=dict)
    written: list[str] = field(init=False)
    group: list[int] = field(init=False)
    right: str = field(init=False)
    apart: int = field(init=False)
    wrong: frozenset[str] = field(init=False)
    seen: dict[str, array[float]] = field(init=False, default_factory=dict)
    columns: dict[str, list[float]] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        self.answers = self.answers or predict(self.question, self.ways, self.part)
        self.written = list(self.answers)
        masks = list(self.answers.values())
        most = max(range(len(masks)), key=lambda number: masks[number].bit_count())
        self.group = [most] * len(self.ways)  # most ways give one answer
        for number, mask in enumerate(masks):
            if number != most:
                for way in bits_of(mask):
                    self.group[way] = number
        self.right = self.written[self.group[0]]
        self.apart = ((1 << len(self.ways)) - 1) ^ self.answers[self.right]
        singles = singles_in(self.ways)
        self.wrong = frozenset(answer for answer, mask in self.answers.items() if mask & singles) - {
            self.right
        }

    @cached_property
    def _digits(self) -> list[tuple[str, int]]:
        return [_digits_of(own) for own in self.written]

    def by(self, way: int) -> str:
        """Return what way number *way* writes."""
        return self.written[self.group[way]]

    def logs(self, answer: str) -> list[float]:
        """Return the logarithm of how likely *answer* is under each way, and last under none of them."""
        if answer in self.columns:
            self.columns[answer] = self.columns.pop(answer)
            return self.columns[answer]
        if len(self.columns) >= KEPT_COLUMNS:  # the longest unused makes room
            del self.columns[next(iter(self.columns))]
        by_group = self._by_group(answer)
        self.columns[answer] = [*map(by_group.__getitem__, self.group), by_group[-1]]
        return self.columns[answer]

    def _by_group(self, answer: str) -> array[float]:
        """Return the logarithm of how likely *answer* is where each answer is meant, and last where none of them is."""
        if answer not in self.seen:
            if len(self.seen) >= KEPT_SEEN:  # the oldest makes room: memory does not grow with the answers
                del self.seen[next(iter(self.seen))]
            logs = array("d", self._logs(answer))
            logs.append(log(self._alone(answer)))
            self.seen[answer] = logs
        return self.seen[answer]

    @property
    def patterns(self) -> int:
        """How many patterns the format has."""
        return 1 << int(self.question.format.bits)

    def _catalogued(self, answer: str) -> float:
        return 1 / len(self.wrong) if answer in self.wrong else 0.0

    def _logs(self, answer: str) -> Iterator[float]:
        """Yield the logarithm of how likely *answer* is where each of the answers given is meant."""
        model = self.model
        slipped = model.catalogue * self._catalogued(answer) + model.anything / self.patterns
        far = log(model.slip * slipped)
        shape, digits = _digits_of(answer)
        for own, (own_shape, own_digits) in zip(self.written, self._digits, strict=True):
            if answer == own:
                yield log(model.slip * slipped + (1 - model.slip))
            elif shape == own_shape and (digits ^ own_digits).bit_count() > 2:
                yield far  # no slip, seen in one stroke
            elif nearby(answer, own):
                yield log(model.slip * (slipped + model.near / (2 * len(own))))
            else:
                yield far

    def _alone(self, answer: str) -> float:
        if answer == self.right:
            return self.model.right_alone
        spread = 0.5 * self._catalogued(answer) + 0.5 / self.patterns
        return (1 - self.model.right_alone) * spread


class Seen(NamedTuple):
    """One answer observed.

    number  the question's number
    item    the question with every way's answer
    answer  what is written in the answer's place, in one spelling
    lines   where working was judged: (line, status, beliefs whose rule gives it) for each line written
    """

    number: int
    item: Item
    answer: str
    lines: tuple[tuple[str, str, tuple[str, ...]], ...] = ()

    @property
    def wrong(self) -> bool:
        """Whether the answer is not the course's own."""
        return bool(self.answer) and self.answer != self.item.right

    def shows(self, belief: str) -> bool:
        """Tell whether a line of working is just what *belief*'s rule gives."""
        return any(belief in among for _, status, among in self.lines if status != AGAINST)

    @property
    def givers(self) -> int:
        """The ways that explain what is written: they give the answer, or hold a belief that gives a line."""
        found = self.item.answers.get(self.answer, 0)
        if self.lines:
            holders = holders_in(self.item.ways)
            for _, status, among in self.lines:
                if status != AGAINST:
                    found |= reduce(or_, (holders.get(belief, 0) for belief in among), 0)
        return found


@cache
def holders_in(ways: tuple[Way, ...]) -> dict[str, int]:
    """Return, by belief, those of *ways* that hold it, as a mask."""
    found: dict[str, int] = defaultdict(int)
    for number, way in enumerate(ways):
        for belief in way.beliefs:
            found[belief] |= 1 << number
    return found


@cache
def singles_in(ways: tuple[Way, ...]) -> int:
    """Return those of *ways* that hold one belief, as a mask."""
    return sum(1 << number for number, way in enumerate(ways) if len(way.beliefs) == 1)


def _digits_of(answer: str) -> tuple[str, int]:
    """Return the shape of an answer in bits and its digits as a number; of any other, itself and 0."""
    shape = answer.replace("1", "0")
    return (
        (shape, int(answer.replace(" ", ""), 2)) if set(shape) <= {"0", " "} and "0" in shape else (answer, 0)
    )


def bits_of(mask: int) -> list[int]:
    """Return the places of the ones of *mask*."""
    places = []
    while mask:
        low = mask & -mask
        places.append(low.bit_length() - 1)
        mask ^= low
    return places
