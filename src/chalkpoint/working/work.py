"""Work a question: the one way from an operation and its operands to a Working."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.working.course import Course
from chalkpoint.working.operations.running import work_by, work_question
from chalkpoint.working.question import ask
from chalkpoint.working.working import Working

__all__ = ["work", "work_by", "work_question"]


def work(
    operation: str,
    *operands: str | Fraction | int,
    format: str | None = None,
    method: str | None = None,
    course: Course | None = None,
    names: tuple[str, ...] = (),
) -> Working:
    """Return the working of an operation, every step kept.

    operation  one of OPERATIONS: decode, encode, add, subtract, multiply, divide, convert, sum ...
    operands   patterns in bits ("010111 0011") or hexadecimal ("0x3E20", "#3E20"), or exact values
               ("-5.25", "1 3/8", a Fraction)
    format     a spelling of `numbers.named`, such as 8+4, 1+4+3, binary16 or 8; the course's by default
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
