"""Rules of adding, subtracting, multiplying and dividing whole and fixed-point numbers.

Numbers here are whole, in units of the last place. In two's complement a carry out of the sign place is
dropped, and overflow is judged by the signs; unsigned, the carry out itself is the overflow.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from chalkpoint.numbers.carriers import Number, Truth, opposite, toward_zero, where
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.working import floating
from chalkpoint.working.methods import NEGATE, READ, Line, Method
from chalkpoint.working.page import OVERFLOW, Page
from chalkpoint.working.steps import Loss
from chalkpoint.working.working import Working

__all__ = ["CODES_ADDED", "overflow_as_word", "whole_losses", "whole_method"]

CODES_ADDED = ("two's complement", "unsigned")


WholeRule = Callable[[Page, FixedFormat], Page]


def take_away(page: Page, fmt: FixedFormat) -> Page:
    """Take away column by column; a borrow past the first column leaves less than nothing."""
    return page._replace(total=page.first - page.second)


def multiply(page: Page, fmt: FixedFormat) -> Page:
    """Multiply the sizes, a row for each 1 of the second; signs alike make it positive, different negative."""
    return page._replace(total=page.first * page.second, extra=fmt.places)


def divide(page: Page, fmt: FixedFormat) -> Page:
    """Divide the sizes; what is left, the remainder, has the dividend's sign."""
    raised = page.first << fmt.places
    size = where(page.first < 0, -raised, raised)
    divisor = where(page.second < 0, -page.second, page.second)
    quotient = size // divisor
    return page._replace(total=where((page.first < 0) != (page.second < 0), -quotient, quotient))


def cut(page: Page, fmt: FixedFormat) -> Page:
    """Cut the places past the last, toward minus infinity."""
    return page._replace(total=page.total >> page.extra, extra=0)


def cut_size(page: Page, fmt: FixedFormat) -> Page:
    """Cut the size, toward zero."""
    return page._replace(total=toward_zero(page.total, page.extra), extra=0)


def round_nearest(page: Page, fmt: FixedFormat) -> Page:
    """Round to the nearest, ties to the number that ends in 0."""
    return _nearest(page, lambda floor: floor & 1 == 1)


def round_nearest_away(page: Page, fmt: FixedFormat) -> Page:
    """Round to the nearest, ties away from zero."""
    return _nearest(page, lambda floor: opposite(floor < 0))


def _nearest(page: Page, tie_goes_up: Callable[[Number], Truth]) -> Page:
    floor, half = page.total >> page.extra, (1 << page.extra) >> 1
    rest = page.total - (floor << page.extra)
    up = (rest > half) | ((rest == half) & (half > 0) & tie_goes_up(floor))
    return page._replace(total=floor + where(up, 1, 0), extra=0)


def judge(page: Page, fmt: FixedFormat) -> Page:
    """Tell whether the answer fits: by the sign place in two's complement, by the carry or borrow unsigned."""
    if fmt.field.kind == "unsigned":
        return page._replace(overflowed=page.total >> fmt.bits != 0)
    return floating.judge_overflow(page, fmt)


def overflow_as_word(page: Page, fmt: FixedFormat) -> Page:
    """Where the answer does not fit, it is the word overflow."""
    return page._replace(outcome=where(page.overflowed, OVERFLOW, page.outcome))


JUDGING = ("carry", "repair")
JUDGE = Line("judge", JUDGING)
ADD = Line("add", ("add", *JUDGING))
CUT = Line("cut", ("cut",), optional=True)
LINES: dict[str, tuple[Line, ...]] = {
    "add": (READ, ADD),
    "subtract": (READ, NEGATE, ADD),
    "take away": (READ, Line("take_away", ("take away", *JUDGING))),
    "multiply": (READ, Line("product", ("product",)), CUT, JUDGE),
    "divide": (READ, Line("quotient", ("quotient",)), JUDGE),
}
CUTS: dict[str, WholeRule] = {
    "cut": cut,
    "cut size": cut_size,
    "nearest": round_nearest,
    "nearest away": round_nearest_away,
}
RULES: dict[str, WholeRule] = {
    "negate": floating.negate,
    "add": floating.add,
    "take away": take_away,
    "product": multiply,
    "quotient": divide,
    "carry": judge,
    "repair": overflow_as_word,
}


@cache
def whole_method(operation: str, rounding: str = "cut") -> Method:
    """Return the method of *operation*: "take away" is subtraction without signs.

    >>> [line.name for line in whole_method("subtract").lines]
    ['read', 'negate', 'add']
    """
    return Method("", "", LINES[operation], RULES | {"cut": CUTS[rounding]})


def whole_losses(working: Working) -> tuple[Loss, ...]:
    """Return the digits a cut or a division left out; they account for the whole error."""
    error = working.check.error
    for step in working.steps:
        if step.rule in {"cut", "fit", "quotient"} and error and working.check.verdict != "overflow":
            return (Loss(step.number, step.rule, step.rows[-1].lost, error),)
    return ()
