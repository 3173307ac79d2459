"""Beliefs about a carry, a sum that does not fit, and an exponent past its limit."""

from __future__ import annotations

from chalkpoint.numbers.carriers import opposite, where, wrap
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working import floating, multiplying
from chalkpoint.working.beliefs import code_places as in_codes
from chalkpoint.working.beliefs.adding import unless_said
from chalkpoint.working.beliefs.belief import ADDING, FIXED, INTEGER, SCALING, Belief, Place, acts
from chalkpoint.working.page import IN_RANGE, OVERFLOW, TOO_LONG, ZERO, Page
from chalkpoint.working.whole import overflow_as_word

__all__ = ["CARRYING", "wrap_exponent"]


# === Rules ===


def write_carry(page: Page, fmt: FloatFormat) -> Page:
    """Write a carry out of the sign column in front of the sum, a digit more than the mantissa has."""
    carried = floating.carry_out(page, fmt)
    bits = fmt.mantissa_bits + page.extra
    columns = (1 << bits) - 1
    judged = floating.judge_overflow(page, fmt)
    return judged._replace(
        total=where(carried, (page.total & columns) - (1 << bits), page.total),
        overflowed=judged.overflowed & opposite(carried),
        outcome=where(carried, TOO_LONG, IN_RANGE),
    )


def overflow_on_carry(page: Page, fmt: FloatFormat) -> Page:
    """Say overflow where the sign column carries."""
    carried = floating.carry_out(page, fmt)
    judged = floating.judge_overflow(page, fmt)
    return judged._replace(
        overflowed=judged.overflowed & opposite(carried), outcome=where(carried, OVERFLOW, IN_RANGE)
    )


def shift_carry_in(page: Page, fmt: FloatFormat) -> Page:
    """Where the sign column carries, shift the sum right behind that 1; raise the exponent by 1."""
    carried = floating.carry_out(page, fmt)
    bits = fmt.mantissa_bits + page.extra
    usual = floating.repair(page, fmt)
    behind = ((page.total & ((1 << bits) - 1)) >> 1) - (1 << (bits - 1))
    return usual._replace(
        total=where(carried, behind, usual.total),
        exponent=where(carried, page.exponent + 1, usual.exponent),
    )


def repair_copying_sign(page: Page, fmt: FloatFormat) -> Page:
    """Where the sum overflowed, shift its columns right and copy the first of them; raise the exponent."""
    wrapped = wrap(page.total, fmt.mantissa_bits + page.extra)
    return page._replace(
        total=where(page.overflowed, wrapped >> 1, page.total),
        exponent=where(page.overflowed, page.exponent + 1, page.exponent),
    )


def repair_mantissa_only(page: Page, fmt: FloatFormat) -> Page:
    """Where the sum overflowed, shift it right one place; leave the exponent."""
    return page._replace(total=where(page.overflowed, page.total >> 1, page.total))


def move_point_only(page: Page, fmt: FloatFormat) -> Page:
    """Move the point of a product or quotient left until it fits; leave the exponent."""
    return multiplying.repair(page, fmt)._replace(exponent=page.exponent)


def wrap_exponent(page: Page, fmt: FloatFormat) -> Page:
    """Write the low bits of the exponent, whatever it is. A word already on the page stands."""
    lowest = fmt.exponent.lowest
    columns = (1 << fmt.exponent_bits) - 1
    exponent = ((page.exponent + page.datum - lowest) & columns) + lowest - page.datum
    outcome = where(page.total == 0, ZERO, IN_RANGE)
    return page._replace(exponent=exponent, outcome=where(page.outcome == IN_RANGE, outcome, page.outcome))


NORMALISE_UNLESS_SAID = unless_said(floating.normalise)


# === Beliefs ===

CARRYING = (
    Belief(
        id="carry-kept",
        says="The carry at the front is part of the answer.",
        step="add",
        nudge="How many bits has the register?",
        rule="A carry out of the sign column is dropped; overflow is judged by signs.",
        show="Keep the right-hand 8 bits only.",
        evidence="T",
        weight=3,
        cause="adding as for unsigned numbers",
        places=(
            Place(
                ADDING,
                {"carry": write_carry, "normalise": NORMALISE_UNLESS_SAID},
                {"add": "Add the columns and write the carry in front: the row now has a digit too many."},
            ),
            *acts(
                ADDING,
                "carry",
                write_carry,
                "Add the columns and write the carry in front.",
                INTEGER,
                FIXED,
                line="add",
            ),
            *in_codes.CARRY_KEPT,
        ),
    ),
    Belief(
        id="carry-means-overflow",
        says="A carry at the front means overflow.",
        step="add",
        nudge="Can a positive plus a negative be out of range?",
        rule="Overflow only when two numbers of one sign give the other sign.",
        show="89 + (\u221226) = 63 fits, so drop the carry.",
        evidence="T",
        weight=3,
        cause="a processor\u2019s carry flag taken for signed overflow",
        places=(
            Place(
                ADDING,
                {"carry": overflow_on_carry, "normalise": NORMALISE_UNLESS_SAID},
                {"add": "The sign column carries, so the answer is the word overflow."},
            ),
            *acts(
                ADDING,
                "carry",
                overflow_on_carry,
                "The sign column carries, so the answer is the word overflow.",
                INTEGER,
                FIXED,
                line="add",
            ),
            *in_codes.CARRY_IS_OVERFLOW,
        ),
        alike=("repair-says-overflow",),
    ),
    Belief(
        id="carry-shifted-in",
        says="A carry at the front has to come in: I move everything right behind it and raise the exponent.",
        step="add",
        nudge="Were the operands of the same sign?",
        rule="Opposite signs never overflow; drop the carry.",
        show="7 \u2212 5: drop the 1.",
        evidence="T",
        weight=3,
        cause="the repair of an overflow used for any carry",
        places=acts(
            ADDING,
            "repair",
            shift_carry_in,
            "The sign column carried: move everything right behind that 1, exponent up by 1.",
        ),
    ),
    Belief(
        id="repair-copies-wrong-sign",
        says="After an overflow I shift right and copy the sign bit that stands there.",
        step="repair",
        nudge="Which sign has the sum of two positives?",
        rule="Put back the operands\u2019 sign in front.",
        show="01.1000 becomes 0.1100.",
        evidence="C",
        weight=2,
        cause="the rule of copying the sign used too literally",
        places=acts(
            ADDING,
            "repair",
            repair_copying_sign,
            "Move everything right one place, copying the sum\u2019s sign bit, exponent up by 1.",
        ),
        alike=("wrap-accepted",),
    ),
    Belief(
        id="repair-exponent-same",
        says="After an overflow I shift right one place; the exponent stays.",
        step="repair",
        nudge="Has the value halved?",
        rule="A right shift by one goes with E + 1.",
        show="2 becomes 3.",
        evidence="T",
        weight=2,
        cause="half a step",
        places=(
            *acts(
                ADDING,
                "repair",
                repair_mantissa_only,
                "Move everything right one place behind its true sign. The exponent is left alone.",
            ),
            *acts(
                SCALING,
                "repair",
                move_point_only,
                "Move the point left until one sign place is enough. The exponent is left alone.",
            ),
        ),
    ),
    Belief(
        id="repair-says-overflow",
        says="If the digits do not fit the mantissa, the answer is overflow.",
        step="repair",
        nudge="Is there room in the exponent?",
        rule="A floating-point number overflows only when its exponent cannot grow.",
        show="6 = 0.11 × 2^3.",
        evidence="T",
        weight=2,
        cause="integer rule carried over",
        places=(
            Place(
                ADDING,
                {"repair": overflow_as_word, "normalise": NORMALISE_UNLESS_SAID},
                {"repair": "The sum does not fit the mantissa, so the answer is the word overflow."},
            ),
            Place(
                SCALING,
                {"repair": overflow_as_word, "normalise": NORMALISE_UNLESS_SAID},
                {"repair": "The digits do not fit the mantissa, so the answer is the word overflow."},
            ),
        ),
        alike=("carry-means-overflow",),
    ),
    Belief(
        id="exp-wrap-silent",
        says="The exponent is what its columns hold.",
        step="range",
        nudge="Can that exponent be written in its field?",
        rule="E must lie between the lowest and the highest exponent; in 4 bits \u22128 and 7.",
        show="E = 8: overflow.",
        evidence="T",
        weight=2,
        cause="no check of the range",
        places=acts(
            (*ADDING, *SCALING, "normalise", "negate"),
            "range",
            wrap_exponent,
            "Write the low bits of the exponent and ask nothing more.",
        ),
    ),
    Belief(
        id="end-around-left-out",
        says="A carry at the front is dropped.",
        step="add",
        nudge="Try 7 \u2212 3: is it 3?",
        rule="In ones\u2019 complement the carry comes round: add it in the last place.",
        show="(1)0011 becomes 0100.",
        evidence="R",
        weight=3,
        cause="two\u2019s complement taken over",
        places=in_codes.CARRY_NOT_BROUGHT_ROUND,
    ),
    Belief(
        id="borrow-forgotten",
        says="In each column I take the smaller digit from the larger.",
        step="subtract",
        nudge="What is 0 \u2212 1 in a column?",
        rule="Where the lower digit is larger, borrow from the next column.",
        show="100 \u2212 001 = 011.",
        evidence="R",
        weight=2,
        cause="columns worked one by one",
        places=in_codes.BORROW_FORGOTTEN,
    ),
    Belief(
        id="no-carry-not-noticed",
        says="I add the complement, and what stands in the columns is the difference.",
        step="subtract",
        nudge="Did a carry leave the first column?",
        rule="Without a carry the difference is negative: complement it and put a minus.",
        show="0011 + 1011 = 1110, no carry: 3 \u2212 5 is \u22120010.",
        evidence="R",
        weight=2,
        cause="the carry not looked at",
        places=in_codes.NO_CARRY_NOT_NOTICED,
    ),
)
