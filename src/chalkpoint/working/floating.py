"""The rules of floating-point addition and subtraction, each written once.

A rule takes the page and the format and returns the next page. The steps are those of hand
working (common practice): normalise the operands, match the exponents, negate, add, repair a
mantissa overflow, normalise, judge the range.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Protocol, TypeAlias

from chalkpoint.numbers.carriers import (
    Number,
    Truth,
    fits,
    larger,
    opposite,
    sign_copies,
    smaller,
    toward_zero,
    where,
)
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working.page import IN_RANGE, OVERFLOW, TOO_LONG, UNDERFLOW, ZERO, Page

__all__ = [
    "Rule",
    "Width",
    "add",
    "align",
    "align_size",
    "carry_out",
    "compare",
    "cut_size_to_width",
    "cut_to_nearest",
    "cut_to_nearest_away",
    "cut_to_width",
    "judge_overflow",
    "judge_range",
    "judge_range_kept",
    "judge_range_kept_size",
    "judge_range_to_zero",
    "keep_all_places",
    "keep_one_place",
    "kept_at_lowest",
    "negate",
    "normalise",
    "normalise_operands",
    "normalise_to_lowest",
    "repair",
    "repair_size",
    "saturating",
    "spare_place",
]


class Width(Protocol):
    """A format as the rules of adding see it: whole numbers are mantissas without an exponent."""

    @property
    def mantissa_bits(self) -> int:
        """Bits of the mantissa, sign place and all."""


Rule: TypeAlias = Callable[[Page, FloatFormat], Page]


def normalise_operands(page: Page, fmt: FloatFormat) -> Page:
    """Shift each operand left by its repeated sign bits, and take that from its exponent.

    Zero has no normal form and is left alone.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> normalise_operands(Page(0b00011010, 3, 0, 5), parse_format("8+4"))[:4]
    (104, 1, 0, 5)
    """
    first_copies = _spare_copies(page.first, fmt.mantissa_bits)
    second_copies = _spare_copies(page.second, fmt.mantissa_bits)
    return page._replace(
        first=page.first << first_copies,
        first_exponent=page.first_exponent - first_copies,
        second=page.second << second_copies,
        second_exponent=page.second_exponent - second_copies,
    )


def _spare_copies(mantissa: Number, bits: Number) -> Number:
    return where(mantissa == 0, 0, sign_copies(mantissa, bits))


def compare(page: Page, fmt: FloatFormat) -> Page:
    """Let a zero take the other operand's exponent: its own means nothing and must cost no bits.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> compare(Page(0, -8, 40, 2), parse_format("8+4"))[:4]
    (0, 2, 40, 2)
    """
    return page._replace(
        first_exponent=where(page.first == 0, page.second_exponent, page.first_exponent),
        second_exponent=where(page.second == 0, page.first_exponent, page.second_exponent),
        alone=(page.first == 0) | (page.second == 0),
    )


def keep_one_place(page: Page, fmt: FloatFormat) -> Page:
    """Keep one guard bit: one place more than the mantissa has, to the end of the working.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> keep_one_place(Page(104, 3, 91, 0), parse_format("8+4")).extra
    1
    """
    return page._replace(extra=1)


def keep_all_places(page: Page, fmt: FloatFormat) -> Page:
    """Keep every place the shift moves past the mantissa, and one spare so that a repair costs none.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> keep_all_places(Page(104, 3, 91, 0), parse_format("8+4")).extra
    4
    """
    apart = page.first_exponent - page.second_exponent
    return page._replace(extra=larger(apart, -apart) + 1)


def align(page: Page, fmt: FloatFormat) -> Page:
    """Shift the mantissa with the smaller exponent right by the difference; give it the larger exponent.

    The sign bit is copied into the new places; what passes the last place kept is cut.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> align(Page(104, 3, -91, 0), parse_format("8+4"))[:4]
    (104, 3, -12, 3)
    """
    apart = page.first_exponent - page.second_exponent
    return _aligned(
        page, (page.first << page.extra) >> larger(-apart, 0), (page.second << page.extra) >> larger(apart, 0)
    )


def align_size(page: Page, fmt: FloatFormat) -> Page:
    """Align as `align` does, but cut the size of a negative number, toward zero.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> align_size(Page(104, 3, -91, 0), parse_format("8+4"))[:4]
    (104, 3, -11, 3)
    """
    apart = page.first_exponent - page.second_exponent
    return _aligned(
        page, toward_zero(page.first, larger(-apart, 0)), toward_zero(page.second, larger(apart, 0))
    )


def _aligned(page: Page, first: Number, second: Number) -> Page:
    common = larger(page.first_exponent, page.second_exponent)
    return page._replace(first=first, first_exponent=common, second=second, second_exponent=common)


def spare_place(page: Page, fmt: FloatFormat) -> Page:
    """Shift both mantissas right once more, so that the sum always fits; raise the exponent by 1.

    Beside a zero nothing can overflow, and the other operand must lose no bit: nothing is shifted.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> spare_place(Page(104, 3, 11, 3), parse_format("8+4"))[:4]
    (52, 4, 5, 4)
    """
    places = where(page.alone, 0, 1)
    raised = page.first_exponent + places
    return page._replace(
        first=page.first >> places,
        first_exponent=raised,
        second=page.second >> places,
        second_exponent=raised,
    )


def negate(page: Page, fmt: Width) -> Page:
    """Negate the second mantissa: invert every bit, add one. The exponent is left alone.

    One extra sign place holds the opposite of -1.0, which the mantissa itself cannot.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> negate(Page(0, 0, -128, 0), parse_format("8+4")).second
    128
    """
    return page._replace(second=-page.second)


def add(page: Page, fmt: Width) -> Page:
    """Add the mantissas column by column, with one extra sign place; the exponent is the common one.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> add(Page(104, 3, -11, 3), parse_format("8+4"))[4:6]
    (93, 3)
    """
    return page._replace(total=page.first + page.second, exponent=page.first_exponent)


def carry_out(page: Page, fmt: Width) -> Truth:
    """Tell whether adding the two rows carries out of the sign column.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> carry_out(Page(104, 3, -11, 3), parse_format("8+4"))
    True
    """
    bits = fmt.mantissa_bits + page.extra
    columns = (1 << bits) - 1
    return ((page.first & columns) + (page.second & columns)) >> bits == 1


def judge_overflow(page: Page, fmt: Width) -> Page:
    """Compare the extra sign place with the sign: alike, a carry is dropped; different, the sum overflowed.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> judge_overflow(Page(0, 0, 0, 0, total=150), parse_format("8+4")).overflowed
    True
    """
    return page._replace(overflowed=opposite(fits(page.total, fmt.mantissa_bits + page.extra)))


def repair(page: Page, fmt: FloatFormat) -> Page:
    """Where the sum overflowed, shift it right one place behind its true sign; raise the exponent by 1.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> repair(Page(0, 0, 0, 0, total=-151, exponent=3, overflowed=True), parse_format("8+4"))[4:6]
    (-76, 4)
    """
    return page._replace(
        total=where(page.overflowed, page.total >> 1, page.total),
        exponent=where(page.overflowed, page.exponent + 1, page.exponent),
    )


def repair_size(page: Page, fmt: FloatFormat) -> Page:
    """Repair as `repair` does, but cut the size, toward zero.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> repair_size(Page(0, 0, 0, 0, total=-151, exponent=3, overflowed=True), parse_format("8+4"))[4:6]
    (-75, 4)
    """
    return page._replace(
        total=where(page.overflowed, toward_zero(page.total, 1), page.total),
        exponent=where(page.overflowed, page.exponent + 1, page.exponent),
    )


def normalise(page: Page, fmt: FloatFormat) -> Page:
    """Shift left by the number of repeated sign bits; take that from the exponent.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> normalise(Page(0, 0, 0, 0, total=0b00001101, exponent=4), parse_format("8+4"))[4:6]
    (104, 1)
    """
    copies = _spare_copies(page.total, fmt.mantissa_bits + page.extra)
    return page._replace(total=page.total << copies, exponent=page.exponent - copies)


def normalise_to_lowest(page: Page, fmt: FloatFormat) -> Page:
    """Normalise as `normalise` does, but no further than the lowest exponent, which a course may keep to.

    Below it the digits go back to the right; what passes the mantissa is kept, to be cut once.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> normalise_to_lowest(Page(0, 0, 0, 0, total=13, exponent=-7), parse_format("8+4"))[4:6]
    (26, -8)
    """
    copies = _spare_copies(page.total, fmt.mantissa_bits + page.extra)
    room = page.exponent + page.datum - fmt.lowest_exponent
    places = where(page.total == 0, 0, smaller(copies, room))
    back = larger(-places, 0)
    return page._replace(
        total=page.total << larger(places, 0), extra=page.extra + back, exponent=page.exponent - places
    )


def kept_at_lowest(cut: Rule) -> Rule:
    """Return *cut* for a course that leaves an underflow un-normalised: a result at the lowest exponent stays there.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> kept_at_lowest(cut_to_width)(Page(0, 0, 0, 0, total=26, exponent=-9), parse_format("8+4"))[4:6]
    (13, -8)
    """

    @wraps(cut)
    def cut_and_keep(page: Page, fmt: FloatFormat) -> Page:
        after = cut(page, fmt)
        short = larger(fmt.lowest_exponent - after.datum - after.exponent, 0)
        return after._replace(total=after.total >> short, exponent=after.exponent + short)

    return cut_and_keep


def cut_to_width(page: Page, fmt: FloatFormat) -> Page:
    """Cut the places past the mantissa, toward minus infinity.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> cut_to_width(Page(0, 0, 0, 0, total=0b0101110011, extra=2), parse_format("8+4")).total
    92
    """
    return page._replace(total=page.total >> page.extra, extra=0)


def cut_size_to_width(page: Page, fmt: FloatFormat) -> Page:
    """Cut the places past the mantissa from the size, toward zero.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> cut_size_to_width(Page(0, 0, 0, 0, total=-371, extra=2), parse_format("8+4")).total
    -92
    """
    return _written_back(page, fmt, toward_zero(page.total, page.extra))


def cut_to_nearest(page: Page, fmt: FloatFormat) -> Page:
    """Round the places past the mantissa to the nearest, ties to the pattern that ends in 0.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> [cut_to_nearest(Page(0, 0, 0, 0, total=n, extra=2), parse_format("8+4")).total for n in (370, 371)]
    [92, 93]
    """
    floor, rest, half = _split(page)
    return _written_back(page, fmt, floor + where((rest > half) | ((rest == half) & (floor & 1 == 1)), 1, 0))


def cut_to_nearest_away(page: Page, fmt: FloatFormat) -> Page:
    """Round the places past the mantissa to the nearest, ties away from zero.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> cut_to_nearest_away(Page(0, 0, 0, 0, total=370, extra=2), parse_format("8+4")).total
    93
    """
    floor, rest, half = _split(page)
    tie = (rest == half) & (half > 0)
    return _written_back(page, fmt, floor + where((rest > half) | (tie & opposite(floor < 0)), 1, 0))


def _split(page: Page) -> tuple[Number, Number, Number]:
    """Return the mantissa without its extra places, what they hold, and half a unit in the last place."""
    floor = page.total >> page.extra
    return floor, page.total - (floor << page.extra), (1 << page.extra) >> 1


def _written_back(page: Page, fmt: FloatFormat, rounded: Number) -> Page:
    """Return the page with a rounded mantissa, which may have reached 1.0 or -1/2: those get their normal form."""
    long = page.outcome == TOO_LONG  # a carry that a faulty method keeps stays where it is
    over = opposite(fits(rounded, fmt.mantissa_bits) | long)
    total = where(over, rounded >> 1, rounded)
    copies = where(long, 0, _spare_copies(total, fmt.mantissa_bits))
    return page._replace(total=total << copies, exponent=page.exponent + where(over, 1, 0) - copies, extra=0)


def judge_range(page: Page, fmt: FloatFormat) -> Page:
    """Say whether the exponent can be written; past either end the answer is a word, never wrapped bits.

    A word already on the page (a faulty method may write one early) stands.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> judge_range(Page(0, 0, 0, 0, total=64, exponent=8), parse_format("8+4")).outcome == OVERFLOW
    True
    """
    exponent = page.exponent + page.datum
    outcome = where(
        exponent > fmt.highest_exponent, OVERFLOW, where(exponent < fmt.lowest_exponent, UNDERFLOW, IN_RANGE)
    )
    outcome = where(page.total == 0, ZERO, outcome)
    return page._replace(outcome=where(page.outcome == IN_RANGE, outcome, page.outcome))


def judge_range_to_zero(page: Page, fmt: FloatFormat) -> Page:
    """Judge the range as `judge_range` does, but write zero for an underflow (a course may say so).

    >>> from chalkpoint.numbers.formats import parse_format
    >>> judge_range_to_zero(Page(0, 0, 0, 0, total=64, exponent=-9), parse_format("8+4")).total
    0
    """
    judged = judge_range(page, fmt)
    under = judged.outcome == UNDERFLOW
    return judged._replace(total=where(under, 0, judged.total), outcome=where(under, ZERO, judged.outcome))


def judge_range_kept(page: Page, fmt: FloatFormat) -> Page:
    """Judge the range as `judge_range` does, but leave an underflow un-normalised (a course may say so).

    The mantissa goes back to the right until the lowest exponent holds it; what falls off is cut.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> judge_range_kept(Page(0, 0, 0, 0, total=-71, exponent=-9), parse_format("8+4"))[4:6]
    (-36, -8)
    """
    return _range_kept(page, fmt, lambda total, places: total >> places)


def judge_range_kept_size(page: Page, fmt: FloatFormat) -> Page:
    """Judge the range as `judge_range_kept` does, but cut the size of what falls off, toward zero.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> judge_range_kept_size(Page(0, 0, 0, 0, total=-71, exponent=-9), parse_format("8+4"))[4:6]
    (-35, -8)
    """
    return _range_kept(page, fmt, toward_zero)


def _range_kept(page: Page, fmt: FloatFormat, shift: Callable[[Number, Number], Number]) -> Page:
    judged = judge_range(page, fmt)
    under = judged.outcome == UNDERFLOW
    short = where(under, fmt.lowest_exponent - judged.datum - judged.exponent, 0)
    total = shift(judged.total, short)
    return judged._replace(
        total=total,
        exponent=judged.exponent + short,
        outcome=where(under, where(total == 0, ZERO, IN_RANGE), judged.outcome),
    )


def saturating(judge: Rule) -> Rule:
    """Return *judge* with the end of the range for an overflow, as some machines write it.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> saturating(judge_range)(Page(0, 0, 0, 0, total=64, exponent=9), parse_format("8+4"))[4:6]
    (127, 7)
    """

    def judge_range_at_end(page: Page, fmt: FloatFormat) -> Page:
        """Judge the range; past the highest exponent the answer is the largest or the most negative number.

        Where an operand is past the range already there is no sum to write the end for.
        """
        judged = judge(page, fmt)
        over = (judged.outcome == OVERFLOW) & (page.outcome == IN_RANGE)
        top = 1 << (fmt.mantissa_bits - 1)
        return judged._replace(
            total=where(over, where(judged.total < 0, -top, top - 1), judged.total),
            exponent=where(over, fmt.highest_exponent - judged.datum, judged.exponent),
            outcome=where(over, IN_RANGE, judged.outcome),
        )

    return judge_range_at_end
