"""The rules of arithmetic on numbers of a sign, an exponent and a size: IEEE 754's, each written once.

A rule takes the page and the format and returns the next page, on any carrier, as the rules of
`floating` do. Sizes are whole numbers in units of the last place kept; guard, round and sticky places
stand behind the format's own (IEEE 754-2019, 3.4, 4.3, 6 and 7; the three places are common practice).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple, TypeAlias

from chalkpoint.numbers.carriers import Number, Truth, larger, sign_copies, smaller, where
from chalkpoint.numbers.signed import SignMagnitudeFormat

__all__ = [
    "EXTRA_PLACES",
    "SizePage",
    "SizeRule",
    "add_exponents",
    "align",
    "combine",
    "combine_down",
    "divide",
    "flip_sign",
    "join_signs",
    "multiply",
    "normalise_operands",
    "renormalise",
    "special_product",
    "special_quotient",
    "special_sum",
    "subtract_exponents",
    "unpack",
]

EXTRA_PLACES = 3  # guard, round and sticky
NO_SPECIAL, TO_INFINITY, TO_NAN, TO_ZERO = 0, 1, 2, 3


class SizePage(NamedTuple):
    """The page while two numbers of sign, exponent and size are worked.

    *_sign, *_stored, *_fraction  the fields as they are written, each the number its field reads as
    first, second                 the sizes, in units of the last place kept, once unpacked
    *_exponent                    the true exponents
    extra                         places kept past the format's digits
    sign, total, exponent         the answer below the line
    special                       0, or what the operands alone decide: infinity 1, not a number 2, zero 3
    carried                       whether rounding carried into a further digit
    stored, fraction, outcome     the answer's fields once packed, and an index into OUTCOMES
    """

    first_sign: Number
    first_stored: Number
    first_fraction: Number
    second_sign: Number = 0
    second_stored: Number = 0
    second_fraction: Number = 0
    first: Number = 0
    first_exponent: Number = 0
    second: Number = 0
    second_exponent: Number = 0
    extra: Number = 0
    sign: Number = 0
    total: Number = 0
    exponent: Number = 0
    special: Number = NO_SPECIAL
    carried: Truth = False
    stored: Number = 0
    fraction: Number = 0
    outcome: Number = 0


SizeRule: TypeAlias = Callable[[SizePage, SignMagnitudeFormat], SizePage]


def unpack(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Find the true exponents, and restore the hidden ones.

    >>> from chalkpoint.numbers.named import format_called, size_format
    >>> unpack(SizePage(0, 1, 6, 0, -7, 3), size_format(format_called("1+4+3")))[6:10]
    (14, 1, 3, -6)
    """
    return page._replace(
        first=fmt.size(page.first_stored, page.first_fraction),
        first_exponent=fmt.true_exponent(page.first_stored),
        second=fmt.size(page.second_stored, page.second_fraction),
        second_exponent=fmt.true_exponent(page.second_stored),
    )


def flip_sign(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Change the sign bit of the number taken away, and add.

    >>> from chalkpoint.numbers.named import format_called, size_format
    >>> flip_sign(SizePage(0, 1, 6, 0, 1, 3), size_format(format_called("1+4+3"))).second_sign
    1
    """
    return page._replace(second_sign=1 - page.second_sign)


# === Special values: decided by the operands alone ===


def _kinds(page: SizePage, fmt: SignMagnitudeFormat) -> tuple[Truth, Truth, Truth]:
    first = (page.first_stored, page.first_fraction)
    second = (page.second_stored, page.second_fraction)
    return fmt.is_nan(*first) | fmt.is_nan(*second), fmt.is_infinity(*first), fmt.is_infinity(*second)


def special_sum(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """An infinity swallows any number; two of opposite sign give NaN, and so does NaN itself.

    >>> from chalkpoint.numbers.named import format_called, size_format
    >>> special_sum(SizePage(0, 8, 0, 1, 1, 3), size_format(format_called("1+4+3"))).special == TO_INFINITY
    True
    """
    nan, first, second = _kinds(page, fmt)
    nan = nan | (first & second & (page.first_sign != page.second_sign))
    special = where(nan, TO_NAN, where(first | second, TO_INFINITY, NO_SPECIAL))
    sign = where(nan, 0, where(first, page.first_sign, where(second, page.second_sign, page.sign)))
    return page._replace(special=special, sign=sign)


def special_product(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """An infinity times any number is an infinity, but infinity times zero is not a number.

    >>> from chalkpoint.numbers.named import format_called, size_format
    >>> fmt = size_format(format_called("1+4+3"))
    >>> special_product(SizePage(0, 8, 0, 0, -7, 0, first=8, second=0), fmt).special == TO_NAN
    True
    """
    nan, first, second = _kinds(page, fmt)
    infinite = first | second
    nan = nan | (infinite & ((page.first == 0) | (page.second == 0)))
    special = where(nan, TO_NAN, where(infinite, TO_INFINITY, NO_SPECIAL))
    return _decided(page, special)


def _decided(page: SizePage, special: Number) -> SizePage:
    """Return *page* with what the operands alone decide of a product or quotient, and its sign; else as it was."""
    sign = where(special == TO_NAN, 0, _signs_joined(page))
    return page._replace(special=special, sign=where(special == NO_SPECIAL, page.sign, sign))


def special_quotient(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """A number over zero is an infinity, over infinity zero; zero over zero, or two infinities, no number.

    >>> from chalkpoint.numbers.named import format_called, size_format
    >>> page = special_quotient(SizePage(0, 0, 0, 1, -7, 0, first=8, second=0), size_format(format_called("1+4+3")))
    >>> page.special == TO_INFINITY, page.sign
    (True, 1)
    """
    nan, first, second = _kinds(page, fmt)
    zeros = (page.first == 0) & (page.second == 0)
    nan = nan | zeros | (first & second)
    infinite = first | (page.second == 0)
    special = where(nan, TO_NAN, where(infinite, TO_INFINITY, where(second, TO_ZERO, NO_SPECIAL)))
    return _decided(page, special)


# === Adding ===


def normalise_operands(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Shift each size left until it starts with a 1 or has the lowest exponent.

    >>> from chalkpoint.numbers.named import format_called, size_format
    >>> fmt = size_format(format_called("1+3+4 stored-one"))
    >>> normalise_operands(SizePage(0, 0, 0, first=3, first_exponent=1), fmt)[6:8]
    (12, -1)
    """
    first = _loose_places(page.first, page.first_exponent, fmt.digits, fmt.lowest_exponent)
    second = _loose_places(page.second, page.second_exponent, fmt.digits, fmt.lowest_exponent)
    return page._replace(
        first=page.first << first,
        first_exponent=page.first_exponent - first,
        second=page.second << second,
        second_exponent=page.second_exponent - second,
    )


def _loose_places(size: Number, exponent: Number, width: Number, lowest: int) -> Number:
    """Return how far *size* moves left before it starts with a 1 in *width* digits, or reaches *lowest*."""
    zeros = larger(sign_copies(size, width + 2) - 1, 0)
    return where(size == 0, 0, smaller(zeros, larger(exponent - lowest, 0)))


def align(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Shift the size with the smaller exponent right by the difference, keeping guard, round and sticky places.

    A zero takes the other exponent: its own means nothing and must cost no digits.

    >>> from chalkpoint.numbers.named import format_called, size_format
    >>> fmt = size_format(format_called("1+4+3"))
    >>> align(SizePage(0, 0, 0, first=14, first_exponent=1, second=9, second_exponent=-3), fmt)[6:10]
    (112, 1, 5, 1)
    """
    first_exponent = where(page.first == 0, page.second_exponent, page.first_exponent)
    second_exponent = where(page.second == 0, page.first_exponent, page.second_exponent)
    apart = first_exponent - second_exponent
    most = fmt.digits + EXTRA_PLACES + 1
    common = larger(first_exponent, second_exponent)
    return page._replace(
        first=_sticky_shift(page.first << EXTRA_PLACES, smaller(larger(-apart, 0), most)),
        first_exponent=common,
        second=_sticky_shift(page.second << EXTRA_PLACES, smaller(larger(apart, 0), most)),
        second_exponent=common,
        extra=EXTRA_PLACES,
    )


def _sticky_shift(size: Number, places: Number) -> Number:
    """Return *size* shifted right, its last place 1 where any digit that passed it was a 1."""
    kept = size >> places
    return where(((kept << places) != size) & (kept & 1 == 0), kept + 1, kept)


def combine(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Add the sizes where the signs are alike, take the smaller away where they differ; 0 - 0 is +0.

    >>> from chalkpoint.numbers.named import format_called, size_format
    >>> combine(SizePage(1, 0, 0, 0, 0, 0, first=112, second=9), size_format(format_called("1+4+3")))[11:13]
    (1, 103)
    """
    return _combined(page, 0)


def combine_down(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Combine as `combine` does, but the difference of equal sizes is -0: so for rounding down.

    >>> from chalkpoint.numbers.named import format_called, size_format
    >>> combine_down(SizePage(1, 0, 0, 0, 0, 0, first=9, second=9), size_format(format_called("1+4+3")))[11:13]
    (1, 0)
    """
    return _combined(page, 1)


def _combined(page: SizePage, sign_of_nothing: int) -> SizePage:
    first = where(page.first_sign == 1, -page.first, page.first)
    second = where(page.second_sign == 1, -page.second, page.second)
    total = first + second
    sign = where(total < 0, 1, 0)
    alike = page.first_sign == page.second_sign
    sign = where(total == 0, where(alike, page.first_sign, sign_of_nothing), sign)
    return page._replace(
        total=where(total < 0, -total, total),
        exponent=page.first_exponent,
        sign=where(page.special == 0, sign, page.sign),
    )


# === Multiplying and dividing ===


def _signs_joined(page: SizePage) -> Number:
    return where(page.first_sign == page.second_sign, 0, 1)


def join_signs(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Alike, the answer is positive; different, it is negative.

    >>> from chalkpoint.numbers.named import format_called, size_format
    >>> join_signs(SizePage(1, 0, 0, 0), size_format(format_called("1+4+3"))).sign
    1
    """
    return page._replace(sign=where(page.special == TO_NAN, page.sign, _signs_joined(page)))


def add_exponents(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Add the true exponents: of the stored ones, take one excess off their sum.

    >>> from chalkpoint.numbers.named import format_called, size_format
    >>> fmt = size_format(format_called("1+4+3"))
    >>> add_exponents(SizePage(0, 0, 0, first_exponent=1, second_exponent=-3), fmt).exponent
    -2
    """
    return page._replace(exponent=page.first_exponent + page.second_exponent)


def multiply(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Multiply the sizes, hidden ones and all, in full.

    >>> from chalkpoint.numbers.named import format_called, size_format
    >>> multiply(SizePage(0, 0, 0, first=14, second=9), size_format(format_called("1+4+3"))).total
    126
    """
    return page._replace(total=page.first * page.second, extra=fmt.places)


def subtract_exponents(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Subtract the true exponents: of the stored ones, put one excess back on their difference.

    >>> from chalkpoint.numbers.named import format_called, size_format
    >>> fmt = size_format(format_called("1+4+3"))
    >>> subtract_exponents(SizePage(0, 0, 0, first_exponent=1, second_exponent=-3), fmt).exponent
    4
    """
    return page._replace(exponent=page.first_exponent - page.second_exponent)


def divide(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Divide the sizes three places further than the format has; a last place is 1 where a remainder is left.

    Sizes that start with 0s are shifted first, below the lowest exponent, so that the quotient is long enough.

    >>> from chalkpoint.numbers.named import format_called, size_format
    >>> divide(SizePage(0, 0, 0, first=14, second=9), size_format(format_called("1+4+3"))).total
    199
    """
    first = where(page.first == 0, 0, sign_copies(page.first, fmt.digits + 1))
    second = where(page.second == 0, 0, sign_copies(page.second, fmt.digits + 1))
    raised = (page.first << first) << (fmt.digits + 2)
    divisor = where(page.second == 0, 1, page.second << second)
    quotient = raised // divisor
    return page._replace(
        total=(quotient << 1) + where(quotient * divisor == raised, 0, 1),
        exponent=page.exponent - first + second,
        extra=fmt.digits + 3 - fmt.places,
    )


# === What all go on with ===


def renormalise(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Shift until one digit stands before the format's others: right after a carry, left after cancellation.

    Where the format can write fewer digits at its lowest exponent, the exponent stops there.

    >>> from chalkpoint.numbers.named import format_called, size_format
    >>> renormalise(SizePage(0, 0, 0, total=130, exponent=-2, extra=3), size_format(format_called("1+4+3")))[12:14]
    (65, -1)
    """
    width = fmt.digits + page.extra
    carried = where(page.total >> width == 0, 0, 1)
    if not fmt.gradual:
        lowest = page.exponent - 2 * width - fmt.digits  # as low as it takes
        right = carried
    else:
        lowest = fmt.lowest_exponent
        right = larger(carried, where(page.total == 0, 0, lowest - page.exponent))
    left = _loose_places(page.total, page.exponent, width, lowest)
    shifted = _sticky_shift(page.total << left, smaller(right, width + 2))
    exponent = where(page.total == 0, page.exponent, page.exponent + right - left)
    return page._replace(total=shifted, exponent=exponent)
