"""Ruled lines to write on: by family of formats and operation, the mark each is for, by the tables of the catalogue."""

from __future__ import annotations

from chalkpoint.numbers.families import SIZES, WHOLE
from chalkpoint.numbers.named import AnyFormat, is_school
from chalkpoint.setting.families import keeps_places
from chalkpoint.working.question import Question
from chalkpoint.working.wording.words_papers import (
    COMPOSITE_LINES,
    CUT_OTHERWISE,
    LINES,
    SIZE_LINES,
    WHOLE_LINES,
    WITHOUT_HIDDEN,
    Lines,
)

__all__ = ["LINES_A_POINT", "lines_for"]

LINES_A_POINT = 2  # ruled right across, for each point of an explanation


def lines_for(question: Question) -> Lines:
    """Return the ruled lines of *question*, each with the mark it is for.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> [rule for rule, _ in lines_for(ask("decode", "-5", course=Course(format="8")))]
    ['weigh', 'answer']
    """
    operation, fmt = question.operation.name, question.format
    if operation in COMPOSITE_LINES:
        return COMPOSITE_LINES[operation]
    return (CUT_OTHERWISE if outgrows_boxes(question) else lines_in(fmt)).get(operation, ())


def outgrows_boxes(question: Question) -> bool:
    """Tell whether the lines of adding have more digits than a mantissa: a guard bit, or every place.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> [outgrows_boxes(ask("add", "6.5", "1.25", course=Course(method=name)))
    ...  for name in ("align-then-negate", "one-guard-bit")]
    [False, True]
    """
    return keeps_places(question.operation.name, question.course)


def lines_in(fmt: AnyFormat) -> dict[str, Lines]:
    """Return the lines of each operation in *fmt*."""
    if fmt.family == SIZES:
        return SIZE_LINES if fmt.hidden else SIZE_LINES | WITHOUT_HIDDEN
    if fmt.family == WHOLE:
        return WHOLE_LINES
    return LINES if is_school(fmt) or fmt.plain else LINES | CUT_OTHERWISE
