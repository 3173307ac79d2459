"""How each operation is run on whole and fixed-point numbers: methods, first pages, answers."""

from __future__ import annotations

from chalkpoint.numbers.exact import write_value
from chalkpoint.working.course import Course
from chalkpoint.working.methods import Method
from chalkpoint.working.page import OUTCOMES, OVERFLOW, TOO_LONG, Page
from chalkpoint.working.procedure import Procedure
from chalkpoint.working.question import Question
from chalkpoint.working.size_procedures import stored_with_errors
from chalkpoint.working.whole import whole_method, written_whole
from chalkpoint.working.whole_values import (
    WHOLE_NEGATING,
    WHOLE_READING,
    WholeReadPage,
    WholeStorePage,
    opposite,
    whole_storing_method,
)

__all__ = ["WHOLE_PROCEDURES"]

TWO_ZEROS = ("sign and magnitude", "ones' complement")  # codes whose zeros are each other's opposites


def _arithmetic(operation: str) -> Procedure:
    def method(course: Course, name: str) -> Method:
        unsigned = course.number_format.field.kind == "unsigned"
        taken = "take away" if unsigned and operation == "subtract" else operation
        return whole_method(taken, course.rounding)

    return Procedure(method, lambda course: (), _start, _written)


def _start(question: Question) -> Page:
    first, second = (question.format.field.read(pattern) for pattern in question.patterns)
    return Page(first, 0, second, 0)


def _written(page: Page, question: Question) -> str:
    if page.outcome == OVERFLOW and question.course.overflow == "largest":
        field = question.format.field
        return str(field.write(field.lowest if page.total < 0 else field.highest))
    return written_whole(page, question.format)


def _read(page: WholeReadPage, question: Question) -> str:
    return write_value(page.value, point=question.course.point)


def _storing(operation: str) -> Procedure:
    return Procedure(
        lambda course, name: whole_storing_method(operation),
        lambda course: (),
        lambda question: WholeStorePage(question.value),
        lambda page, question: stored_with_errors(question, page.pattern, OUTCOMES[OVERFLOW]),
        lambda question: question.course,
    )


def _negated(page: Page, question: Question) -> str:
    """Return the row that was negated, or the word; the end of the range where the course writes that."""
    fmt = question.format
    if fmt.field.kind in TWO_ZEROS:
        return opposite(question.patterns[0], fmt)
    if fmt.field.holds(page.second):
        return str(fmt.field.write(page.second))
    if question.course.overflow == "largest":
        return str(fmt.field.write(fmt.field.highest if page.second > 0 else fmt.field.lowest))
    return OUTCOMES[TOO_LONG if page.outcome == TOO_LONG else OVERFLOW]


WHOLE_PROCEDURES: dict[str, Procedure] = {
    "decode": Procedure(
        lambda course, name: WHOLE_READING,
        lambda course: (),
        lambda question: WholeReadPage(question.patterns[0]),
        _read,
    ),
    "encode": _storing("encode"),
    "error": _storing("error"),
    "negate": Procedure(
        lambda course, name: WHOLE_NEGATING,
        lambda course: (),
        lambda question: Page(0, 0, question.format.field.read(question.patterns[0]), 0),
        _negated,
    ),
    **{operation: _arithmetic(operation) for operation in ("add", "subtract", "multiply", "divide")},
}
