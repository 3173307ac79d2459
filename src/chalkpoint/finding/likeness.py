"""Questions like a given one: the conditions on what it does that a teacher would ask for again."""

from __future__ import annotations

from chalkpoint.finding.case import case_of
from chalkpoint.finding.registry import PAIR_OPERATIONS, traits_of
from chalkpoint.finding.trait import Trait
from chalkpoint.numbers.errors import EntryError
from chalkpoint.working.question import Question

__all__ = ["conditions_like"]

#: What makes two sums alike at the board: the shifts, the losses, and what happens at the sign place.
MAIN = ("align-shift", "shifted-operand", "lost-ones", "carry-dropped", "mantissa-overflow", "norm-shift")


def conditions_like(question: Question) -> list[str]:
    """Return the conditions that *question* meets, as they are asked for; none where its format is not found in.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> conditions_like(ask("subtract", "8.875", "3.6875", course=Course()))[:3]
    ['align-shift = 2', 'shifted-operand = second', 'lost-ones = 1']
    """
    operation = question.operation.name
    if operation not in PAIR_OPERATIONS:
        return []
    try:
        question.course.school_format("finding questions")
    except EntryError:
        return []
    case = case_of(operation, question.course, *question.patterns)
    traits = traits_of(operation)
    return [_condition(traits[name], case) for name in MAIN]


def _condition(trait: Trait, case: object) -> str:
    assert trait.look is not None  # noqa: S101 - each of those has a value to look at
    seen = trait.look(case)
    if trait.kind == "yes or no":
        return trait.name if seen else f"not {trait.name}"
    return f"{trait.name} = {trait.choices[int(seen)] if trait.kind == 'choice' else int(seen)}"
