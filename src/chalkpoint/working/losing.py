"""Which digits each step of an addition or subtraction lost, and what that did to the answer."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.numbers.bits import shorten, to_bits
from chalkpoint.numbers.formats import scaled
from chalkpoint.working.methods import METHODS, keeps_every_place
from chalkpoint.working.page import Page
from chalkpoint.working.steps import Loss, Step
from chalkpoint.working.working import Working

__all__ = ["losses", "no_losses", "row_loss"]

LOSING_ROWS = {
    "align": ("first", "second"),
    "spare": ("first", "second"),
    "repair": ("total",),
    "cut": ("total",),
    "range": ("total",),
}


def losses(working: Working) -> tuple[Loss, ...]:
    """Return the digits each step lost, with the part of the error each accounts for.

    >>> from chalkpoint.working.work import work
    >>> [(loss.bits, loss.worth) for loss in losses(work("add", "01101000 0011", "01011011 0000"))]
    [('011', Fraction(3, 128))]
    """
    places, spare = working.question.format.places, keeps_every_place(METHODS.get(working.method))
    negated = working.question.operation.name == "subtract"
    found = []
    for step in working.steps:
        for sign, lost in lost_on(step, places, spare=spare):
            # A tail cut from the subtrahend is missing from what is taken away, until it is negated.
            missing = -lost.worth if sign == "second" and negated else lost.worth
            found.append(Loss(step.number, step.rule, lost.bits, missing))
        negated = negated and step.rule != "negate"
    return tuple(found)


def no_losses(working: Working) -> tuple[Loss, ...]:
    """Return nothing: what a faulty method gets wrong is not a matter of lost digits.

    >>> from chalkpoint.working.work import work
    >>> no_losses(work("add", "1.5", "2.25"))
    ()
    """
    return ()


def lost_on(step: Step, places: int, *, spare: bool) -> list[tuple[str, Loss]]:
    """Return (row, loss) for each row of *step* that lost digits worth something, before any negation."""
    found = []
    for row in LOSING_ROWS.get(step.rule, ()):
        bits, worth = row_loss(step, row, places, spare=spare)
        if worth:
            found.append((row, Loss(step.number, step.rule, bits, worth)))
    return found


def row_loss(step: Step, row: str, places: int, *, spare: bool = False) -> tuple[str, Fraction]:
    """Return the digits that *row* lost in *step* and what they were worth.

    spare  whether the method keeps every place, the last of them spare: `past_mantissa` says what that changes

    The digits are those past the last place kept. Rounding up, or cutting the size of a negative
    number, makes the worth differ from the digits' own.
    """
    before, after = step.before, step.after
    exponent = "exponent" if row == "total" else f"{row}_exponent"
    old, new = getattr(before, row), getattr(after, row)
    old_power = getattr(before, exponent) - places - before.extra
    new_power = getattr(after, exponent) - places - after.extra
    shift = new_power - old_power
    if step.rule == "range" and shift < 0:  # the end of the range was written instead
        return "", scaled(old, old_power) - scaled(new, new_power)
    if shift < 0:
        return "", Fraction(0)
    worth = scaled(old - (new << shift), old_power)
    if step.rule == "cut":
        return shorten(past_mantissa(before, spare=spare)), worth
    cut_its_size = new > old >> shift
    return shorten(to_bits(-old if cut_its_size else old, shift)), worth


def past_mantissa(page: Page, *, spare: bool) -> str:
    """Return the digits of the row below the line that are past the mantissa.

    spare  the last place is a spare one, empty unless a repair filled it
    """
    digits = to_bits(page.total, page.extra)
    return digits[:-1] if spare and page.extra > 1 and not page.overflowed else digits
