"""Every trait by name, for each operation."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from chalkpoint.finding.trait import Trait
from chalkpoint.finding.traits.aligning import ALIGNING
from chalkpoint.finding.traits.answering import ANSWERING
from chalkpoint.finding.traits.believing import ANSWER_CLASSES, beliefs_of, believing, families_of
from chalkpoint.finding.traits.families import family_groups, family_trait
from chalkpoint.finding.traits.operands import OPERANDS
from chalkpoint.finding.traits.single import PATTERN_TRAITS, PRODUCT_TRAITS, RESULT_TRAITS, VALUE_TRAITS
from chalkpoint.finding.traits.summing import SUMMING
from chalkpoint.finding.traits.writing import DIGITS_TO_WRITE, plausible
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.numbers.named import is_school
from chalkpoint.working.beliefs.catalogue import beliefs_for
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.course import Course

__all__ = [
    "FOUND_BY",
    "PAIR_OPERATIONS",
    "beliefs_in",
    "groups_in",
    "groups_of",
    "operation_named",
    "trait_in",
    "trait_named",
    "traits_of",
]


PAIR_OPERATIONS = ("add", "subtract")
PAIRS = (*ALIGNING, *SUMMING, *ANSWERING, *OPERANDS, ANSWER_CLASSES)
ASKED: dict[str, tuple[Trait, ...]] = {
    "add": PAIRS,
    "subtract": PAIRS,
    "multiply": PRODUCT_TRAITS,
    "divide": PRODUCT_TRAITS,
    "decode": PATTERN_TRAITS,
    "normalise": (*PATTERN_TRAITS, *RESULT_TRAITS),
    "negate": (*PATTERN_TRAITS, *RESULT_TRAITS),
    "encode": VALUE_TRAITS,
    "error": VALUE_TRAITS,
}
FOUND_BY: dict[str, tuple[Trait, ...]] = {
    operation: (*traits, DIGITS_TO_WRITE, *plausible(operation)) for operation, traits in ASKED.items()
}


#: Why questions of these are not counted.
NOT_COUNTED = {
    "sum": "how many numbers are added is open; ask for add",
    "choose-format": "its values have no format, so there is no end of them; ask for encode or range in one",
    "range": "a format has one; ask for encode",
    "explain": "it is answered in words; ask for the operation that is explained",
}


def operation_named(name: str) -> str:
    """Return *name* if questions of it can be found; raise EntryError with the reason or near misses if not.

    >>> operation_named("convert")
    'convert'
    """
    if name in NOT_COUNTED:
        raise EntryError(f"questions of {name!r} are not counted: {NOT_COUNTED[name]}")
    if name not in FOUND_BY and name != "convert":
        raise EntryError(f"{name!r} is not an operation to find questions of; {near_misses(name, FOUND_BY)}")
    return name


@cache
def traits_of(operation: str) -> dict[str, Trait]:
    """Return the traits of an operation by name, in the order they are listed.

    >>> "lost-ones" in traits_of("subtract")
    True
    """
    return {trait.name: trait for trait in FOUND_BY[operation]}


GROUPS = {
    "matching the exponents": ALIGNING,
    "adding and normalising": SUMMING,
    "the answer": ANSWERING,
    "the operands": OPERANDS,
}


def groups_of(operation: str) -> dict[str, tuple[Trait, ...]]:
    """Return the traits of an operation by what they are about, each once.

    >>> list(groups_of("add"))[:2]
    ['matching the exponents', 'adding and normalising']
    """
    traits = FOUND_BY[operation]
    groups = {name: tuple(trait for trait in traits if trait in members) for name, members in GROUPS.items()}
    placed = {trait.name for members in groups.values() for trait in members}
    groups["the whole working"] = tuple(trait for trait in traits if trait.name not in placed)
    return {name: members for name, members in groups.items() if members}


def groups_in(course: Course, operation: str) -> dict[str, tuple[Trait, ...]]:
    """Return the traits of an operation in the course's format, by what they are about.

    >>> [trait.name for trait in groups_in(Course(format="8 ones-complement"), "add")["the working"]][-1]
    'end-around-carry'
    """
    if is_school(course.number_format):
        return groups_of(operation)
    common, own = family_groups(operation, course.number_format)
    return {
        name: traits
        for name, traits in (("the question and its answer", common), ("the working", own))
        if traits
    }


def beliefs_in(course: Course, operation: str) -> list[str]:
    """Return the names of the beliefs that questions of an operation can expose in the course's format.

    >>> "carry-kept" in beliefs_in(Course(format="8"), "add")
    True
    """
    if is_school(course.number_format):
        return beliefs_of(operation) if "exposes" in families_of(operation) else []
    return [belief.id for belief in beliefs_for(operation, family_of(course.number_format))]


def trait_in(course: Course, operation: str) -> Callable[[str], Trait]:
    """Return what finds a trait of *operation* by its name, in the course's format.

    >>> trait_in(Course(format="8"), "add")("carry-out").kind
    'yes or no'
    """
    fmt = course.number_format
    if is_school(fmt) and operation != "convert":
        return lambda name: trait_named(name, operation)
    return lambda name: family_trait(name, operation, fmt)


def trait_named(name: str, operation: str) -> Trait:
    """Return the trait called *name*; raise EntryError with near misses where there is none.

    >>> trait_named("align-shift", "add").kind
    'number'
    """
    if belief := believing(name, operation):
        return belief
    known = traits_of(operation)
    if name not in known:
        raise EntryError(f"{name!r} is not a trait of {operation}; {_near(name, operation)}")
    return known[name]


def _near(name: str, operation: str) -> str:
    """Return what a misspelt name may have meant; beliefs come after a colon."""
    family, colon, _ = name.partition(":")
    families = families_of(operation)
    if colon and len(families) == 1:
        return f"give {next(iter(families))}:X, X being a belief"
    if colon:
        return near_misses(family, families).replace("?", ":X, X being a belief?")
    return near_misses(name, [*traits_of(operation), *(f"{family}:X" for family in families)])
