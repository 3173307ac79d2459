"""Where a paper's questions come from: found where the finder holds their traits, else drawn and filtered."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import partial
from itertools import islice
from random import Random
from typing import Any

from chalkpoint.finding.case import case_of
from chalkpoint.finding.registry import trait_named
from chalkpoint.finding.request import Term, parse_request
from chalkpoint.finding.trait import Trait
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.numbers.formats import FloatFormat, Pattern
from chalkpoint.setting.singles import SINGLE_OPERATIONS, SINGLE_TRAITS, draw_singles
from chalkpoint.working.course import Course
from chalkpoint.working.question import OPERATIONS, Question

__all__ = ["PAIR_OPERATIONS", "SET_OPERATIONS", "case_from", "draw", "key_of", "parse_where", "trait_of"]

PAIR_OPERATIONS = ("add", "subtract")
SET_OPERATIONS = tuple(name for name in OPERATIONS if name in {*PAIR_OPERATIONS, *SINGLE_OPERATIONS})
MOST_LOOKED_AT = 60_000  # draws before a request is given up


def parse_where(where: Iterable[str], operation: str) -> tuple[Term, ...]:
    """Return the terms of a question's *where*.

    Raises EntryError with near misses for a trait the operation does not have.
    """
    return parse_request(where, partial(trait_of, operation))


def trait_of(operation: str, name: str) -> Trait:
    """Return the trait called *name*; raise EntryError with near misses where *operation* has none such."""
    if operation in PAIR_OPERATIONS:
        return trait_named(name, operation)
    traits = SINGLE_TRAITS[operation]
    if name not in traits:
        raise EntryError(f"{name!r} is not a trait of {operation}; {near_misses(name, traits)}")
    return traits[name]


def draw(operation: str, course: Course, where: Iterable[str], n: int, seed: str) -> list[Question]:
    """Return up to *n* different questions that meet *where*, the same for the same *seed*.

    Fewer are returned where no more were found.

    >>> draw("decode", Course(format="5+3"), ["negative"], 1, "1")[0].values[0] < 0
    True
    """
    terms = parse_where(where, operation)
    rng = Random(seed)
    source: Iterator[Question] = (
        _pairs(operation, course, rng) if operation in PAIR_OPERATIONS else draw_singles(operation, course, rng)
    )
    most = 1 if operation == "range" else n
    found: dict[tuple[Any, ...], Question] = {}
    for question in islice(source, MOST_LOOKED_AT):
        case = case_from(question)
        if all(term.meets(case) for term in terms):
            found.setdefault(key_of(question), question)
        if len(found) >= most:
            break
    return list(found.values())


def key_of(question: Question) -> tuple[Any, ...]:
    """Return what makes a question the one it is."""
    return question.operation.name, str(question.format), question.patterns, question.value


def case_from(question: Question) -> Any:
    """Return what a trait of the question's operation looks at."""
    if question.operation.name in PAIR_OPERATIONS:
        return case_of(question.operation.name, question.course, *question.patterns)
    return question


def _pairs(operation: str, course: Course, rng: Random) -> Iterator[Question]:
    fmt = course.number_format
    while True:
        patterns = (_pattern(rng, fmt), _pattern(rng, fmt))
        yield Question(OPERATIONS[operation], course, fmt, patterns, given=(None, None))


def _pattern(rng: Random, fmt: FloatFormat) -> Pattern:
    half = 1 << (fmt.places - 1)
    mantissa = rng.randrange(half, 2 * half)
    exponent = rng.randint(fmt.lowest_exponent, fmt.highest_exponent)
    return Pattern(mantissa if rng.random() < 1 / 2 else ~mantissa, exponent)
