"""Requests that no diagram describes and no brute force reaches: drawn, then filtered, and said to be an estimate.

The terms that do have diagrams are met exactly; the questions that meet them are drawn uniformly, and
looked at in lanes, or one by one, to see whether they meet the others. The count is the share of those
that do. Its interval is Wilson's score interval (Wilson 1927): it holds the true count in 95% of such samples.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterator, Sequence
from functools import cached_property
from typing import NoReturn, Protocol

from chalkpoint.finding.atlas import Watch
from chalkpoint.finding.drawing import sample
from chalkpoint.finding.found import Given
from chalkpoint.finding.request import Term
from chalkpoint.finding.trait import AnyCase
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.lanes import positions

__all__ = ["SAMPLE", "Estimate", "Source", "one_by_one", "wilson"]

SAMPLE = 4000  # questions drawn for a count
SEED = 1927
TRIES = 40_000  # questions looked at in search of those asked for
TOGETHER = 200  # of them, looked at in one stroke
Z = 1.959963984540054  # 95% of a normal distribution lies within this many deviations


class Source(Protocol):
    """Questions that are counted and numbered."""

    @property
    def count(self) -> int:
        """How many there are."""

    def pairs(self, numbers: Sequence[int]) -> Sequence[Given]:
        """Return the operands of several of them by their numbers."""

    def simplest(self, most: int) -> Sequence[tuple[int, Given]]:
        """Return the simplest as (number, operands)."""


def wilson(hits: int, drawn: int) -> tuple[float, float]:
    """Return the 95% score interval of a share seen *hits* times in *drawn*.

    >>> [round(end, 3) for end in wilson(30, 100)]
    [0.219, 0.396]
    """
    share, extra = hits / drawn, Z * Z / drawn
    middle = (share + extra / 2) / (1 + extra)
    half = Z * math.sqrt(share * (1 - share) / drawn + extra / (4 * drawn)) / (1 + extra)
    return max(0.0, middle - half), min(1.0, middle + half)


class Estimate:
    """The questions of *base* that meet further terms, known by drawing only.

    base   the questions that meet every term a diagram describes
    terms  the others
    case   from a question's operands, what traits look at
    lanes  from the operands of many questions and some terms, those that meet them, as a mask; None where each
           question is worked by itself
    """

    def __init__(
        self,
        base: Source,
        terms: Sequence[Term],
        case: Callable[[Given], AnyCase],
        lanes: Callable[[Sequence[Given], Sequence[Term]], int] | None = None,
        watch: Watch | None = None,
    ) -> None:
        self.base = base
        self.terms = tuple(terms)
        self.case = case
        self.lanes = lanes
        self.watch = watch

    def meeting(self, some: Sequence[Given]) -> list[Given]:
        """Return those of *some* questions that meet the terms, in their order."""
        at_once = [term for term in self.terms if self.lanes and not term.trait.one_by_one]
        if self.lanes and at_once:
            some = [some[at] for at in positions(self.lanes(some, at_once))]
        singly = [term for term in self.terms if term not in at_once]
        return [given for given in some if self._meets(given, singly)] if singly else list(some)

    def _meets(self, given: Given, terms: Sequence[Term]) -> bool:
        case = self.case(given)
        return all(bool(term.meets(case)) for term in terms)

    @cached_property
    def _hits(self) -> tuple[int, int]:
        """How many of how many drawn meet the terms; all there are where they are few or nothing is asked."""
        if not self.terms:
            return self.base.count, self.base.count
        rng = random.Random(SEED)
        numbers = sample(rng, self.base.count, min(SAMPLE, self.base.count))
        hits = 0
        for start in range(0, len(numbers), TOGETHER):
            hits += len(self.meeting(self.base.pairs(numbers[start : start + TOGETHER])))
            if self.watch:
                self.watch(start, len(numbers))
        return hits, len(numbers)

    @property
    def is_exact(self) -> bool:
        """Whether no question was left unseen that might not meet the terms, so that the count is exact."""
        return not self.terms or self.base.count <= SAMPLE

    @property
    def count(self) -> int:
        """The estimate: the share that met the terms, of all there are."""
        hits, drawn = self._hits
        return (2 * hits * self.base.count + drawn) // (2 * drawn) if drawn else 0

    @property
    def interval(self) -> tuple[int, int]:
        """The 95% interval of the count."""
        hits, drawn = self._hits
        if self.is_exact:
            return hits, hits
        low, high = wilson(hits, drawn)
        # The ends are cut and raised to whole questions, so that the interval is never too narrow.
        return max(hits, math.floor(low * self.base.count)), min(
            self.base.count, math.ceil(high * self.base.count)
        )

    @property
    def is_empty(self) -> bool:
        """Whether nothing was found, which proves nothing unless every question was looked at."""
        return self._hits[0] == 0

    def draw(self, most: int, seed: int) -> Sequence[Given]:
        """Return *most* different questions drawn uniformly, or those found in the tries allowed."""
        rng = random.Random(seed)
        numbers = sample(rng, self.base.count, min(TRIES, self.base.count))
        found: list[Given] = []
        for start in range(0, len(numbers), TOGETHER):
            found += self.meeting(self.base.pairs(numbers[start : start + TOGETHER]))
            if len(found) >= most:
                break
        return found[:most]

    def simplest(self, most: int) -> list[tuple[int, Given]]:
        """Return the *most* simplest questions, going up the costs of those that meet the other terms."""
        window = most
        while True:
            window = min(4 * window, TRIES)
            near = self.base.simplest(window)
            met = set(self.meeting([given for _, given in near]))
            found = [entry for entry in near if entry[1] in met]
            if len(found) >= most or window >= min(TRIES, self.base.count):
                return found[:most]

    def refuse_numbers(self) -> NoReturn:
        """Refuse: what is only drawn has no numbers, and no exact counts."""
        if not self.terms:
            raise EntryError(
                f"{self.base.count:,} questions are too many to be listed, and without a diagram they are not "
                "numbered; draw instead, or take a smaller format"
            )
        names = " and ".join(term.text for term in self.terms)
        raise EntryError(
            f"{names} has no diagram in this format, so its questions are not numbered; "
            "leave it out, draw instead, or take a smaller format"
        )


def one_by_one(base: Source, numbers: Sequence[int]) -> Iterator[tuple[int, Given]]:
    """Yield the questions of *base* with these numbers, each as (number, operands)."""
    for start in range(0, len(numbers), 64):
        some = numbers[start : start + 64]
        yield from zip(some, base.pairs(some), strict=True)
