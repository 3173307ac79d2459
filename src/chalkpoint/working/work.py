"""Work a question: the one way from an operation and its operands to a Working."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import TypeAlias

from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.numbers.signed import SignMagnitudeFormat
from chalkpoint.working.adding import add_or_subtract
from chalkpoint.working.changing import change
from chalkpoint.working.choosing import choose_format
from chalkpoint.working.converting import converter
from chalkpoint.working.course import Course
from chalkpoint.working.explaining import explainer
from chalkpoint.working.extremes import find_range
from chalkpoint.working.multiplying import multiply_or_divide
from chalkpoint.working.question import OPERATIONS, Question, ask
from chalkpoint.working.reading import decode
from chalkpoint.working.size_arithmetic import work_sizes
from chalkpoint.working.size_values import (
    change_size,
    decode_size,
    encode_size,
    find_size_range,
)
from chalkpoint.working.storing import encode
from chalkpoint.working.summing import summer
from chalkpoint.working.whole import work_whole
from chalkpoint.working.whole_values import change_whole, decode_whole, encode_whole, find_whole_range
from chalkpoint.working.working import Working

__all__ = ["work", "work_question"]

Worker: TypeAlias = Callable[[Question], Working]

#: What works each operation, by family of formats.
FAMILIES: dict[type, dict[str, Worker]] = {
    FloatFormat: {
        "decode": decode,
        "encode": encode,
        "normalise": change,
        "negate": change,
        "add": add_or_subtract,
        "subtract": add_or_subtract,
        "multiply": multiply_or_divide,
        "divide": multiply_or_divide,
        "range": find_range,
        "error": encode,
    },
    SignMagnitudeFormat: {
        "decode": decode_size,
        "encode": encode_size,
        "normalise": change_size,
        "negate": change_size,
        "add": work_sizes,
        "subtract": work_sizes,
        "multiply": work_sizes,
        "divide": work_sizes,
        "range": find_size_range,
        "error": encode_size,
    },
    FixedFormat: {
        "decode": decode_whole,
        "encode": encode_whole,
        "negate": change_whole,
        "add": work_whole,
        "subtract": work_whole,
        "multiply": work_whole,
        "divide": work_whole,
        "range": find_whole_range,
        "error": encode_whole,
    },
}


def work_question(question: Question) -> Working:
    """Return *question* worked by its course's method."""
    return WORKERS[question.operation.name](question)


def _worker(name: str) -> Worker:
    def work_in_its_family(question: Question) -> Working:
        """Work *question* as its format's family does."""
        workers = FAMILIES[type(question.format)]
        if name not in workers:
            raise EntryError(
                f"{name!r} is not worked in {question.format}; there it is one of: {', '.join(workers)}"
            )
        return workers[name](question)

    return work_in_its_family


#: What works each operation, in every family that has it.
WORKERS: dict[str, Worker] = {name: _worker(name) for name in OPERATIONS} | {
    "convert": converter(work_question),
    "sum": summer(work_question),
    "choose-format": choose_format,
    "explain": explainer(work_question),
}


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
