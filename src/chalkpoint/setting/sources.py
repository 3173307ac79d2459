"""Where a paper's questions come from: found where the finder holds their traits, else drawn and filtered."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from random import Random
from typing import Any

from chalkpoint.finding.atlas import atlas_for
from chalkpoint.finding.case import case_of
from chalkpoint.finding.registry import trait_named
from chalkpoint.finding.request import Term, parse_request
from chalkpoint.finding.selection import Selection
from chalkpoint.finding.trait import Trait
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.setting.singles import SINGLE_OPERATIONS, SINGLE_TRAITS, draw_singles
from chalkpoint.working.course import Course
from chalkpoint.working.question import OPERATIONS, Question

__all__ = ["PAIR_OPERATIONS", "SET_OPERATIONS", "case_from", "draw", "key_of", "parse_where", "trait_of"]

PAIR_OPERATIONS = ("add", "subtract")
SET_OPERATIONS = tuple(name for name in OPERATIONS if name in {*PAIR_OPERATIONS, *SINGLE_OPERATIONS})
MOST_LOOKED_AT = 60_000  # questions drawn where a term has no diagram
PATIENCE = 2_000  # draws in a row that bring nothing new, before what there is has to do


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
    if operation in PAIR_OPERATIONS:
        return _found(operation, course, terms, n, rng)
    most = 1 if operation == "range" else n
    found: dict[tuple[Any, ...], Question] = {}
    since = 0
    for question in draw_singles(operation, course, rng):
        since += 1
        key = key_of(question)
        if key not in found and all(term.meets(question) for term in terms):
            found[key] = question
            since = 0
        if len(found) >= most or since > PATIENCE:
            break
    return list(found.values())


def _found(operation: str, course: Course, terms: tuple[Term, ...], n: int, rng: Random) -> list[Question]:
    """Return up to *n* questions from the atlas; a term that has no diagram is asked of each question drawn."""
    atlas = atlas_for(operation, course)
    held = [term for term in terms if not atlas.does_not_fit(term)]
    asked = [term for term in terms if term not in held]
    selection = Selection(atlas, held)
    looked_at = min(selection.count, MOST_LOOKED_AT if asked else n)
    kind, fmt = OPERATIONS[operation], course.number_format
    found: list[Question] = []
    for patterns in selection.pairs(rng.sample(range(selection.count), looked_at)):
        question = Question(kind, course, fmt, patterns, given=(None, None))
        if not asked or all(term.meets(case_from(question)) for term in asked):
            found.append(question)
        if len(found) >= n:
            break
    return found


def key_of(question: Question) -> tuple[Any, ...]:
    """Return what makes a question the one it is."""
    return question.operation.name, str(question.format), question.patterns, question.value


def case_from(question: Question) -> Any:
    """Return what a trait of the question's operation looks at."""
    if question.operation.name in PAIR_OPERATIONS:
        return case_of(question.operation.name, question.course, *question.patterns)
    return question
