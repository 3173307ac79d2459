"""Where a paper's questions come from: the finder's spaces and traits, drawn by seed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import cached_property, partial
from itertools import islice
from random import Random
from typing import Any, TypeAlias

from chalkpoint.finding.atlas import atlas_for
from chalkpoint.finding.case import case_of
from chalkpoint.finding.drawing import sample
from chalkpoint.finding.found import question_of
from chalkpoint.finding.registry import FOUND_BY, trait_named
from chalkpoint.finding.rejection import draw_in_lanes
from chalkpoint.finding.request import Term, parse_request
from chalkpoint.finding.selection import Selection
from chalkpoint.finding.singles import space_of
from chalkpoint.finding.trait import AnyCase, Trait
from chalkpoint.finding.traits.single import OPERAND_TRAITS
from chalkpoint.numbers.errors import EntryError
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import exact_answer
from chalkpoint.working.question import OPERATIONS, Question
from chalkpoint.working.work import work_question
from chalkpoint.working.working import Working

__all__ = [
    "FOUND_OPERATIONS",
    "PAIR_OPERATIONS",
    "SET_OPERATIONS",
    "case_from",
    "draw",
    "drawn",
    "key_of",
    "parse_where",
    "trait_of",
]

PAIR_OPERATIONS = ("add", "subtract")
#: Those whose questions the finder knows, and range, which is one question.
FOUND_OPERATIONS = tuple(name for name in OPERATIONS if name in FOUND_BY or name == "range")
SET_OPERATIONS = (*FOUND_OPERATIONS, "convert", "sum", "choose-format", "explain")
MOST_LOOKED_AT = 60_000  # questions drawn where a term has no diagram
PATIENCE = 2_000  # draws in a row that bring nothing new, before what there is has to do

#: What goes without saying: nobody is asked to normalise what is normal, or what storing exactly costs.
UNSAID: dict[str, tuple[str, ...]] = {
    "decode": ("not operand-zero",),
    "negate": ("not operand-zero",),
    "normalise": ("operand-not-normalised",),
    "encode": ("not exponent-overflow", "not exponent-underflow"),
    "multiply": ("not operand-zero", "not exponent-overflow", "not exponent-underflow"),
    "divide": ("not operand-zero", "not exponent-overflow", "not exponent-underflow"),
    "error": ("not exact-result", "not exponent-overflow", "not exponent-underflow"),
}


def parse_where(where: Iterable[str], operation: str) -> tuple[Term, ...]:
    """Return the terms of a question's *where*.

    Raises EntryError with near misses for a trait the operation does not have.

    >>> len(parse_where(["equal-exponents", "lost-ones >= 1"], "subtract"))
    2
    """
    return parse_request(where, partial(trait_of, operation))


def trait_of(operation: str, name: str) -> Trait:
    """Return the trait called *name*; raise EntryError with near misses where *operation* has none such.

    >>> trait_of("subtract", "lost-ones").name
    'lost-ones'
    """
    if operation == "range":
        raise EntryError(f"{name!r} is not a trait of range; a format has one range, so leave where out")
    return trait_named(name, operation)


def draw(operation: str, course: Course, where: Iterable[str], n: int, seed: str) -> list[Question]:
    """Return up to *n* different questions that meet *where*, the same for the same *seed*.

    Fewer are returned where no more were found.

    >>> draw("decode", Course(format="5+3"), ["sign-pattern = -"], 1, "1")[0].values[0] < 0
    True
    """
    return list(drawn(operation, course, where, n, seed))


def drawn(operation: str, course: Course, where: Iterable[str], n: int, seed: str) -> Iterable[Question]:
    """Return what `draw` does, one after another where each is worked to see whether it will do."""
    if operation == "range":
        return [Question(OPERATIONS["range"], course, course.number_format)]
    terms = parse_where(where, operation)
    if operation in PAIR_OPERATIONS:
        together = draw_in_lanes(operation, course, terms, n, Random(seed))
        if together is not None:
            return [question_of(operation, course, given) for given in together]
        return _pairs(operation, course, terms, n, Random(seed))
    named = {term.trait.name for term in terms}
    unsaid = [
        term for term in parse_where(UNSAID.get(operation, ()), operation) if term.trait.name not in named
    ]
    return islice(_singles(operation, course, (*terms, *unsaid), Random(seed)), n)


def _singles(operation: str, course: Course, terms: tuple[Term, ...], rng: Random) -> Iterator[Question]:
    """Yield questions that meet *terms*, each drawn and looked at by itself, until no more are met with."""
    space = space_of(operation, course, every=False)
    at_sight = {trait.name for trait in OPERAND_TRAITS}
    terms = tuple(sorted(terms, key=lambda term: term.trait.name not in at_sight))  # the others take working
    seen: set[int] = set()
    since = 0
    while since <= PATIENCE:
        number = rng.randrange(space.count)
        since += 1
        if number in seen:
            continue
        seen.add(number)
        question = question_of(operation, course, space.item(number))
        case = case_from(question)
        if all(term.meets(case) for term in terms):
            since = 0
            yield question


def _pairs(
    operation: str, course: Course, terms: tuple[Term, ...], n: int, rng: Random
) -> Iterator[Question]:
    """Yield up to *n* questions from the atlas; a term that has no diagram is asked of each question drawn."""
    atlas = atlas_for(operation, course)
    loose = [term for term in terms if atlas.does_not_fit(term)]
    selection = Selection(atlas, [term for term in terms if term not in loose])
    numbers = sample(rng, selection.count, MOST_LOOKED_AT if loose else n)
    questions = (question_of(operation, course, selection.pair(number)) for number in numbers)
    if loose:
        questions = (one for one in questions if all(term.meets(case_from(one)) for term in loose))
    return islice(questions, n)


class _Unworked:
    """A question that passes for its working, and is worked when more than it and its exact answer is looked at.

    Most of what is drawn falls at a trait of these alone, such as how many decimal places the answer has.
    """

    def __init__(self, question: Question) -> None:
        self.question = question

    @cached_property
    def working(self) -> Working:
        """The question worked."""
        return work_question(self.question)

    @property
    def check(self) -> _Unchecked:
        """The exact answer, and the rest of the check once that is looked at."""
        return _Unchecked(self)

    def __getattr__(self, name: str) -> Any:
        return getattr(self.working, name)


class _Unchecked:
    """The check of a question that may not be worked yet."""

    def __init__(self, of: _Unworked) -> None:
        self.of = of

    @property
    def exact(self) -> Fraction:
        """The exact answer; 0 for an answer that is no number, as a check has it."""
        return exact_answer(self.of.question)

    def __getattr__(self, name: str) -> Any:
        return getattr(self.of.working.check, name)


QuestionKey: TypeAlias = tuple[object, ...]
"""What makes a question the one it is."""


def key_of(question: Question) -> QuestionKey:
    """Return what makes a question the one it is."""
    about = "" if question.about is None else question.about.operation.name
    target = "" if question.target is None else question.target.format
    name = question.operation.name
    return name, about, str(question.format), target, question.patterns, question.value, question.amounts


def case_from(question: Question) -> AnyCase:
    """Return what a trait of the question's operation looks at."""
    if question.operation.name in PAIR_OPERATIONS:
        return case_of(question.operation.name, question.course, *question.patterns)
    return _Unworked(question)
