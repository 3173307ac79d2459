"""How a belief acts when a value is stored: what it makes of the size, the sign, and the fit."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import TypeAlias

from chalkpoint.numbers.fitting import normal_exponent, round_at
from chalkpoint.numbers.formats import FloatFormat, Pattern
from chalkpoint.numbers.rounding import ROUNDINGS
from chalkpoint.working.beliefs.belief import AnyRule
from chalkpoint.working.course import Course
from chalkpoint.working.page import Page
from chalkpoint.working.storing import StorePage, write_size

__all__ = ["Digits", "fit_negated", "fit_size_as", "fitted_size", "signs", "sizes"]

Digits: TypeAlias = tuple[int, int]  # a number, and how many of its places stand after the point


def sizes(write: Callable[[Fraction], Digits | None]) -> AnyRule:
    """Return *write* as a rule for the line "size"; where it has nothing to say the right rule writes it."""

    def size(page: StorePage, course: Course) -> StorePage:
        digits = write(abs(page.value))
        usual = write_size(page, course)
        return usual if digits is None or not digits[0] else usual.with_digits(*digits)

    size.__name__ = f"size_{write.__name__}"
    return size


def signs(negate: Callable[[int, int], int]) -> AnyRule:
    """Return *negate*, (number, places) -> number, as a rule for the line "sign"."""

    def sign(page: StorePage, course: Course) -> StorePage:
        if page.value > 0:
            return page
        number = negate(page.number, page.places)
        return page.with_digits(number, page.places) if number else page

    sign.__name__ = f"sign_{negate.__name__}"
    return sign


def no_sign_yet(page: StorePage, course: Course) -> StorePage:
    """Leave the digits of the size: their sign comes later, or not at all."""
    return page


def point_of_size(page: StorePage, course: Course) -> StorePage:
    """Place the point in the digits of the size."""
    size = abs(page.value)
    return page._replace(exponent=normal_exponent(size.numerator, size.denominator))


def fitted_size(page: StorePage, course: Course) -> Pattern:
    """Return the size brought to the mantissa's width by the course's rounding."""
    rounding = ROUNDINGS["cut" if course.rounding == "cut size" else course.rounding]
    fitted = round_at(abs(page.value), page.exponent, course.float_format, rounding)
    return Pattern(fitted.mantissa, fitted.exponent)


def fit_size_as(fit: Callable[[StorePage, Course], Pattern]) -> dict[str, AnyRule]:
    """Return the rules under which the size is written and placed as usual and *fit* makes the pattern of it."""

    def fit_size(page: StorePage, course: Course) -> StorePage:
        mantissa, exponent = fit(page, course)
        return page._replace(mantissa=mantissa, exponent=exponent)

    fit_size.__name__ = fit.__name__
    return {"sign": no_sign_yet, "point": point_of_size, "fit": fit_size}


def fit_negated(negate: Callable[[Page, FloatFormat], Page]) -> dict[str, AnyRule]:
    """Return the rules under which the size is fitted and *negate*, a rule of subtraction, then negates it."""

    def fit(page: StorePage, course: Course) -> Pattern:
        mantissa, exponent = fitted_size(page, course)
        if page.value > 0:
            return Pattern(mantissa, exponent)
        return Pattern(negate(Page(0, 0, mantissa, 0), course.float_format).second, exponent)

    fit.__name__ = f"fit_{negate.__name__}"
    return fit_size_as(fit)
