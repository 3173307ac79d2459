"""Adding and subtracting two's complement integers: the rules of floating point that need no exponent."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from chalkpoint.numbers.bits import signed, to_bits
from chalkpoint.numbers.carriers import where
from chalkpoint.working import floating
from chalkpoint.working.methods import ADD, NEGATE, READ, Line, Method
from chalkpoint.working.page import OUTCOMES, OVERFLOW, TOO_LONG, Page

__all__ = ["Width", "integer_answer", "integer_method", "integer_page", "overflow_as_word"]


class Width(NamedTuple):
    """An integer format as the rules see it: a mantissa with no exponent."""

    mantissa_bits: int


def overflow_as_word(page: Page, fmt: Width) -> Page:
    """Where the sum does not fit, the answer is the word overflow."""
    return page._replace(outcome=where(page.overflowed, OVERFLOW, page.outcome))


@cache
def integer_method(operation: str) -> Method:
    """Return how integers are added or subtracted: negate, add, judge overflow on one extra sign place.

    >>> page = integer_method("add").finish(integer_page("01011001", "00110000"), Width(8))
    >>> integer_answer(page, 8)
    'overflow'
    """
    lines = (READ, NEGATE, ADD, Line("range", ("repair",), optional=True))
    return Method(
        "",
        operation,
        tuple(line for line in lines if line is not NEGATE or operation == "subtract"),
        {
            "negate": floating.negate,
            "add": floating.add,
            "carry": floating.judge_overflow,
            "repair": overflow_as_word,
        },
    )


def integer_page(first: str, second: str) -> Page:
    """Return the page with two integers on it, written in bits."""
    return Page(signed(first), 0, signed(second), 0)


def integer_answer(page: Page, bits: int) -> str:
    """Return what stands in the answer's place: bits or a word."""
    if page.outcome == OVERFLOW:
        return OUTCOMES[OVERFLOW]
    return to_bits(page.total, bits + 1 if page.outcome == TOO_LONG else bits)
