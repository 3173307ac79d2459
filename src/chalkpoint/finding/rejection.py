"""Questions of a wide format drawn in lanes: thousands at random in one stroke, those kept that meet the request.

Each pair of patterns is as likely as any other, so those kept are a fair draw. A request that too few
meet is given up, for diagrams to answer; that depends on the seed alone, so a draw repeats by its seed.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence

from chalkpoint.finding.brute import space_size
from chalkpoint.finding.case import Case, case_of
from chalkpoint.finding.found import Given
from chalkpoint.finding.request import Term
from chalkpoint.finding.trait import MOST_QUESTIONS
from chalkpoint.numbers.carriers import Number, Truth
from chalkpoint.numbers.formats import FloatFormat, Pattern
from chalkpoint.numbers.lanes import Lanes, positions
from chalkpoint.numbers.symbolic import integer
from chalkpoint.working.course import Course

__all__ = ["RandomPairs", "draw_in_lanes", "meeting_in_lanes"]

FIRST_BATCH = 1 << 10
LARGEST_BATCH = 1 << 16
MOST_DRAWN = 1 << 18  # questions drawn for one request at most


class RandomPairs:
    """Pairs of patterns drawn with *rng*, one a lane.

    normalised  whether their mantissas are

    >>> pairs = RandomPairs(Course(format="24+8"), 100, random.Random(7))
    >>> len(pairs.pairs((1 << 100) - 1))
    100
    """

    def __init__(self, course: Course, count: int, rng: random.Random, *, normalised: bool = True) -> None:
        self.course = course
        self.lanes = Lanes(count)
        self._rng = rng
        fmt = course.float_format
        self.first = Pattern(self._mantissa(fmt, normalised=normalised), self._exponent(fmt))
        self.second = Pattern(self._mantissa(fmt, normalised=normalised), self._exponent(fmt))

    def _random(self, places: int) -> list[int]:
        return [self._rng.getrandbits(self.lanes.count) for _ in range(places)]

    def _mantissa(self, fmt: FloatFormat, *, normalised: bool) -> Number:
        row = self._random(fmt.mantissa_bits)
        if normalised:
            row[-2] = self.lanes.opposite(row[-1])
        return integer(self.lanes, row)

    def _exponent(self, fmt: FloatFormat) -> Number:
        return integer(self.lanes, [*self._random(fmt.exponent_bits), self.lanes.no]) + fmt.lowest_exponent

    def meeting(self, operation: str, terms: Sequence[Term]) -> int:
        """Return those that meet every term, as a mask."""
        return _meeting(self.lanes, case_of(operation, self.course, self.first, self.second), terms)

    def pairs(self, mask: int) -> list[tuple[Pattern, Pattern]]:
        """Return the pairs of *mask*, in the order drawn."""
        at = self.lanes.at
        return [
            (
                Pattern(at(self.first.mantissa, place), at(self.first.exponent, place)),
                Pattern(at(self.second.mantissa, place), at(self.second.exponent, place)),
            )
            for place in positions(mask)
        ]


def _meeting(lanes: Lanes, case: Case, terms: Iterable[Term]) -> int:
    met: Truth = True
    for term in terms:
        met = met & term.meets(case)
        if met is False:
            break
    return lanes.mask(met)


def meeting_in_lanes(operation: str, course: Course, pairs: Sequence[Given], terms: Sequence[Term]) -> int:
    """Return those of *pairs* of patterns that meet *terms*, none of which sees one question at a time, as a mask.

    >>> from chalkpoint.finding.registry import trait_named
    >>> from chalkpoint.finding.request import parse_request
    >>> terms = parse_request(["align-shift = 2"], lambda name: trait_named(name, "add"))
    >>> meeting_in_lanes("add", Course(), [(Pattern(104, at), Pattern(80, 1)) for at in (3, 4, -1)], terms)
    5
    """
    if not pairs:
        return 0
    lanes = Lanes(len(pairs))
    first, second = map(lanes.gather, zip(*pairs, strict=True))
    return _meeting(lanes, case_of(operation, course, first, second), terms)


def draw_in_lanes(
    operation: str,
    course: Course,
    terms: Sequence[Term],
    n: int,
    rng: random.Random,
    *,
    normalised: bool = True,
) -> list[tuple[Pattern, Pattern]] | None:
    """Return *n* different pairs drawn uniformly from those that meet *terms*; None where diagrams had better answer.

    That is where too few meet them, where a format is so small that all of it can be looked at, and where a
    trait sees one question at a time.

    >>> len(draw_in_lanes("add", Course(format="24+8"), (), 3, random.Random(1)) or ())
    3
    """
    if space_size(course.float_format, normalised=normalised) <= MOST_QUESTIONS:
        return None
    if any(term.trait.one_by_one for term in terms):
        return None
    found: dict[tuple[Pattern, Pattern], None] = {}
    drawn, batch = 0, FIRST_BATCH
    while drawn < MOST_DRAWN:
        here = RandomPairs(course, batch, rng, normalised=normalised)
        found |= dict.fromkeys(here.pairs(here.meeting(operation, terms)))
        drawn += batch
        if len(found) >= n:
            return list(found)[:n]
        if n * drawn > MOST_DRAWN * len(found):  # at this rate there will not be enough
            return None
        batch = min(4 * batch, LARGEST_BATCH)
    return None
