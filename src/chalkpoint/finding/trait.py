"""A trait: a property of a question that a teacher selects on, computed from its working."""

from __future__ import annotations

import math
import operator
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, TypeAlias

from chalkpoint.numbers.carriers import Number, Truth, opposite
from chalkpoint.numbers.formats import FloatFormat

__all__ = ["COMPARISONS", "MOST_QUESTIONS", "AnyCase", "Holds", "Trait", "by_steps", "compare"]

MOST_QUESTIONS = 1 << 24  # looked at in lanes, for a trait that is no slower than most

AnyCase: TypeAlias = Any
"""What a trait looks at: a Case of an addition or subtraction, on any carrier, or the Working of another question."""

Holds: TypeAlias = Callable[[AnyCase, str, Fraction], Truth]

COMPARISONS: dict[str, Callable[[Number, Number], Truth]] = {
    ">=": operator.ge,
    "<=": operator.le,
    "!=": operator.ne,
    ">": operator.gt,
    "<": operator.lt,
    "=": operator.eq,
}


@dataclass(frozen=True)
class Trait:
    """A property of a question.

    name      how a request calls it
    sentence  what it means, for the listing
    kind      "yes or no", "number" or "choice"
    look      from a case, on any carrier: a condition, an integer, or the place of the choice in *choices*
    choices   the words of a choice
    most      the largest value of a number in a format, where there is one
    holds     for a number that is not a plain integer of the case: whether it meets a comparison
    reach     for a trait that depends on how far apart the exponents are even where the working does not:
              from a format and a value, the distance past which that changes nothing any more
    widest    the widest mantissa, in bits, whose diagrams are known to stay small enough to try
    wide      whether a diagram of its value would be large, so that each comparison has its own
    one_by_one  whether it looks at what is written, so that it sees one question at a time
    most_seen   the most questions that are all looked at for it; of more, some are drawn
    source    where the definition is from

    >>> Trait("near", "the exponents are equal", "yes or no", lambda case: case.apart == 0).accepted
    'near, or not near'
    """

    name: str
    sentence: str
    kind: str
    look: Callable[[AnyCase], Number | Truth] | None = None
    choices: tuple[str, ...] = ()
    most: Callable[[Any], int] | None = None  # of a format of the trait's own family
    holds: Holds | None = None
    reach: Callable[[FloatFormat, Fraction], int] | None = None
    widest: int = 1 << 16
    wide: bool = False
    one_by_one: bool = False
    most_seen: int = MOST_QUESTIONS
    source: str = "common practice"
    examples: tuple[str, ...] = ()

    @property
    def accepted(self) -> str:
        """What a request may write, in words."""
        if self.kind == "yes or no":
            return f"{self.name}, or not {self.name}"
        if self.kind == "choice":
            return f"{self.name} = {' or '.join(self.choices)}"
        return f"{self.name} with =, !=, <, <=, > or >= and a number, such as {self.name} >= 1"

    @property
    def values(self) -> str:
        """The values it takes, for the listing."""
        if self.kind == "yes or no":
            return "yes, no"
        return ", ".join(self.choices) if self.kind == "choice" else "a number"

    @property
    def is_whole(self) -> bool:
        """Whether its value is a whole number."""
        return self.kind == "number" and self.most is not None

    def meets(self, case: AnyCase, comparison: str, value: Fraction) -> Truth:
        """Return whether *case*, on any carrier, compares with *value* as asked.

        A yes-or-no trait is compared with 1 (yes) or 0, a choice with its place in *choices*.
        """
        if self.holds is not None:
            return self.holds(case, comparison, value)
        assert self.look is not None  # noqa: S101 - a trait has one of the two
        seen = self.look(case)
        if self.kind == "yes or no":
            return seen if (value == 1) == (comparison == "=") else opposite(seen)
        return compare(seen, comparison, value)


def compare(number: Number, comparison: str, value: Fraction) -> Truth:
    """Return how an integer on any carrier compares with a fraction, exactly.

    >>> compare(3, ">=", Fraction(5, 2)), compare(3, "=", Fraction(5, 2))
    (True, False)
    """
    floor, rest = divmod(value.numerator, value.denominator)
    if rest:
        if comparison in {"=", "!="}:
            return _nowhere(number) if comparison == "=" else opposite(_nowhere(number))
        # Above a fraction means above its floor; below it means at most its floor.
        comparison = ">" if comparison in {">", ">="} else "<="
    return COMPARISONS[comparison](number, floor)


def by_steps(at_least: Callable[[AnyCase, int], Truth]) -> Holds:
    """Return how to compare a whole number that is only known by "is it at least n?"."""

    def holds(case: AnyCase, comparison: str, value: Fraction) -> Truth:
        if comparison in {"=", "!="}:
            if value.denominator != 1:
                return comparison == "!="
            equal = at_least(case, int(value)) & opposite(at_least(case, int(value) + 1))
            return equal if comparison == "=" else opposite(equal)
        least = math.ceil(value) if comparison in {">=", "<"} else math.floor(value) + 1
        met = at_least(case, least)
        return met if comparison in {">=", ">"} else opposite(met)

    return holds


def _nowhere(number: Number) -> Truth:
    return number < number  # noqa: PLR0124 - on many numbers this is False everywhere
