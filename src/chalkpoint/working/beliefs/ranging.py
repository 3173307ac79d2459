"""Beliefs about the extreme values of a format, and about what overflow, underflow and bits are for."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.formats import FloatFormat, Pattern
from chalkpoint.working.beliefs import code_places as in_codes
from chalkpoint.working.beliefs import size_reading as in_reading
from chalkpoint.working.beliefs.belief import FIXED, INTEGER, ONES, SIGNED, SIZE, Belief, Place, acts
from chalkpoint.working.beliefs.integer_rules import every_bit_one
from chalkpoint.working.extremes import EXTREMES, writes

__all__ = ["RANGING_BELIEFS"]

LARGEST, SMALLEST, _, LEAST = EXTREMES


# === Rules ===


def all_ones(fmt: FloatFormat) -> Pattern:
    """Every bit 1."""
    return Pattern(-1, fmt.exponent.read("1" * fmt.exponent_bits))


def one_at_the_end(fmt: FloatFormat) -> Pattern:
    """A single 1 in the last place of the mantissa, the lowest exponent."""
    return Pattern(1, fmt.lowest_exponent)


def opposite_of_largest(fmt: FloatFormat) -> Pattern:
    """The largest with a minus."""
    return Pattern(1 - (1 << fmt.places), fmt.highest_exponent)


def exponent_one_higher(fmt: FloatFormat) -> Pattern:
    """The largest mantissa with an exponent as far above zero as the lowest is below."""
    return Pattern((1 << fmt.places) - 1, -fmt.lowest_exponent)


def least_one_higher(fmt: FloatFormat) -> Pattern:
    """The most negative mantissa with that exponent."""
    return Pattern(-(1 << fmt.places), -fmt.lowest_exponent)


def normal_from_one(fmt: FloatFormat) -> Pattern:
    """A mantissa of 1.0 with the lowest exponent."""
    return Pattern(1 << fmt.places, fmt.lowest_exponent)


def largest_with_minus(fmt: FixedFormat) -> str:
    """The largest with a minus."""
    return fmt.field.write(-fmt.field.highest)


def underflows(value: Fraction, fmt: FloatFormat) -> bool:
    """Claim an underflow below the most negative number.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> [underflows(Fraction(x), parse_format("8+4")) for x in ("0.0005", "-200")]
    [False, True]
    """
    return value < fmt.value(EXTREMES[LEAST](fmt))


# === Beliefs ===

RANGING_BELIEFS = (
    Belief(
        id="largest-all-ones",
        says="The largest number has a 1 in every place.",
        step="range",
        nudge="What is the sign of all ones?",
        rule="Largest: 0.111\u2026 with exponent 0111.",
        show="0.1111111 0111.",
        evidence="T",
        weight=3,
        cause="largest as for unsigned numbers",
        places=(
            *acts(("range",), LARGEST, writes(LARGEST, all_ones), "Write a 1 in every place."),
            *in_reading.ends(
                "Write a 1 in every place.",
                {LARGEST: in_reading.every_bit_one, LEAST: in_reading.negative(in_reading.every_bit_one)},
                SIZE,
            ),
            *in_codes.ends(
                LARGEST, every_bit_one, "Write a 1 in every place.", (INTEGER, FIXED, ONES, SIGNED)
            ),
        ),
    ),
    Belief(
        id="smallest-one-at-end",
        says="The smallest number has a single 1 in the last place.",
        step="range",
        nudge="Is it normalised?",
        rule="Smallest normalised positive: 0.1 with the lowest exponent.",
        show="0.1000000 1000.",
        evidence="T",
        weight=3,
        cause="\u201cnormalised\u201d forgotten",
        places=acts(
            ("range",),
            SMALLEST,
            writes(SMALLEST, one_at_the_end),
            "Write a single 1 in the last place of the mantissa, and the lowest exponent.",
        ),
    ),
    Belief(
        id="mirror-range",
        says="The most negative number is the largest with a minus.",
        step="range",
        nudge="What is 1.0000000 worth?",
        rule="The most negative is \u22121 times two to the highest exponent.",
        show="\u22121 × 2^7.",
        evidence="T",
        weight=2,
        cause="symmetry assumed",
        places=(
            *acts(("range",), LEAST, writes(LEAST, opposite_of_largest), "Take the largest with a minus."),
            *in_codes.ends(LEAST, largest_with_minus, "Take the largest with a minus."),
        ),
    ),
    Belief(
        id="exponent-range-mirrored",
        says="The exponent goes as far up as it goes down.",
        step="range",
        nudge="Write the highest exponent in its bits.",
        rule="The highest exponent is one less than the size of the lowest.",
        show="In 4 bits: 0111 = 7.",
        evidence="R",
        weight=1,
        cause="symmetry assumed",
        places=(
            Place(
                ("range",),
                {
                    LARGEST: writes(LARGEST, exponent_one_higher),
                    LEAST: writes(LEAST, least_one_higher),
                },
                dict.fromkeys((LARGEST, LEAST), "Take an exponent as far above zero as the lowest is below."),
            ),
        ),
    ),
    Belief(
        id="normal-form-one-point",
        says="The smallest normalised mantissa is 1.0.",
        step="range",
        nudge="What does this format\u2019s first bit weigh?",
        rule="The smallest positive mantissa in normal form is 0.1.",
        show="0.1000000 is a half.",
        evidence="R",
        weight=1,
        cause="scientific form taken over",
        places=acts(
            ("range",),
            SMALLEST,
            writes(SMALLEST, normal_from_one),
            "Take a mantissa of 1.0 and the lowest exponent.",
        ),
    ),
    Belief(
        id="underflow-means-negative",
        says="Underflow is a number below the most negative one.",
        step="range",
        nudge="Too close to what?",
        rule="Underflow: too close to zero; beyond either end is overflow.",
        show="The least positive is 2^\u22129 = 0.00195\u2026",
        evidence="T",
        weight=3,
        cause="the meaning of the word",
        places=(Place(("range",), {"claim": underflows}),),
    ),
)
