"""Multiplying and dividing in formats with a two's complement mantissa.

The rules of the pages of addition (`floating`) go on with what these write: a mantissa with places past the
format's, which is normalised, brought to width once, and judged by its exponent.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache

from chalkpoint.numbers.carriers import fits, larger, opposite, sign_copies, where
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.fitting import nearest_patterns
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working import floating
from chalkpoint.working.adding import answer_on, start
from chalkpoint.working.check import check
from chalkpoint.working.floating import Rule
from chalkpoint.working.losing import no_losses, row_loss
from chalkpoint.working.methods import (
    CUT,
    NORMALISE,
    RANGE,
    READ,
    READY,
    REPAIR,
    Line,
    Method,
    judge_for,
    kept_rules,
)
from chalkpoint.working.page import Page
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Loss, Step, written_steps
from chalkpoint.working.wording.multiplying import cut_digits, writer
from chalkpoint.working.working import Working

__all__ = ["CUTS", "DIVIDING", "MULTIPLYING", "QUOTIENT_PLACES", "multiply_or_divide", "multiplying_method"]

QUOTIENT_PLACES = (
    3  # digits of a quotient written past the mantissa, before the place that says there are more
)


def add_exponents(page: Page, fmt: FloatFormat) -> Page:
    """Add the exponents."""
    return page._replace(exponent=page.first_exponent + page.second_exponent)


def multiply(page: Page, fmt: FloatFormat) -> Page:
    """Multiply the mantissas in full: the product has as many places as both together."""
    product = page.first * page.second
    return page._replace(
        total=product, extra=fmt.places, overflowed=opposite(fits(product, fmt.mantissa_bits + fmt.places))
    )


def subtract_exponents(page: Page, fmt: FloatFormat) -> Page:
    """Subtract the divisor's exponent."""
    return page._replace(exponent=page.first_exponent - page.second_exponent)


def divide(page: Page, fmt: FloatFormat) -> Page:
    """Divide the sizes, a few places further than the mantissa; one more place is 1 where a remainder is left."""
    first = where(page.first < 0, -page.first, page.first)
    second = larger(where(page.second < 0, -page.second, page.second), 1)  # a faulty rule may leave 0
    raised = first << (fmt.places + QUOTIENT_PLACES)
    quotient = raised // second
    digits = (quotient << 1) + where(quotient * second == raised, 0, 1)
    return page._replace(total=digits, extra=QUOTIENT_PLACES + 1)


def give_sign(page: Page, fmt: FloatFormat) -> Page:
    """Negate the quotient where one operand is negative; then tell whether it fits the mantissa."""
    negative = (page.first < 0) != (page.second < 0)
    total = where(negative, -page.total, page.total)
    return page._replace(total=total, overflowed=opposite(fits(total, fmt.mantissa_bits + page.extra)))


def repair(page: Page, fmt: FloatFormat) -> Page:
    """Move the point left until the mantissa fits, and raise the exponent as much: no digit is lost."""
    room = fmt.mantissa_bits  # more than any faulty size needs; right ones need two places at most
    places = larger(room - sign_copies(page.total, fmt.mantissa_bits + page.extra + room), 0)
    return page._replace(extra=page.extra + places, exponent=page.exponent + places)


CUTS: dict[str, Rule] = {
    "cut": floating.cut_to_width,
    "cut size": floating.cut_size_to_width,
    "nearest": floating.cut_to_nearest,
    "nearest away": floating.cut_to_nearest_away,
}

EXPONENTS = Line("exponents", ("exponents",))
AFTER = (REPAIR, NORMALISE, CUT, RANGE)
USUAL: dict[str, Rule] = {
    "operands": floating.normalise_operands,
    "repair": repair,
    "normalise": floating.normalise,
}
MULTIPLYING = Method(
    "",
    "add the exponents, multiply the mantissas",
    (READ, READY, EXPONENTS, Line("product", ("product",)), *AFTER),
    USUAL | {"exponents": add_exponents, "product": multiply},
)
DIVIDING = Method(
    "",
    "subtract the exponents, divide the sizes",
    (READ, READY, EXPONENTS, Line("quotient", ("quotient",)), Line("sign", ("sign",)), *AFTER),
    USUAL | {"exponents": subtract_exponents, "quotient": divide, "sign": give_sign},
)


@cache
def multiplying_method(operation: str, rounding: str, underflow: str, overflow: str) -> Method:
    """Return how two numbers are multiplied or divided by a course's rounding and its words."""
    usual = DIVIDING if operation == "divide" else MULTIPLYING
    chosen = {"cut": CUTS[rounding], "range": judge_for(underflow, overflow)}
    if underflow == "un-normalised":
        chosen |= kept_rules(chosen, overflow)
    return replace(usual, name=rounding, rules=usual.rules | chosen)


def multiply_or_divide(question: Question, method: Method | None = None) -> Working:
    """Return the working of a multiplication or division."""
    course, divides = question.course, question.operation.name == "divide"
    if divides and question.patterns[1].mantissa == 0:
        return _divide_by_zero(question)
    method = method or multiplying_method(
        question.operation.name, course.rounding, course.underflow, course.overflow
    )
    trail = method.trail(start(question), question.format)
    outcome, pattern = answer_on(trail[-1].after, question.format)
    steps = written_steps(trail, writer(question, method))
    first, second = question.values
    checked = check(first / second if divides else first * second, outcome, pattern, course)
    faulty = method.right is not None
    traced = no_losses if faulty else losses
    return Working(question, course.rounding, steps, outcome, pattern, checked, traced, faulty=faulty)


def _divide_by_zero(question: Question) -> Working:
    """Return the one step of a division by zero, which a machine may answer with the end of its range.

    Raises EntryError where the course has no such answer. Source of the answer: MIL-STD-1750A, FD.
    """
    fmt, course = question.format, question.course
    if course.overflow != "largest":
        raise EntryError(
            f"{question.shown[0]} ÷ 0 has no answer; divide by a number other than 0, "
            'or take a course with overflow = "largest"'
        )
    sign = -1 if question.patterns[0].mantissa < 0 else 1
    huge = Fraction(sign * (1 << (fmt.highest_exponent + 2)))
    (end,) = nearest_patterns(huge, fmt)
    page = start(question)
    after = page._replace(total=end.mantissa, exponent=end.exponent)
    step = Step(1, "by_zero", page, after, writer(question, DIVIDING))
    return Working(question, course.rounding, (step,), "in range", end, check(huge, "in range", end, course))


def losses(working: Working) -> tuple[Loss, ...]:
    """Return the digits the cut took, and what the range took after it; they account for the whole error."""
    missed = working.check.error
    if not missed:
        return ()
    found = []
    for step in reversed(working.steps):
        if step.rule == "range":
            bits, worth = row_loss(step, "total", working.question.format.places)
            if worth:
                found.append(Loss(step.number, "range", bits, worth))
                missed -= worth
        elif step.rule == "cut" and missed:
            divides = working.question.operation.name == "divide"
            found.append(Loss(step.number, "cut", cut_digits(step.before, divides=divides), missed))
    return tuple(found[::-1])
