"""What pupils may write for a question: under each method, each belief, and each pair of beliefs."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from chalkpoint.working.beliefs.belief import compatible
from chalkpoint.working.beliefs.catalogue import BELIEFS, beliefs_for
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.course import Course
from chalkpoint.working.methods import Method
from chalkpoint.working.procedures import other_methods, right_method

__all__ = ["RIGHT", "Hypothesis", "belief_methods", "hypotheses"]

RIGHT, METHOD, OTHER_METHOD, BELIEF, PAIR = "right", "method", "other method", "belief", "pair"


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """One way of working: its name, its kind, and the method that does it.

    kind  "right" (the course's own), "method" (accepted), "other method" (another book's), "belief" or "pair"
    """

    name: str
    kind: str
    method: Method


@cache
def belief_methods(operation: str, course: Course) -> tuple[Hypothesis, ...]:
    """Return each belief that acts in *operation*, as a method, in the catalogue's order."""
    base, family = right_method(operation, course), family_of(course.number_format)
    found = (
        (belief.id, belief.method_for(operation, base, family)) for belief in beliefs_for(operation, family)
    )
    return tuple(Hypothesis(name, BELIEF, method) for name, method in found if method is not None)


@cache
def hypotheses(operation: str, course: Course, *, pairs: bool = False) -> tuple[Hypothesis, ...]:
    """Return the course's way, the other methods, the beliefs and, if asked, their pairs.

    A pair is two beliefs that may be held at once (`compatible`).

    >>> [h.name for h in hypotheses("subtract", Course())][:3]
    ['right', 'negate-then-align', 'one-guard-bit']
    """
    base = right_method(operation, course)
    found = [Hypothesis(RIGHT, RIGHT, base)]
    for name in other_methods(operation, course):
        method = right_method(operation, course, name)
        if method.name != base.name:
            found.append(Hypothesis(name, METHOD if name in course.accepts else OTHER_METHOD, method))
    singles = belief_methods(operation, course)
    family = family_of(course.number_format)
    return (*found, *singles, *(_pairs(operation, family, singles) if pairs else ()))


def _pairs(operation: str, family: str, singles: tuple[Hypothesis, ...]) -> list[Hypothesis]:
    found = []
    for at, first in enumerate(singles):
        for second in singles[at + 1 :]:
            one, other = BELIEFS[first.name], BELIEFS[second.name]
            if not compatible(one, other):
                continue
            both = other.method_for(operation, first.method, family)
            if both is not None:
                found.append(Hypothesis(f"{one.id} + {other.id}", PAIR, both))
    return found
