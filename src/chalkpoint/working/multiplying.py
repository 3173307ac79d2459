"""Multiplying and dividing in formats with a two's complement mantissa.

The rules of the pages of addition (`floating`) go on with what these write: a mantissa with places past the
format's, which is normalised, brought to width once, and judged by its exponent.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from chalkpoint.numbers.carriers import fits, larger, opposite, sign_copies, where
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working import floating
from chalkpoint.working.floating import Rule
from chalkpoint.working.losing import row_loss
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
from chalkpoint.working.steps import Loss
from chalkpoint.working.wording.multiplying import cut_digits
from chalkpoint.working.wording.words_pupils import METHOD_WORDS
from chalkpoint.working.working import Working

__all__ = ["CUTS", "DIVIDING", "MULTIPLYING", "QUOTIENT_PLACES", "by_zero_method", "multiplying_method"]

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
    METHOD_WORDS["multiply"],
    (READ, READY, EXPONENTS, Line("product", ("product",)), *AFTER),
    USUAL | {"exponents": add_exponents, "product": multiply},
)
DIVIDING = Method(
    "",
    METHOD_WORDS["divide"],
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


BY_ZERO = Line("by_zero", ("by_zero",))


def answer_end_of_range(page: Page, fmt: FloatFormat) -> Page:
    """Write the end of the range, of the dividend's sign, as some machines do (MIL-STD-1750A, FD)."""
    top = 1 << (fmt.mantissa_bits - 1)
    total = where(page.first < 0, -top, top - 1)
    return page._replace(total=total, exponent=fmt.highest_exponent - page.datum)


@cache
def by_zero_method(method: Method) -> Method:
    """Return how a holder of *method* divides by zero: in one line, where the course has an answer to that."""
    return replace(method, lines=(BY_ZERO,), rules=method.rules | {"by_zero": answer_end_of_range})


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
