"""Encoding: the rules that bring a value into a format, in the order the course's rounding asks."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache
from typing import NamedTuple

from chalkpoint.numbers.exact import is_dyadic
from chalkpoint.numbers.fitting import mantissa_at, normal_exponent, round_at
from chalkpoint.numbers.formats import Pattern, scaled
from chalkpoint.numbers.rounding import ROUNDINGS
from chalkpoint.working.bringing import by_rule
from chalkpoint.working.course import Course
from chalkpoint.working.methods import Line, Method, Rule, Trail
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Loss
from chalkpoint.working.working import Working

__all__ = ["COSTS", "STORING", "StorePage", "is_written", "losses", "storing_method", "storing_zero"]

PLACES_PAST_THE_CUT = 4  # written of a tail that never ends, so that the cut can be seen


class StorePage(NamedTuple):
    """A value on its way into a format.

    value     the exact value that is stored: the one asked for, unless other digits were written
    number    what is written so far, in units of the last of *places* places
    places    places written after the binary point
    ends      whether the digits written are all there are
    exponent  the exponent once the point is placed
    mantissa  the mantissa once it fits, in units of its last place
    pattern   the pattern, or None where the outcome is a word
    outcome   "in range", "zero", "overflow" or "underflow"
    absolute  the absolute error, once asked for
    relative  the relative error, once asked for
    meant     the value asked for, where other digits were written
    """

    value: Fraction
    number: int = 0
    places: int = 0
    ends: bool = True
    exponent: int = 0
    mantissa: int = 0
    pattern: Pattern | None = None
    outcome: str = "in range"
    absolute: Fraction = Fraction(0)
    relative: Fraction = Fraction(0)
    meant: Fraction | None = None

    @property
    def asked(self) -> Fraction:
        """The value asked for."""
        return self.value if self.meant is None else self.meant

    def with_digits(self, number: int, places: int) -> StorePage:
        """Return the page with *number* in its digits: what they say is stored, whatever was asked for."""
        sign = -1 if self.value < 0 and number >= 0 else 1
        value = sign * scaled(number, -places)
        return self._replace(number=number, places=places, ends=True, value=value, meant=self.asked)


def write_size(page: StorePage, course: Course) -> StorePage:
    """Write the size in fixed point: every place of it, or a few past the cut where it never ends."""
    size, fmt = abs(page.value), course.number_format
    if is_dyadic(size):
        places = size.denominator.bit_length() - 1
    else:
        exponent = normal_exponent(size.numerator, size.denominator)
        places = max(fmt.places - exponent + PLACES_PAST_THE_CUT, 1)
    number = (size.numerator << places) // size.denominator
    return page._replace(number=number, places=places, ends=is_dyadic(size))


def give_sign(page: StorePage, course: Course) -> StorePage:
    """Negate the digits written: invert every bit and add one, or invert only where they never end.

    Either way that is the value cut toward minus infinity at the last place written.
    """
    negative = page.value < 0
    number = (-page.number if page.ends else ~page.number) if negative else page.number
    return page._replace(number=number)


def place_point(page: StorePage, course: Course) -> StorePage:
    """Place the point so that the first two digits differ; the places moved are the exponent.

    Where the course leaves an underflow un-normalised, the exponent stops at the lowest.
    """
    number = page.value.numerator if page.number < 0 else abs(page.value.numerator)
    exponent = normal_exponent(number, page.value.denominator) + 1 - course.float_format.point
    if course.underflow == "un-normalised":
        exponent = max(exponent, course.float_format.lowest_exponent)
    return page._replace(exponent=exponent)


@cache
def fit_by(rounding: str) -> Rule:
    """Return the rule that brings the pattern to the mantissa's width by *rounding*."""

    def fit_pattern(page: StorePage, course: Course) -> StorePage:
        """Bring the pattern to the mantissa's width."""
        return _fitted(page, page.value, rounding, course)

    return fit_pattern


def fit_size(page: StorePage, course: Course) -> StorePage:
    """Cut the size to the mantissa's width, before it has its sign."""
    return _fitted(page, abs(page.value), "cut", course)


def _fitted(page: StorePage, x: Fraction, rounding: str, course: Course) -> StorePage:
    """Return the page with *x* in the mantissa's width, rounded once, at the exponent the point gave it."""
    fmt = course.float_format
    if _kept_unnormalised(page, course):
        mantissa, _ = mantissa_at(x, page.exponent, fmt, ROUNDINGS[rounding])
        return page._replace(mantissa=mantissa)
    fitted = round_at(x, page.exponent, fmt, ROUNDINGS[rounding])
    return page._replace(mantissa=fitted.mantissa, exponent=fitted.exponent)


def _kept_unnormalised(page: StorePage, course: Course) -> bool:
    """Tell whether the exponent stopped at the lowest, so that the mantissa may start with alike digits."""
    at_lowest = page.exponent == course.float_format.lowest_exponent
    return at_lowest and course.underflow == "un-normalised"


def sign_mantissa(page: StorePage, course: Course) -> StorePage:
    """Negate the mantissa that was cut; -1/2 is then written in its normal form, -1.0."""
    if page.value > 0:
        return page
    half = 1 << (course.float_format.mantissa_bits - 2)
    if page.mantissa == half and not _kept_unnormalised(page, course):
        return page._replace(mantissa=-2 * half, exponent=page.exponent - 1)
    return page._replace(mantissa=-page.mantissa)


def write_exponent(page: StorePage, course: Course) -> StorePage:
    """Write the exponent, and judge its range: past either end the answer is a word."""
    fmt = course.float_format
    if page.mantissa == 0 and _kept_unnormalised(page, course):
        return write_zero(page, course)
    if fmt.holds(page.exponent):
        return page._replace(pattern=Pattern(page.mantissa, page.exponent))
    if page.exponent > fmt.highest_exponent:
        if course.overflow != "largest":
            return page._replace(outcome="overflow")
        top = 1 << (fmt.mantissa_bits - 1)
        return page._replace(pattern=Pattern(-top if page.value < 0 else top - 1, fmt.highest_exponent))
    pattern = by_rule(page.value, course)
    if pattern is None:
        return page._replace(outcome="underflow")
    return page._replace(pattern=pattern, outcome="in range" if pattern.mantissa else "zero")


def absolute_error(page: StorePage, course: Course) -> StorePage:
    """Take what is stored from what was asked for; the size of that is the absolute error."""
    if page.pattern is None:
        return page
    return page._replace(absolute=abs(page.asked - course.float_format.value(page.pattern)))


def relative_error(page: StorePage, course: Course) -> StorePage:
    """Divide the absolute error by the size of the true value."""
    if page.pattern is None or not page.asked:
        return page
    return page._replace(relative=page.absolute / abs(page.asked))


STORING: dict[str, Rule] = {
    "size": write_size,
    "sign": give_sign,
    "point": place_point,
    "fit": fit_by("cut"),
    "exponent": write_exponent,
    "absolute": absolute_error,
    "relative": relative_error,
}
SIZE, SIGN, POINT, FIT, EXPONENT = (
    Line(name, (name,)) for name in ("size", "sign", "point", "fit", "exponent")
)
ZERO = Line("zero", ("zero",))
COSTS = (Line("absolute", ("absolute",)), Line("relative", ("relative",)))
USUAL_ORDER = (SIZE, SIGN, POINT, FIT, EXPONENT)


def write_zero(page: StorePage, course: Course) -> StorePage:
    """Write the pattern for zero, which has no normal form."""
    return page._replace(pattern=course.float_format.zero, outcome="zero")


@cache
def storing_method(rounding: str, operation: str = "encode") -> Method:
    """Return how a value is stored under *rounding*; "error" goes on to what that cost.

    >>> [line.name for line in storing_method("cut size").lines]
    ['size', 'point', 'fit', 'sign', 'exponent']
    """
    lines, rules = USUAL_ORDER, STORING | {"fit": fit_by(rounding)}
    if rounding == "cut size":
        lines = (SIZE, POINT, FIT, SIGN, EXPONENT)
        rules = STORING | {"fit": fit_size, "sign": sign_mantissa}
    return Method(rounding, rounding, (*lines, *COSTS) if operation == "error" else lines, rules)


@cache
def zero_method(method: Method) -> Method:
    """Return how a holder of *method* stores zero: its pattern is known by heart, and no rule of the others acts."""
    costs = tuple(line for line in method.lines if line.name == "absolute")
    return replace(method, name="", words="", lines=(ZERO, *costs), rules=method.rules | {"zero": write_zero})


def storing_zero(method: Method, question: Question) -> Method:
    """Return *method* as it stores the question's value: zero has a line of its own."""
    return zero_method(method) if question.value == 0 and ZERO not in method.lines else method


def is_written(entry: Trail, last: StorePage, question: Question) -> bool:
    """Tell whether a line is written: a positive has no sign to be given, a word costs nothing."""
    if entry.line.name == "sign":
        return question.value < 0
    return last.pattern is not None or entry.line not in COSTS


def losses(working: Working) -> tuple[Loss, ...]:
    """Return the digits the fit cut off, and what another end of the range put in their place."""
    found = []
    missed = working.check.error
    places = working.question.format.places
    for step in working.steps:
        if step.rule == "fit" and missed:
            page: StorePage = step.after
            kept = scaled(page.mantissa, page.exponent - places)
            worth = page.value - (-kept if page.value < 0 < kept else kept)
            if worth:
                found.append(Loss(step.number, "fit", step.rows[-1].lost, worth))
            missed -= worth
        elif step.rule == "exponent" and missed:
            found.append(Loss(step.number, "exponent", "", missed))
    return tuple(found)
