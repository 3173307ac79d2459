"""What a belief is: a faulty rule, how a pupil would put it, what helps, and every place where it acts.

A belief is not tied to a step: a pupil who reads sign and magnitude does so in integers, mantissas
and exponents alike. So a belief lists *places*; in each it fills or replaces named slots of the
methods of some operations on one family of formats.

Evidence is a letter: R, reported in interviews and tests on number representation or seen in public
question threads; T, teachers' lore; C, conjecture. The weight (3, 2 or 1) is a guess at how common
the belief is, and no measurement.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any, TypeAlias

from chalkpoint.working.methods import Method

__all__ = [
    "ADDING",
    "BIASED",
    "EXCESS",
    "FAMILIES",
    "FIXED",
    "FLOAT",
    "IEEE",
    "IMPLIED",
    "INTEGER",
    "ONES",
    "SCALING",
    "SIGNED",
    "SIZE",
    "STORING",
    "UNSIGNED",
    "Belief",
    "Place",
    "acts",
    "compatible",
    "faulty_method",
]

FLOAT = "m+e"
BIASED = "m+e in excess"
IMPLIED = "m+e with a bit left out"
INTEGER = "integer"
FIXED = "fixed"
UNSIGNED = "unsigned"
ONES = "ones' complement"
SIGNED = "sign and magnitude"
EXCESS = "excess"
IEEE = "IEEE"
SIZE = "sign and size"
FAMILIES: dict[str, str] = {
    FLOAT: "a two's complement mantissa and exponent",
    BIASED: "a two's complement mantissa, an exponent in excess",
    IMPLIED: "a two's complement mantissa whose second bit is not written",
    INTEGER: "two's complement integers",
    FIXED: "two's complement with a binary point",
    UNSIGNED: "digits without a sign place",
    ONES: "ones' complement",
    SIGNED: "a sign bit and a size",
    EXCESS: "numbers in excess",
    IEEE: "sign, biased exponent, fraction with a hidden one",
    SIZE: "sign, exponent and every digit of the size",
}
ADDING = ("add", "subtract")
SCALING = ("multiply", "divide")
STORING = ("encode", "error")

AnyRule: TypeAlias = Callable[..., Any]
"""A rule of a step; where a belief is about less than a page (the digits of a number, say), a rule of that."""


@dataclass(frozen=True, eq=False, slots=True)
class Place:
    """One place where a belief acts.

    operations  the operations whose methods it changes
    rules       by slot, the rule that fills it
    says        by line of working, the sentence beside it where a faulty rule wrote it
    family      one of FAMILIES
    past_range  whether it shows only where an operand is past the range of the format
    signed      whether it is about an exponent in two's complement; what is not acts on one in excess as well
    """

    operations: tuple[str, ...]
    rules: Mapping[str, AnyRule]
    says: Mapping[str, str] = field(default_factory=dict)
    family: str = FLOAT
    past_range: bool = False
    signed: bool = False

    def acts_on(self, family: str) -> bool:
        """Tell whether it is a place in formats of *family*."""
        if self.family == FLOAT:
            return family in {FLOAT, IMPLIED} or (family == BIASED and not self.signed)
        return self.family == family


def acts(
    operations: tuple[str, ...],
    slot: str,
    rule: AnyRule,
    said: str,
    *families: str,
    line: str = "",
    signed: bool = False,
) -> tuple[Place, ...]:
    """Return the places of a belief that fills one *slot*, in each of *families* (m+e by default).

    line  the line that *said* stands beside, where it is not called as the slot is
    """
    rules, says = {slot: rule}, {line or slot: said}
    return tuple(Place(operations, rules, says, family, signed=signed) for family in families or (FLOAT,))


@dataclass(frozen=True, eq=False, kw_only=True)
class Belief:
    """A faulty rule that a pupil may hold.

    id        its name everywhere, in words joined by hyphens
    says      the faulty rule in one plain sentence, as the pupil would put it
    step      the step it is first seen on
    nudge     first hint: a question that lets the pupil doubt
    rule      second hint: the right rule
    show      third hint: one move made, never the whole answer
    evidence  R, T or C
    weight    3, 2 or 1: how common we guess it to be
    cause     where it may come from
    places    where it acts
    alike     beliefs that give the same answer in the same place unless the working tells them apart
    policy    True where it breaks what the question asks rather than what the digits mean
    of_values True where it shows only in operands that are given as values, and stored first

    >>> from chalkpoint.working.beliefs.catalogue import BELIEFS
    >>> BELIEFS["invert-only"].says
    'To change the sign I invert every bit.'
    """

    id: str
    says: str
    step: str
    nudge: str
    rule: str
    show: str
    evidence: str
    weight: int
    cause: str
    places: tuple[Place, ...]
    alike: tuple[str, ...] = ()
    policy: bool = False
    of_values: bool = False

    def __repr__(self) -> str:
        return f"<belief {self.id}>"

    @property
    def hints(self) -> tuple[str, str, str]:
        """The three hints, in the order they are given."""
        return self.nudge, self.rule, self.show

    def place_for(self, operation: str, family: str = FLOAT, *, past_range: bool = False) -> Place | None:
        """Return where the belief acts in *operation* on *family*; None where it does not.

        past_range  whether an operand is past the range, so that places count that show only then
        """
        for place in self.places:
            if place.acts_on(family) and operation in place.operations and place.past_range <= past_range:
                return place
        return None

    def method_for(
        self, operation: str, base: Method, family: str = FLOAT, *, past_range: bool = False
    ) -> Method | None:
        """Return *base* as the pupil works it: some rules replaced; None where the belief does not act.

        base  any method of *operation* (``methods.method_for``)
        """
        return faulty_method(self, operation, base, family, past_range)


@cache
def faulty_method(
    belief: Belief,
    operation: str,
    base: Method,
    family: str,
    past_range: bool,  # noqa: FBT001
) -> Method | None:
    """Return *base* with *belief*'s rules in their slots, made once."""
    place = belief.place_for(operation, family, past_range=past_range)
    return None if place is None else base.with_faults(place.rules, place.says)


def compatible(one: Belief, other: Belief) -> bool:
    """Tell whether both may be held at once: they act on different steps, and nowhere fill one slot.

    >>> from chalkpoint.working.beliefs.catalogue import BELIEFS
    >>> compatible(BELIEFS["invert-only"], BELIEFS["norm-mantissa-only"])
    True
    >>> compatible(BELIEFS["align-skip"], BELIEFS["exponents-added"])
    False
    """
    if one.step == other.step or other.id in one.alike:
        return False
    return not any(
        set(place.rules) & set(rival.rules)
        for place in one.places
        for rival in other.places
        if (place.acts_on(rival.family) or rival.acts_on(place.family))
        and set(place.operations) & set(rival.operations)
    )
