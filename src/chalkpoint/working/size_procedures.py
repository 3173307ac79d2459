"""How each operation is run on numbers of a sign, an exponent and a size: methods, first pages, answers."""

from __future__ import annotations

from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.signed import Fields
from chalkpoint.working.check import check
from chalkpoint.working.course import Course
from chalkpoint.working.methods import Method
from chalkpoint.working.page import OUTCOMES, OVERFLOW, UNDERFLOW
from chalkpoint.working.procedure import Procedure
from chalkpoint.working.question import Question
from chalkpoint.working.size_arithmetic import size_method, start_sizes
from chalkpoint.working.size_values import (
    SIZE_READING,
    SizeReadPage,
    SizeStorePage,
    size_storing_method,
)
from chalkpoint.working.sizes import SizePage

__all__ = ["SIZE_PROCEDURES", "stored_with_errors"]


def _arithmetic(operation: str) -> Procedure:
    def method(course: Course, name: str) -> Method:
        return size_method(operation, course)

    return Procedure(method, lambda course: (), start_sizes, _packed)


def _packed(page: SizePage, question: Question) -> str:
    if page.outcome in {OVERFLOW, UNDERFLOW}:
        return OUTCOMES[page.outcome]
    return str(question.format.write(Fields(page.sign, page.stored, page.fraction)))


def _read(page: SizeReadPage, question: Question) -> str:
    if page.special:
        return str(question.format.kind(Fields(page.sign, page.stored, page.fraction)))
    return write_value(page.value, point=question.course.point)


def _storing(operation: str) -> Procedure:
    return Procedure(
        lambda course, name: size_storing_method(operation),
        lambda course: (),
        lambda question: SizeStorePage(question.value),
        _stored,
        lambda question: question.course,
    )


def _stored(page: SizeStorePage, question: Question) -> str:
    return stored_with_errors(question, page.pattern, page.outcome)


def stored_with_errors(question: Question, pattern: object, outcome: str) -> str:
    """Return the pattern or word; for `error`, the two errors after it, as the check has them."""
    bits = outcome if pattern is None else str(question.format.write(pattern))
    if question.operation.name != "error" or pattern is None:
        return bits
    checked = check(question.value, outcome, pattern, question.course)
    errors = (checked.error, checked.relative_error)
    return "; ".join([bits, *(write_value(abs(error)) for error in errors if error is not None)])


SIZE_PROCEDURES: dict[str, Procedure] = {
    "decode": Procedure(
        lambda course, name: SIZE_READING,
        lambda course: (),
        lambda question: SizeReadPage(*question.patterns[0]),
        _read,
    ),
    "encode": _storing("encode"),
    "error": _storing("error"),
    **{operation: _arithmetic(operation) for operation in ("add", "subtract", "multiply", "divide")},
}
