"""How long a model solution is: what there is to write, and so the time it takes."""

from __future__ import annotations

from chalkpoint.numbers.exact import write_value
from chalkpoint.working.working import Working

__all__ = ["characters"]


def characters(working: Working) -> int:
    """Return the characters of the model solution: the digits of every row, and of the values.

    Rows that only repeat what stands above are not counted. An explanation is its words.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> from chalkpoint.working.work import work_question
    >>> characters(work_question(ask("normalise", "00011010 0011", course=Course())))
    34
    """
    question = working.question
    if question.operation.name == "explain":
        return sum(len(step.detail) for step in working.steps)
    digits = sum(
        len(row.bits) + len(row.exponent_bits) + len(row.lost)
        for step in working.steps
        for row in step.rows
        if not row.soft
    )
    exact = [] if working.check.special else [working.check.exact]
    return digits + sum(map(len, [*question.shown, *map(write_value, exact)]))
