"""Work a question: the one way from an operation and its operands to a Working."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from chalkpoint.working.adding import add_or_subtract
from chalkpoint.working.changing import change
from chalkpoint.working.course import Course
from chalkpoint.working.extremes import find_range
from chalkpoint.working.question import Question, ask
from chalkpoint.working.reading import decode
from chalkpoint.working.storing import encode
from chalkpoint.working.working import Working

__all__ = ["work", "work_question"]

WORKERS: dict[str, Callable[[Question], Working]] = {
    "decode": decode,
    "encode": encode,
    "normalise": change,
    "negate": change,
    "add": add_or_subtract,
    "subtract": add_or_subtract,
    "range": find_range,
    "error": encode,
}


def work_question(question: Question) -> Working:
    """Return *question* worked by its course's method."""
    return WORKERS[question.operation.name](question)


def work(
    operation: str,
    *operands: str | Fraction | int,
    format: str | None = None,
    method: str | None = None,
    course: Course | None = None,
    names: tuple[str, ...] = (),
) -> Working:
    """Return the working of an operation, every step kept.

    operation  decode, encode, normalise, negate, add, subtract, range or error
    operands   patterns in bits ("010111 0011") or exact values ("-5.25", "1 3/8", a Fraction)
    format     ``m+e``, mantissa and exponent bits; the course's by default
    method     for add and subtract; the course's by default
    course     the conventions to work under
    names      what the operands are called in the working, such as ("gauge", "datum")

    >>> w = work("subtract", "010111 0011", "010100 0001", format="6+4")
    >>> w.result.bits, w.result.value, w.check.verdict
    ('010010 0011', Fraction(9, 2), 'exact')
    >>> w.steps[1].rule, w.steps[1].title
    ('align', 'Match the exponents')

    Raises EntryError, whose one sentence says what is wrong and what would be accepted.
    """
    conventions = (course or Course()).with_(format=format, method=method)
    return work_question(ask(operation, *operands, course=conventions, names=names))
