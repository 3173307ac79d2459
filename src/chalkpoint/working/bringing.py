"""A value brought into the course's format by its rounding alone, without any working."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.numbers.families import SIZES, WHOLE
from chalkpoint.numbers.fitting import fit, mantissa_at, nearest_patterns
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.formats import FloatFormat, Pattern
from chalkpoint.numbers.named import AnyPattern
from chalkpoint.numbers.rounding import rounding_called
from chalkpoint.numbers.signed import Fields, SignMagnitudeFormat
from chalkpoint.working.course import Course

__all__ = ["by_rule", "overflow_pattern", "rounds_outward"]


def by_rule(x: Fraction, course: Course) -> AnyPattern:
    """Return *x* brought into the course's format by its rounding; None where that is a word.

    >>> by_rule(Fraction(-53, 10), Course())
    Pattern(mantissa=-85, exponent=3)
    >>> by_rule(Fraction(-53, 10), Course(format="1+4+3"))
    Fields(sign=1, exponent=2, fraction=3)
    >>> by_rule(Fraction(-53, 10), Course(format="Q5.3"))
    '11010101'
    """
    fmt = course.number_format
    if x == 0:
        return fmt.zero
    if fmt.family == SIZES:
        return _size_by_rule(x, fmt, course)
    if fmt.family == WHOLE:
        return _fixed_by_rule(x, fmt, course)
    return _float_by_rule(x, fmt, course)


def _float_by_rule(x: Fraction, fmt: FloatFormat, course: Course) -> Pattern | None:
    rounding = rounding_called(course.rounding)
    fitted = fit(x, fmt, rounding)
    if fitted.exponent > fmt.highest_exponent:
        return nearest_patterns(x, fmt)[0] if course.overflow == "largest" else None
    if fitted.exponent >= fmt.lowest_exponent:
        return Pattern(fitted.mantissa, fitted.exponent)
    if course.underflow == "zero":
        return fmt.zero
    if course.underflow == "un-normalised":
        mantissa, _ = mantissa_at(x, fmt.lowest_exponent, fmt, rounding)
        return Pattern(mantissa, fmt.lowest_exponent) if mantissa else fmt.zero
    return None


def _size_by_rule(x: Fraction, fmt: SignMagnitudeFormat, course: Course) -> Fields | None:
    sign, size, exponent, _ = fmt.rounded(x, rounding_called(course.rounding))
    if size and exponent >= fmt.highest_exponent and not fmt.holds(size, exponent):
        return overflow_pattern(sign, fmt, course)
    too_small = not fmt.holds(size, exponent) or (size and not size >> (fmt.digits - 1))
    if too_small and course.underflow != "un-normalised":
        return fmt.zero._replace(sign=sign) if course.underflow == "zero" else None
    return fmt.pack(sign, size, exponent)


def overflow_pattern(sign: int, fmt: SignMagnitudeFormat, course: Course) -> Fields | None:
    """Return what is written for a number past the largest; None where that is a word.

    A direction toward zero, or away from the side the number is on, stops at the largest
    (IEEE 754-2019, 7.4).
    """
    if course.overflow == "word":
        return None
    special = {"infinity": fmt.infinity, "not a number": fmt.nan}.get(course.overflow)
    if special is None or not rounds_outward(course.rounding, sign):
        special = fmt.largest
    return special._replace(sign=sign)


def rounds_outward(rounding: str, sign: int) -> bool:
    """Tell whether *rounding* takes a number past the largest away from zero.

    >>> rounds_outward("up", 0), rounds_outward("up", 1)
    (True, False)
    """
    return rounding in {"nearest", "nearest away"} or rounding == ("down" if sign else "up")


def _fixed_by_rule(x: Fraction, fmt: FixedFormat, course: Course) -> str | None:
    number = fmt.rounded(x, rounding_called(course.rounding))
    if fmt.field.holds(number):
        return fmt.field.write(number)
    if course.overflow == "largest":
        return fmt.field.write(fmt.field.lowest if number < fmt.field.lowest else fmt.field.highest)
    return None
