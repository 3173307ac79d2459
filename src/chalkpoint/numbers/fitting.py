"""Bringing an exact value into a format: the patterns beside it, the nearest, and the one a rounding takes.

Everything is judged on the value itself, not on anybody's working, so that working can be checked
against it.
"""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from chalkpoint.numbers.families import FLOATING
from chalkpoint.numbers.formats import FloatFormat, Pattern
from chalkpoint.numbers.named import AnyFormat, AnyPattern
from chalkpoint.numbers.rounding import DIRECTIONS, ROUNDINGS, Rounding, round_quotient

__all__ = ["Fitted", "fit", "is_beyond", "mantissa_at", "nearest_patterns", "normal_exponent", "round_at"]


def normal_exponent(number: int, divisor: int) -> int:
    """Return E for which number / divisor = f * 2**E with f in [1/2, 1) or [-1, -1/2).

    *number* is not zero and *divisor* is positive.

    >>> normal_exponent(21, 4), normal_exponent(-4, 1), normal_exponent(4, 1)
    (3, 2, 3)
    """
    size = -number if number < 0 else number
    power = size.bit_length() - divisor.bit_length()  # the size lies in (2**(power-1), 2**(power+1))
    left, right = (size, divisor << power) if power >= 0 else (size << -power, divisor)
    if number > 0:
        return power + 1 if left >= right else power
    return power + 1 if left > right else power


class Fitted(NamedTuple):
    """A value brought to a normalised mantissa and exponent; *exponent* may lie outside the format.

    >>> from chalkpoint.numbers.named import format_called
    >>> from chalkpoint.numbers.rounding import ROUNDINGS
    >>> round_at(Fraction(21, 4), 3, format_called("8+4"), ROUNDINGS["cut"])
    Fitted(mantissa=84, exponent=3, exact=True)
    """

    mantissa: int
    exponent: int
    exact: bool


def fit(x: Fraction, fmt: FloatFormat, rounding: Rounding) -> Fitted:
    """Return *x*, not zero, brought to *fmt*'s mantissa by *rounding*, with the exponent it needs.

    >>> from chalkpoint.numbers.families import FLOATING
    >>> from chalkpoint.numbers.formats import parse_format
    >>> from chalkpoint.numbers.rounding import cut
    >>> fit(Fraction(-53, 10), parse_format("8+4"), cut)
    Fitted(mantissa=-85, exponent=3, exact=False)
    """
    return round_at(x, normal_exponent(x.numerator, x.denominator) + 1 - fmt.point, fmt, rounding)


def round_at(x: Fraction, exponent: int, fmt: FloatFormat, rounding: Rounding) -> Fitted:
    """Return *x* brought to *fmt*'s mantissa at its normal *exponent*, which rounding may change by one.

    >>> from chalkpoint.numbers.named import format_called
    >>> from chalkpoint.numbers.rounding import ROUNDINGS
    >>> round_at(Fraction(255, 256), 0, format_called("8+4"), ROUNDINGS["nearest"])
    Fitted(mantissa=64, exponent=1, exact=False)
    """
    mantissa, exact = mantissa_at(x, exponent, fmt, rounding)
    end = 1 << (fmt.mantissa_bits - 1)
    if mantissa == end:  # rounded up to 1.0: one place to the right
        return Fitted(mantissa >> 1, exponent + 1, exact)
    if mantissa == -end >> 1:  # rounded up to -1/2, whose normal form is -1.0
        return Fitted(mantissa << 1, exponent - 1, exact)
    return Fitted(mantissa, exponent, exact)


def mantissa_at(x: Fraction, exponent: int, fmt: FloatFormat, rounding: Rounding) -> tuple[int, bool]:
    """Return *x* in units of the mantissa's last place at *exponent*, rounded, and whether that is exact.

    >>> from chalkpoint.numbers.families import FLOATING
    >>> from chalkpoint.numbers.formats import parse_format
    >>> mantissa_at(Fraction(31, 2**14), -8, parse_format("6+4"), ROUNDINGS["nearest"])
    (16, False)
    """
    number, divisor = x.numerator, x.denominator
    up = fmt.places - exponent
    if up >= 0:
        number <<= up
    else:
        divisor <<= -up
    mantissa = round_quotient(number, divisor, rounding)
    return mantissa, mantissa * divisor == number


def nearest_patterns(x: Fraction, fmt: AnyFormat, *, unnormalised: bool = False) -> tuple[AnyPattern, ...]:
    """Return the normalised pattern (or zero) nearest to *x*; both, at a tie, the lower first.

    fmt           a format of any family
    unnormalised  patterns at the lowest exponent count too where they are not normalised, as for a course
                  that leaves an underflow un-normalised

    >>> from chalkpoint.numbers.families import FLOATING
    >>> from chalkpoint.numbers.formats import parse_format
    >>> nearest_patterns(Fraction(203, 32), parse_format("8+3"))
    (Pattern(mantissa=101, exponent=3), Pattern(mantissa=102, exponent=3))
    """
    if x == 0:
        return (fmt.zero,)
    low: AnyPattern
    high: AnyPattern
    if fmt.family == FLOATING:
        low, high = neighbours_kept(x, fmt) if unnormalised else neighbours(x, fmt)
    else:
        low, high = fmt.neighbours(x)
    if low == high:
        return (low,)
    below, above = x - fmt.value(low), fmt.value(high) - x
    if below == above:
        return (low, high)
    return (low,) if below < above else (high,)


def is_beyond(x: Fraction, fmt: AnyFormat) -> bool:
    """Tell whether *x* lies past the last pattern on its side.

    >>> from chalkpoint.numbers.families import FLOATING
    >>> from chalkpoint.numbers.formats import parse_format
    >>> is_beyond(Fraction(128), parse_format("8+4")), is_beyond(Fraction(-128), parse_format("8+4"))
    (True, False)
    """
    nearest = nearest_patterns(x, fmt)
    end = abs(fmt.value(nearest[0]))
    return len(nearest) == 1 and 0 < end < abs(x) and nearest == nearest_patterns(2 * x, fmt)


def neighbours_kept(x: Fraction, fmt: FloatFormat) -> tuple[Pattern, Pattern]:
    """Return the patterns beside *x*, those at the lowest exponent that are not normalised among them."""
    if normal_exponent(x.numerator, x.denominator) + 1 - fmt.point >= fmt.lowest_exponent:
        return neighbours(x, fmt)
    (below, _), (above, _) = (
        mantissa_at(x, fmt.lowest_exponent, fmt, rounding)
        for rounding in (ROUNDINGS["cut"], DIRECTIONS["up"])
    )
    low, high = (Pattern(number, fmt.lowest_exponent) if number else fmt.zero for number in (below, above))
    return low, high


def neighbours(x: Fraction, fmt: FloatFormat) -> tuple[Pattern, Pattern]:
    """Return the patterns next below and next above *x* (the same one twice where *x* has a pattern).

    Beyond either end both are the end itself; in the gap around zero, zero is one of them.
    """
    half, lowest = 1 << (fmt.mantissa_bits - 2), fmt.lowest_exponent
    below, above = fit(x, fmt, ROUNDINGS["cut"]), fit(x, fmt, DIRECTIONS["up"])
    if below.exponent > fmt.highest_exponent:
        end = Pattern(2 * half - 1 if x > 0 else -2 * half, fmt.highest_exponent)
        return end, end
    low = Pattern(below.mantissa, below.exponent)
    if below.exponent < lowest:
        low = fmt.zero if x > 0 else Pattern(-half - 1, lowest)
    high = Pattern(above.mantissa, above.exponent)
    if above.exponent < lowest:
        high = Pattern(half, lowest) if x > 0 else fmt.zero
    return low, low if above.exponent > fmt.highest_exponent else high
