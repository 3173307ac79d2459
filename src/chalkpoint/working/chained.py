"""Questions made of others: a conversion is a reading and a storing, a sum a chain of additions.

Each part begins from what the part before it came to, right or wrong; a word ends the chain.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any, NamedTuple

from chalkpoint.working.course import Course
from chalkpoint.working.methods import Method
from chalkpoint.working.page import AnyPage
from chalkpoint.working.procedures import begin, context_of, declaration_of, method_named, write_answer
from chalkpoint.working.question import OPERATIONS, Question
from chalkpoint.working.work import work_question

__all__ = [
    "MADE_OF_PARTS",
    "Word",
    "came_to",
    "is_zero_stored",
    "part_asked",
    "parts_asked",
    "results_of_chain",
]

#: By operation that is made of others, those that it is made of.
MADE_OF_PARTS = {"convert": ("decode", "encode"), "sum": ("add",)}


class Word(NamedTuple):
    """What a part came to that is no number: the answer of the whole."""

    word: str


def parts_asked(question: Question) -> int:
    """Return of how many parts *question* is made.

    >>> from chalkpoint.working.question import ask
    >>> parts_asked(ask("sum", "64", "0.25", "1", course=Course()))
    2
    """
    return 2 if question.target is not None else len(question.patterns) - 1


def part_asked(question: Question, stage: int, carried: Any) -> Question:
    """Return the question that part number *stage* is, from 0, which begins from what is *carried*.

    >>> from chalkpoint.working.question import ask
    >>> part_asked(ask("convert", "6.5", "binary16", course=Course()), 1, Fraction(13, 2)).operands
    ['13/2']
    """
    target = question.target
    if target is None:
        total = question.patterns[0] if stage == 0 else carried
        terms = (total, question.patterns[stage + 1])
        names = ("total" if stage else question.names[0], question.names[stage + 1])
        return Question(
            OPERATIONS["add"], question.course, question.format, terms, given=(None, None), names=names
        )
    if stage == 0:
        return replace(question, operation=OPERATIONS["decode"], target=None)
    return Question(OPERATIONS["encode"], target, target.number_format, value=carried)


def came_to(question: Question, asked: Question, page: AnyPage) -> Any:
    """Return what the part *asked* of *question* came to on its last *page*: a value, a pattern or a `Word`."""
    if asked.operation.name == "decode":
        if getattr(page, "special", False):  # an infinity or NaN
            worked = work_question(question)
            return Word(worked.result.bits or worked.outcome)
        return Fraction(page.value)
    ending = declaration_of(asked).end(page, asked)
    return Word(ending.outcome) if ending.pattern is None else ending.pattern


def is_zero_stored(asked: Question) -> bool:
    """Tell whether the part *asked* stores zero, which a rule of its own does."""
    return asked.operation.name == "encode" and not asked.value


def results_of_chain(question: Question, method_of: Callable[[str, Course], Method]) -> list[str]:
    """Return what is written as the result of each part, worked by *method_of* (operation, course); last the answer.

    >>> from chalkpoint.working.procedures import right_method
    >>> from chalkpoint.working.question import ask
    >>> results_of_chain(ask("sum", "6.5", "1.25", "2", course=Course()), right_method)
    ['01111100 0011', '01001110 0100']
    """
    carried: Any = None
    results: list[str] = []
    last = parts_asked(question) - 1
    for stage in range(last + 1):
        asked = part_asked(question, stage, carried)
        right = is_zero_stored(asked)
        method = method_named(asked) if right else method_of(asked.operation.name, asked.course)
        page = declaration_of(asked).suit(method, asked).finish(begin(asked), context_of(asked))
        results.append(write_answer(page, asked))
        if stage < last and isinstance(carried := came_to(question, asked, page), Word):
            return [*results, carried.word]
    return results
