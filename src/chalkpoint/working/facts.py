"""The facts of each step of adding, subtracting, multiplying and dividing, computed from its pages alone.

Sentences, rows and spoken words state these and nothing else; "first" and "second" are the operands, whatever
they are called. Worths and mantissas are exact values; bits are strings, highest first.
"""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.carriers import fits
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working.losing import row_loss
from chalkpoint.working.page import Page
from chalkpoint.working.steps import Step

__all__ = [
    "Addition",
    "Alignment",
    "Cut",
    "Division",
    "Ending",
    "Exponents",
    "Negation",
    "Normalising",
    "Reading",
    "Repair",
    "Spare",
    "addition",
    "alignment",
    "cut",
    "division",
    "ending",
    "exponents",
    "negation",
    "normalising",
    "reading",
    "repair",
    "spare",
]

OPERANDS = ("first", "second")


class Reading(NamedTuple):
    """What the operands are.

    zeros   those whose mantissa is all 0s
    loose   those whose first two bits are alike though they are not zero
    """

    first_exponent: int
    second_exponent: int
    zeros: tuple[str, ...]
    loose: tuple[str, ...]


def reading(page: Page, bits: int) -> Reading:
    """Return the facts of two operands with mantissas of *bits* bits.

    >>> reading(Page(0, -8, 16, 2), 8)
    Reading(first_exponent=-8, second_exponent=2, zeros=('first',), loose=('second',))
    """
    mantissas = dict(zip(OPERANDS, (page.first, page.second), strict=True))
    return Reading(
        page.first_exponent,
        page.second_exponent,
        tuple(which for which, mantissa in mantissas.items() if mantissa == 0),
        tuple(which for which, mantissa in mantissas.items() if mantissa and fits(mantissa, bits - 1)),
    )


class Alignment(NamedTuple):
    """How the exponents were matched.

    zero    the operand that is zero, or ""
    low     the smaller exponent
    high    the larger one, which both have now
    apart   their difference
    moved   the operand with the smaller one, or "" where nothing moves
    sign    its sign, 0 or 1: what fills the places that a shift leaves empty
    copies  how many such places there are
    beyond  whether its sign stood in an extra sign place, since the mantissa could not hold it
    guard   places kept past the last
    lost    the digits that fell off
    worth   what they were worth at the new exponent; 0 where only 0s fell off
    left    what is left of the moved mantissa, in units of the last place kept
    """

    zero: str
    low: int
    high: int
    apart: int
    moved: str = ""
    sign: int = 0
    copies: int = 0
    beyond: bool = False
    guard: int = 0
    lost: str = ""
    worth: Fraction = Fraction(0)
    left: int = 0


def alignment(step: Step, fmt: FloatFormat) -> Alignment:
    """Return how *step* matched the exponents.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> from chalkpoint.working.work import work
    >>> step = work("subtract", "01101000 0011", "01011011 0000").steps[1]
    >>> alignment(step, parse_format("8+4"))[8:]
    (0, '011', Fraction(3, 128), 11)
    """
    before, after = step.before, step.after
    zero = "first" if before.first == 0 else ("second" if before.second == 0 else "")
    difference = before.first_exponent - before.second_exponent
    low, high = sorted((before.first_exponent, before.second_exponent))
    if zero or not difference:
        return Alignment(zero, low, high, high - low, guard=after.extra)
    moved = "second" if difference > 0 else "first"
    mantissa = getattr(before, moved)
    beyond = not fits(mantissa, fmt.mantissa_bits)
    copies = min(high - low, fmt.mantissa_bits + after.extra) - beyond
    lost, worth = row_loss(step, moved, fmt.places)
    sign, left = int(mantissa < 0), getattr(after, moved)
    return Alignment("", low, high, high - low, moved, sign, copies, beyond, after.extra, lost, worth, left)


class Spare(NamedTuple):
    """What both rows lost when each moved one place more."""

    first_lost: str
    first_worth: Fraction
    second_lost: str
    second_worth: Fraction


def spare(step: Step, fmt: FloatFormat) -> Spare:
    """Return what the spare place cost.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> from chalkpoint.working.work import work
    >>> moved = work("add", "01101000 0011", "01011000 0000", method="spare-place-first").steps[2]
    >>> spare(moved, parse_format("8+4")).second_lost
    '1'
    """
    return Spare(*row_loss(step, "first", fmt.places), *row_loss(step, "second", fmt.places))


class Negation(NamedTuple):
    """A mantissa and its opposite.

    mantissa  its value
    inverted  its digits, every one of them turned
    width     how many digits it has
    fits      whether the opposite fits as many digits; if not, an extra sign place is written
    """

    mantissa: Fraction
    inverted: str
    width: int
    fits: bool


def negation(number: int, width: int, places: int) -> Negation:
    """Return the facts of negating *number*, of *width* digits with *places* after the point.

    >>> negation(-128, 8, 7)
    Negation(mantissa=Fraction(-1, 1), inverted='01111111', width=8, fits=False)
    """
    return Negation(Fraction(number, 1 << places), to_bits(~number, width), width, bool(fits(-number, width)))


class Addition(NamedTuple):
    """Two rows added column by column.

    columns      how many columns, an extra sign place that takes part among them
    carried      "1" for each column that was carried into, "0" elsewhere
    carry_out    whether a carry left the first column
    extra_place  whether a row needs the extra sign place, so that it takes part
    overflowed   whether the sum does not fit the rows' own width
    signs        the sign bits of both rows and of the sum in that width, such as "011"
    zeros        how many rows are 0
    """

    columns: int
    carried: str
    carry_out: bool
    extra_place: bool
    overflowed: bool
    signs: str
    zeros: int


def addition(first: int, second: int, width: int, *, signed: bool = True) -> Addition:
    """Return the facts of adding two rows of *width* digits; where *signed*, the first digit is a sign.

    >>> addition(-128, -128, 8)
    Addition(columns=8, carried='00000000', carry_out=True, extra_place=False, overflowed=True, signs='110', zeros=0)
    """
    total = first + second
    extra = signed and not (fits(first, width) and fits(second, width))
    columns = width + extra
    mask = (1 << columns) - 1
    fitting = fits(total, width) if signed else total >> width == 0
    return Addition(
        columns,
        to_bits(first ^ second ^ total, columns),  # a carry into a column is what makes its sum differ
        bool((first & mask) + (second & mask) >> columns),
        extra,
        not fitting,
        f"{int(first < 0)}{int(second < 0)}{total >> (width - 1) & 1}",
        (first == 0) + (second == 0),
    )


class Repair(NamedTuple):
    """A sum that did not fit, brought back by *places*.

    sign   its true sign, which was in the extra sign place
    lost   the digit that fell off
    worth  what it was worth at the new exponent
    """

    sign: int
    places: int
    lost: str
    worth: Fraction


def repair(step: Step, fmt: FloatFormat) -> Repair:
    """Return how *step* repaired an overflow of the mantissa.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> from chalkpoint.working.work import work
    >>> step = work("add", "01101000 0011", "01101001 0011").steps[3]
    >>> repair(step, parse_format("8+4"))
    Repair(sign=0, places=1, lost='1', worth=Fraction(1, 16))
    """
    before, after = step.before, step.after
    lost, worth = row_loss(step, "total", fmt.places)
    return Repair(int(before.total < 0), after.exponent - before.exponent, lost, worth)


class Normalising(NamedTuple):
    """Digits moved left, or where *places* is negative right; *alike* leading digits were the same before."""

    places: int
    alike: int
    exponent: int


def normalising(step: Step) -> Normalising:
    """Return how far *step* moved the digits of the answer.

    >>> from chalkpoint.working.work import work
    >>> step = next(step for step in work("add", "6.5", "-6.25").steps if step.rule == "normalise")
    >>> normalising(step)
    Normalising(places=4, alike=5, exponent=-1)
    """
    places = step.before.exponent - step.after.exponent
    return Normalising(places, places + 1, step.after.exponent)


class Cut(NamedTuple):
    """An answer brought to *width* digits.

    lost   the digits past them
    worth  exact answer so far less the answer kept: negative where it was rounded up, 0 where nothing was lost
    """

    width: int
    lost: str
    worth: Fraction


def cut(step: Step, fmt: FloatFormat, *, spare: bool) -> Cut:
    """Return what *step* cut; *spare* where the last place kept is a spare one (`losing.past_mantissa`).

    >>> from chalkpoint.numbers.formats import parse_format
    >>> from chalkpoint.working.work import work
    >>> worked = work("subtract", "01101000 0011", "01011011 0000", method="one-guard-bit")
    >>> step = next(step for step in worked.steps if step.rule == "cut")
    >>> cut(step, parse_format("8+4"), spare=False)
    Cut(width=8, lost='0', worth=Fraction(0, 1))
    """
    return Cut(fmt.mantissa_bits, *row_loss(step, "total", fmt.places, spare=spare))


class Ending(NamedTuple):
    """How the range was judged.

    exponent   the exponent the answer would have
    highest    the highest that the format has
    lowest     the lowest
    zero       whether every digit of the answer is 0
    negative   whether the answer is below 0
    lost       the digits that fell off where it was brought back to the lowest exponent
    worth      what they were worth
    """

    exponent: int
    highest: int
    lowest: int
    zero: bool
    negative: bool
    lost: str
    worth: Fraction


def ending(step: Step, fmt: FloatFormat) -> Ending:
    """Return how *step* judged the range."""
    before, after = step.before, step.after
    lost, worth = row_loss(step, "total", fmt.places)
    return Ending(
        before.exponent,
        fmt.highest_exponent,
        fmt.lowest_exponent,
        before.total == 0,
        after.total < 0,
        lost,
        worth,
    )


class Exponents(NamedTuple):
    """The exponents of a product or a quotient; *zero* says which operand is 0, so that they mean nothing."""

    first: int
    second: int
    exponent: int
    zero: str


def exponents(page: Page) -> Exponents:
    """Return the exponents on *page*.

    >>> exponents(Page(104, 3, 0, -8, exponent=-5))
    Exponents(first=3, second=-8, exponent=-5, zero='second')
    """
    zero = "first" if page.first == 0 else ("second" if page.second == 0 else "")
    return Exponents(page.first_exponent, page.second_exponent, page.exponent, zero)


class Division(NamedTuple):
    """Sizes divided by hand.

    dividend   the dividend's size, in units of the last place of the quotient times the divisor's
    divisor    the divisor's size
    quotient   the whole number of times it goes
    left       the remainder
    takes      (place, what is left after the divisor was taken away there) for each 1 of the quotient
    """

    dividend: int
    divisor: int
    quotient: int
    left: int
    takes: tuple[tuple[int, int], ...]


def division(dividend: int, divisor: int) -> Division:
    """Return the facts of a long division of sizes.

    >>> division(13, 3)
    Division(dividend=13, divisor=3, quotient=4, left=1, takes=((2, 1),))
    """
    quotient, left = divmod(dividend, divisor)
    rest, takes = dividend, []
    for place in range(quotient.bit_length() - 1, -1, -1):
        if quotient >> place & 1:
            rest -= divisor << place
            takes.append((place, rest))
    return Division(dividend, divisor, quotient, left, tuple(takes))
