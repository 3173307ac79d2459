"""Beliefs about changing a sign, and about what is taken from what."""

from __future__ import annotations

from chalkpoint.numbers.carriers import Number, where, wrap
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working.beliefs import code_places as in_codes
from chalkpoint.working.beliefs import size_places as in_sizes
from chalkpoint.working.beliefs.belief import (
    FIXED,
    FLOAT,
    INTEGER,
    SIGNED,
    STORING,
    AnyRule,
    Belief,
    Place,
    acts,
)
from chalkpoint.working.beliefs.coding import codes_negated
from chalkpoint.working.beliefs.fitting_sizes import fit_negated
from chalkpoint.working.beliefs.scaling_sizes import sizes_negated
from chalkpoint.working.page import Page

__all__ = ["NEGATING", "subtract_reversed"]


# === Rules ===


def invert_only(page: Page, fmt: FloatFormat) -> Page:
    """Invert every bit and stop."""
    return page._replace(second=-1 - page.second)


def sign_bit_only(page: Page, fmt: FloatFormat) -> Page:
    """Invert the first bit alone."""
    weight = 1 << (fmt.mantissa_bits + page.extra - 1)
    return page._replace(second=where(page.second < 0, page.second + weight, page.second - weight))


def keep_sign_invert_rest(page: Page, fmt: FloatFormat) -> Page:
    """Keep the first bit; invert the others and add one in their last place."""
    weight = 1 << (fmt.mantissa_bits + page.extra - 1)
    rest = (weight - (page.second & (weight - 1))) & (weight - 1)
    return page._replace(second=rest - where(page.second < 0, weight, 0))


def add_then_invert(page: Page, fmt: FloatFormat) -> Page:
    """Add one in the last place, then invert every bit."""
    return page._replace(second=wrap(-2 - page.second, fmt.mantissa_bits + page.extra))


def inverted_size(number: int, fmt: FixedFormat) -> int:
    """Invert every bit of a negative number's size."""
    return number if number >= 0 else (1 << fmt.bits) - 1 + number


def subtract_adding(page: Page, fmt: FloatFormat) -> Page:
    """Leave the number taken away as it is."""
    return page


def subtract_reversed(page: Page, fmt: FloatFormat) -> Page:
    """Take the first number from the second."""
    return page._replace(
        first=page.second,
        first_exponent=page.second_exponent,
        second=page.first,
        second_exponent=page.first_exponent,
    )


def negate_exponent_too(page: Page, fmt: FloatFormat) -> Page:
    """Negate mantissa and exponent."""
    exponent = -page.second_exponent - page.datum - page.datum
    return page._replace(second=-page.second, second_exponent=exponent)


def take_second_exponent(page: Page, fmt: FloatFormat) -> Page:
    """Give the sum the exponent that now stands on the second row."""
    return page._replace(exponent=page.second_exponent)


def complement_both(page: Page, fmt: FloatFormat) -> Page:
    """Complement both numbers, in the width of the mantissa."""
    bits = fmt.mantissa_bits + page.extra
    return page._replace(first=wrap(-page.first, bits), second=wrap(-page.second, bits))


def complement_own_width(first: str, second: str) -> str:
    """Return the digits of *first* - *second* with *second* complemented in its own digits.

    The sum is written in as many digits as *first* has.

    >>> complement_own_width("1101", "011")
    '0010'
    """
    width = len(second)
    opposite = -int(second, 2) & ((1 << width) - 1)
    return _low(int(first, 2) + opposite, len(first))


def _low(number: Number, bits: int) -> str:
    return format(number & ((1 << bits) - 1), f"0{bits}b")


# === Beliefs ===


def _places(rule: AnyRule, said: str, *, stores: bool = True, scales: bool = True) -> tuple[Place, ...]:
    """Return the places of a negation rule: alone, in a subtraction, and (unless not) in storing and scaling.

    stores  whether it acts where a value is stored
    scales  whether it acts in products and quotients, on sizes
    """
    operations = ("subtract", "negate")
    places = acts(operations, "negate", rule, said, FLOAT, INTEGER, FIXED)
    if stores:
        places += codes_negated(rule, f"Write the size, then change its sign: {said}")
        places += (Place(STORING, fit_negated(rule), {"fit": f"Fit the size, then change its sign: {said}"}),)
    return places + sizes_negated(rule, said) if scales else places


NEGATING = (
    Belief(
        id="invert-only",
        says="To change the sign I invert every bit.",
        step="negate",
        nudge="Add your answer to the original: is it zero?",
        rule="Invert every bit, then add one in the last place.",
        show="11001011 + 1 = 11001100.",
        evidence="R",
        weight=3,
        cause="last step dropped",
        places=(
            *_places(invert_only, "Invert every bit."),
            *in_codes.INVERT_ALL,
            *in_codes.writes_code(inverted_size, "Write the size and invert every bit.", SIGNED),
        ),
    ),
    Belief(
        id="sign-bit-only",
        says="To change the sign I change the sign bit.",
        step="negate",
        nudge="Add the two patterns: do you reach zero?",
        rule="Changing the sign changes every weight, so invert all bits and add one.",
        show="Invert 00110100 to 11001011, then add 1.",
        evidence="T",
        weight=2,
        cause="sign-and-magnitude rule carried over",
        places=(
            *_places(sign_bit_only, "Change the sign bit. The other digits stay as they are.", stores=False),
            *in_codes.SIGN_BIT,
        ),
    ),
    Belief(
        id="keep-sign-invert-rest",
        says="The sign bit is not part of the number, so I invert the rest and add one.",
        step="negate",
        nudge="Is your answer negative when it should be?",
        rule="The sign bit is inverted with the rest.",
        show="The 0 on the left becomes 1.",
        evidence="R",
        weight=2,
        cause="\u201cthe sign bit is not part of the number\u201d",
        places=(
            *_places(
                keep_sign_invert_rest,
                "Leave the sign bit; invert the others and add one in the last place.",
                scales=False,  # what it leaves of a negative mantissa is no size
            ),
            *in_codes.KEEP_SIGN,
        ),
        alike=("sign-bits-left-out",),
    ),
    Belief(
        id="add-then-invert",
        says="To change the sign I add one and then invert every bit.",
        step="negate",
        nudge="Try it on 0: what is \u22120?",
        rule="Invert first, add one second.",
        show="00110100 becomes 11001011, then 11001100.",
        evidence="R",
        weight=1,
        cause="order swapped",
        places=_places(add_then_invert, "Add one in the last place, then invert every bit."),
    ),
    Belief(
        id="sub-adds",
        says="I add the two numbers.",
        step="subtract",
        nudge="Is the answer smaller than what you started from?",
        rule="To subtract is to add the negative.",
        show="Negate 0.0010100 first.",
        evidence="T",
        weight=2,
        cause="step missed",
        places=(
            *acts(
                ("subtract",),
                "negate",
                subtract_adding,
                "Bring the second number down as it is.",
                FLOAT,
                INTEGER,
                FIXED,
            ),
            *in_codes.SUB_ADDS,
            *in_sizes.SUB_ADDS,
        ),
    ),
    Belief(
        id="sub-reversed",
        says="I take the first number from the second.",
        step="subtract",
        nudge="Which number is taken away?",
        rule="Negate the number after the minus sign.",
        show="6.5 + (\u22121.25).",
        evidence="T",
        weight=2,
        cause="the number with the larger exponent always put second",
        places=(
            *acts(
                ("subtract",),
                "order",
                subtract_reversed,
                "The first number is taken from the second.",
                FLOAT,
                INTEGER,
                FIXED,
                line="read",
            ),
            *in_codes.SUB_REVERSED,
            *in_sizes.SUB_REVERSED,
        ),
    ),
    Belief(
        id="neg-exponent-too",
        says="The negative of a number has the negative mantissa and the negative exponent.",
        step="subtract",
        nudge="Does the size change when the sign changes?",
        rule="Only the mantissa carries the sign.",
        show="E stays 3.",
        evidence="C",
        weight=1,
        cause="\u201cnegate the number\u201d taken as all its bits",
        places=(
            Place(
                ("subtract",),
                {"negate": negate_exponent_too, "exponent": take_second_exponent},
                {
                    "negate": "Negate the mantissa and the exponent.",
                    "add": "Add, and write the negated exponent under both.",
                },
            ),
        ),
    ),
    Belief(
        id="complement-both",
        says="In a subtraction I complement both numbers and add them.",
        step="subtract",
        nudge="Which of the two numbers is taken away?",
        rule="Complement the number that is taken away and no other.",
        show="6.5 stays 0.1101000; only 1.25 is negated.",
        evidence="R",
        weight=1,
        cause="two\u2019s complement taken as something done to every number",
        places=(
            *acts(
                ("subtract",),
                "negate",
                complement_both,
                "Invert every bit and add one, on both numbers.",
                FLOAT,
                INTEGER,
                FIXED,
            ),
            *in_codes.COMPLEMENT_BOTH,
        ),
    ),
    Belief(
        id="complement-own-width",
        says="I complement the second number in the digits it is written with.",
        step="subtract",
        nudge="How many digits has the other number?",
        rule="Write both numbers in the same width first, then complement.",
        show="011 becomes 0011 beside 1101; then invert all four digits and add one.",
        evidence="R",
        weight=2,
        cause="leading zeros left out before the sign is changed",
        places=(Place(("subtract",), {"digits": complement_own_width}, family="unsigned"),),
    ),
)
