"""Every trait by name, for each operation."""

from __future__ import annotations

from functools import cache

from chalkpoint.finding.trait import Trait
from chalkpoint.finding.traits.aligning import ALIGNING
from chalkpoint.finding.traits.answering import ANSWERING
from chalkpoint.finding.traits.believing import FAMILIES, believing
from chalkpoint.finding.traits.operands import OPERANDS
from chalkpoint.finding.traits.summing import SUMMING
from chalkpoint.numbers.errors import EntryError, near_misses

__all__ = ["trait_named", "traits_of"]


@cache
def traits_of(operation: str) -> dict[str, Trait]:
    """Return the traits of an operation by name, in the order they are listed.

    >>> "lost-ones" in traits_of("subtract")
    True
    """
    return {trait.name: trait for trait in (*ALIGNING, *SUMMING, *ANSWERING, *OPERANDS)}


def trait_named(name: str, operation: str) -> Trait:
    """Return the trait called *name*; raise EntryError with near misses where there is none."""
    belief = believing(name, operation)
    if belief is not None:
        return belief
    known = traits_of(operation)
    if name not in known:
        names = [*known, *(f"{family}:X" for family in FAMILIES)]
        raise EntryError(f"{name!r} is not a trait of {operation}; {near_misses(name, names)}")
    return known[name]
