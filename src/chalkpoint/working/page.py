"""The page while two floating-point numbers are added or subtracted.

A rule is handed a page and hands back the next one. The numbers on it may be integers, lanes of them, or
every integer at once (``numbers/carriers.py``), so nothing here looks at their values.
"""

from __future__ import annotations

from typing import Any, Final, NamedTuple, TypeAlias

from chalkpoint.numbers.carriers import Number, Truth

__all__ = [
    "INFINITY",
    "IN_RANGE",
    "NOT_A_NUMBER",
    "OUTCOMES",
    "OVERFLOW",
    "TOO_LONG",
    "UNDERFLOW",
    "ZERO",
    "AnyPage",
    "Page",
    "remainder",
]

IN_RANGE: Final = 0
ZERO: Final = 1
OVERFLOW: Final = 2
UNDERFLOW: Final = 3
TOO_LONG: Final = 4  # faulty methods only: a row with one digit more than the mantissa has
INFINITY: Final = 5
NOT_A_NUMBER: Final = 6
OUTCOMES: Final = ("in range", "zero", "overflow", "underflow", "too long", "infinity", "not a number")


AnyPage: TypeAlias = Any
"""What is on the page of an operation that is not known: only its own rules know what they wrote there."""


class Page(NamedTuple):
    """The two rows above the line, and the row below it.

    first, second      mantissa integers, in units of the last place kept
    first_exponent     exponents as true integers, never wrapped to their field
    second_exponent
    total, exponent    the row below the line
    extra              places kept beyond the format's mantissa (0 when bits fall off at once)
    alone              whether an operand is zero, so that the other stands alone
    overflowed         whether the sum did not fit the mantissa
    outcome            index into OUTCOMES
    datum              what every exponent here is counted from: 0 on paper; the finder counts from
                       the larger exponent and gives its true value here, for the range to be judged
    """

    first: Number
    first_exponent: Number
    second: Number
    second_exponent: Number
    total: Number = 0
    exponent: Number = 0
    extra: Number = 0
    alone: Truth = False
    overflowed: Truth = False
    outcome: Number = IN_RANGE
    datum: Number = 0


def remainder(page: Page, places: int) -> Number:
    """Return what a division of sizes leaves, with the dividend's sign; its quotient has *places* places.

    >>> remainder(Page(-7, 0, 2, 0, total=-3), 0)
    -1
    """
    return (page.first << places) - page.total * page.second
