"""Encoding: the rules that bring a value into a format, in the order the course's rounding asks."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import NamedTuple, TypeAlias

from chalkpoint.numbers.exact import is_dyadic
from chalkpoint.numbers.fitting import normal_exponent, round_at
from chalkpoint.numbers.formats import Pattern
from chalkpoint.numbers.rounding import ROUNDINGS
from chalkpoint.working.bringing import by_rule
from chalkpoint.working.check import check
from chalkpoint.working.course import Course
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Loss, Step
from chalkpoint.working.wording.storing import writer
from chalkpoint.working.working import Working

__all__ = ["ORDERS", "STORING", "StorePage", "encode", "error", "losses"]

PLACES_PAST_THE_CUT = 4  # written of a tail that never ends, so that the cut can be seen


class StorePage(NamedTuple):
    """A value on its way into a format.

    value     the exact value asked for
    number    what is written so far, in units of the last of *places* places
    places    places written after the binary point
    ends      whether the digits written are all there are
    exponent  the exponent once the point is placed
    mantissa  the mantissa once it fits, in units of its last place
    pattern   the pattern, or None where the outcome is a word
    outcome   "in range", "zero", "overflow" or "underflow"
    """

    value: Fraction
    number: int = 0
    places: int = 0
    ends: bool = True
    exponent: int = 0
    mantissa: int = 0
    pattern: Pattern | None = None
    outcome: str = "in range"


StoreRule: TypeAlias = Callable[[StorePage, Course], StorePage]


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
    """Place the point so that the first two digits differ; the places moved are the exponent."""
    number = page.value.numerator if page.number < 0 else abs(page.value.numerator)
    point = course.number_format.point
    return page._replace(exponent=normal_exponent(number, page.value.denominator) + 1 - point)


def fit_pattern(page: StorePage, course: Course) -> StorePage:
    """Bring the pattern to the mantissa's width by the course's rounding."""
    fitted = round_at(page.value, page.exponent, course.number_format, ROUNDINGS[course.rounding])
    return page._replace(mantissa=fitted.mantissa, exponent=fitted.exponent)


def fit_size(page: StorePage, course: Course) -> StorePage:
    """Cut the size to the mantissa's width, before it has its sign."""
    fitted = round_at(abs(page.value), page.exponent, course.number_format, ROUNDINGS["cut"])
    return page._replace(mantissa=fitted.mantissa, exponent=fitted.exponent)


def sign_mantissa(page: StorePage, course: Course) -> StorePage:
    """Negate the mantissa that was cut; -1/2 is then written in its normal form, -1.0."""
    if page.value > 0:
        return page
    half = 1 << (course.number_format.mantissa_bits - 2)
    if page.mantissa == half:
        return page._replace(mantissa=-2 * half, exponent=page.exponent - 1)
    return page._replace(mantissa=-page.mantissa)


def write_exponent(page: StorePage, course: Course) -> StorePage:
    """Write the exponent, and judge its range: past either end the answer is a word."""
    fmt = course.number_format
    if fmt.holds(page.exponent):
        return page._replace(pattern=Pattern(page.mantissa, page.exponent))
    if page.exponent > fmt.highest_exponent:
        end = by_rule(page.value, course)
        return page._replace(pattern=end, outcome="in range" if end else "overflow")
    pattern = by_rule(page.value, course)
    if pattern is None:
        return page._replace(outcome="underflow")
    return page._replace(pattern=pattern, outcome="in range" if pattern.mantissa else "zero")


STORING: dict[str, StoreRule] = {
    "size": write_size,
    "sign": give_sign,
    "point": place_point,
    "fit": fit_pattern,
    "fit size": fit_size,
    "sign mantissa": sign_mantissa,
    "exponent": write_exponent,
}
USUAL_ORDER = ("size", "sign", "point", "fit", "exponent")
ORDERS: dict[str, tuple[str, ...]] = {
    **dict.fromkeys(ROUNDINGS, USUAL_ORDER),
    "cut size": ("size", "point", "fit size", "sign mantissa", "exponent"),
}
LINE_OF = {"fit size": "fit", "sign mantissa": "sign"}


def store_steps(question: Question) -> tuple[list[Step], StorePage]:
    """Return the steps that store the question's value, and the last page."""
    course, page = question.course, StorePage(question.value)
    write = writer(question)
    if question.value == 0:
        done = page._replace(pattern=course.number_format.zero, outcome="zero")
        return [Step(1, "zero", page, done, write)], done
    steps: list[Step] = []
    for slot in ORDERS[course.rounding]:
        before, page = page, STORING[slot](page, course)
        if slot in {"sign", "sign mantissa"} and question.value > 0:
            continue
        steps.append(Step(len(steps) + 1, LINE_OF.get(slot, slot), before, page, write))
    return steps, page


def encode(question: Question) -> Working:
    """Return the working that stores a value."""
    steps, page = store_steps(question)
    checked = check(question.value, page.outcome, page.pattern, question.course)
    return Working(
        question, question.course.rounding, tuple(steps), page.outcome, page.pattern, checked, losses
    )


def error(question: Question) -> Working:
    """Return the working that stores a value and then says what that cost."""
    steps, page = store_steps(question)
    write = writer(question)
    if page.pattern is not None:
        steps.append(Step(len(steps) + 1, "absolute", page, page, write))
        if question.value:
            steps.append(Step(len(steps) + 1, "relative", page, page, write))
    checked = check(question.value, page.outcome, page.pattern, question.course)
    return Working(
        question, question.course.rounding, tuple(steps), page.outcome, page.pattern, checked, losses
    )


def losses(working: Working) -> tuple[Loss, ...]:
    """Return the digits the fit cut off; they account for the whole error."""
    error = working.check.error
    for step in working.steps:
        if step.rule == "fit" and error:
            return (Loss(step.number, "fit", step.rows[-1].lost, error),)
    return ()
