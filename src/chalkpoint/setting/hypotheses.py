"""What pupils may write for a question: under each method, each belief, and each pair of beliefs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from chalkpoint.working.adding import start, written_answer
from chalkpoint.working.beliefs.catalogue import BELIEFS, beliefs_for
from chalkpoint.working.changing import changing_method, one_row
from chalkpoint.working.course import Course
from chalkpoint.working.methods import METHODS, Method, method_for
from chalkpoint.working.page import Page
from chalkpoint.working.question import Question

__all__ = ["Hypothesis", "answer_by", "belief_methods", "hypotheses", "right_method"]

METHOD, OTHER_METHOD, BELIEF, PAIR = "method", "other method", "belief", "pair"


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """One way of working: its name, its kind, and the method that does it.

    kind  "method" (accepted), "other method" (another book's), "belief" or "pair"
    """

    name: str
    kind: str
    method: Method


@cache
def right_method(operation: str, course: Course, name: str = "") -> Method | None:
    """Return the method called *name* (the course's own by default); None where rules are not a method's."""
    if operation in {"add", "subtract"}:
        return method_for(
            operation,
            name or course.method,
            as_written=course.operands == "as written",
            underflow=course.underflow,
        )
    if operation in {"normalise", "negate"}:
        return changing_method(operation, course.underflow)
    return None


@cache
def belief_methods(operation: str, course: Course) -> tuple[Hypothesis, ...]:
    """Return each belief that acts in *operation*, as a method, in the catalogue's order."""
    base = right_method(operation, course)
    if base is None:
        return ()
    found = ((belief.id, belief.method_for(operation, base)) for belief in beliefs_for(operation))
    return tuple(Hypothesis(name, BELIEF, method) for name, method in found if method is not None)


@cache
def hypotheses(operation: str, course: Course, *, pairs: bool = False) -> tuple[Hypothesis, ...]:
    """Return the course's method, the other methods, the beliefs and, if asked, their pairs.

    A pair is two beliefs that fill different slots and are first seen on different steps.

    >>> [h.name for h in hypotheses("subtract", Course())][:2]
    ['align-then-negate', 'negate-then-align']
    """
    base = right_method(operation, course)
    if base is None:
        return ()
    if operation in {"normalise", "negate"}:
        found = [Hypothesis("right", METHOD, base)]
    else:
        accepted = (course.method, *(name for name in course.accepts if name != course.method))
        names = (*accepted, *(name for name in METHODS if name not in accepted))
        found = []
        for name in names:
            method = right_method(operation, course, name)
            assert method is not None  # noqa: S101 - these operations have every method
            found.append(Hypothesis(name, METHOD if name in accepted else OTHER_METHOD, method))
    singles = belief_methods(operation, course)
    found += singles
    if pairs:
        found += _pairs(operation, singles)
    return tuple(found)


def _pairs(operation: str, singles: tuple[Hypothesis, ...]) -> list[Hypothesis]:
    found = []
    for at, first in enumerate(singles):
        for second in singles[at + 1 :]:
            one, other = BELIEFS[first.name], BELIEFS[second.name]
            places = one.place_for(operation), other.place_for(operation)
            if one.step == other.step or places[0] is None or places[1] is None:
                continue
            if set(places[0].rules) & set(places[1].rules):
                continue
            both = other.method_for(operation, first.method)
            if both is not None:
                found.append(Hypothesis(f"{one.id} + {other.id}", PAIR, both))
    return found


FIRST_PAGES: dict[str, Callable[[Question], Page]] = {
    "add": start,
    "subtract": start,
    "normalise": one_row,
    "negate": one_row,
}


def first_page(question: Question) -> Page:
    """Return *question*'s page before anything is done."""
    return FIRST_PAGES[question.operation.name](question)


def answer_by(method: Method, question: Question) -> str:
    """Return what stands in the answer's place when *method* works *question*: bits or a word."""
    return written_answer(method.finish(first_page(question), question.format), question.format)
