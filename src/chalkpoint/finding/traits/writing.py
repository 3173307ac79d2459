"""Traits of a question as it is set: how much there is to write, and whether its numbers could be measured.

Both look at one question at a time, written out, so they have no diagrams.
"""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.finding.gauges import gauges_for
from chalkpoint.finding.trait import AnyCase, Holds, Trait, compare
from chalkpoint.working.length import characters
from chalkpoint.working.working import Working

__all__ = ["DIGITS_TO_WRITE", "plausible"]

ANY = "any"


def _working(case: AnyCase) -> Working:
    """Return the working a trait looks at: the case itself, or for a pair the working it gives."""
    return case if isinstance(case, Working) else case.working


def _digits(case: AnyCase, comparison: str, value: Fraction) -> bool:
    return bool(compare(characters(_working(case)), comparison, value))


DIGITS_TO_WRITE = Trait(
    "digits-to-write",
    "characters in the model solution: the digits of its rows, and its values",
    "number",
    holds=_digits,
    widest=0,
    one_by_one=True,
    most_seen=1 << 14,
    source="our own",
    examples=("digits-to-write <= 120",),
)


def plausible(operation: str) -> tuple[Trait, ...]:
    """Return the trait of numbers that a gauge gives, where there are gauges for *operation*."""
    known = gauges_for(operation)
    if not known:
        return ()

    def holds(case: AnyCase, comparison: str, value: Fraction) -> bool:
        # The first choice is any gauge; the others are one gauge each.
        asked = known if value == 0 else (known[int(value) - 1],)
        met = any(gauge.plausible(case.question) for gauge in asked)
        return met if comparison == "=" else not met

    return (_plausible(tuple(gauge.word for gauge in known), holds),)


def _plausible(words: tuple[str, ...], holds: Holds) -> Trait:
    return Trait(
        "plausible-in-context",
        "the operands and the exact answer are within a gauge's range and multiples of its resolution",
        "choice",
        holds=holds,
        choices=(ANY, *words),
        widest=0,
        one_by_one=True,
        most_seen=1 << 16,
        source="our own",
    )
