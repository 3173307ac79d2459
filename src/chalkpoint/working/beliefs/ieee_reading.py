"""Beliefs about reading IEEE-style patterns: a sign, a biased exponent, a fraction with a hidden one."""

from __future__ import annotations

from chalkpoint.numbers.carriers import where
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.signed import Fields, SignMagnitudeFormat
from chalkpoint.working.beliefs import biased_exponents
from chalkpoint.working.beliefs import code_places as in_codes
from chalkpoint.working.beliefs import size_places as in_sizes
from chalkpoint.working.beliefs import size_reading as in_reading
from chalkpoint.working.beliefs.belief import EXCESS, IEEE, AnyRule, Belief, Place, acts
from chalkpoint.working.beliefs.implied_bits import IMPLIED_MISSING
from chalkpoint.working.beliefs.integer_rules import read_adding_bias, read_leaving_bias
from chalkpoint.working.size_values import SizeReadPage, read_exponent, read_size

__all__ = ["IEEE_READING"]


# === Rules; the page's stored exponent already has the bias taken off ===


def add_bias(page: SizeReadPage, fmt: SignMagnitudeFormat) -> SizeReadPage:
    """Take stored + bias for the exponent."""
    read = read_exponent(page, fmt)
    return read._replace(exponent=read.exponent + 2 * fmt.exponent.excess)


def take_power_of_two(page: SizeReadPage, fmt: SignMagnitudeFormat) -> SizeReadPage:
    """Take 2**(k-1) for the bias."""
    read = read_exponent(page, fmt)
    bias = 1 << (fmt.exponent_bits - 1)
    return read._replace(exponent=read.exponent + fmt.exponent.excess - bias)


def leave_bias(page: SizeReadPage, fmt: SignMagnitudeFormat) -> SizeReadPage:
    """Take the stored field for the exponent."""
    read = read_exponent(page, fmt)
    return read._replace(exponent=read.exponent + fmt.exponent.excess)


def leave_hidden_one(page: SizeReadPage, fmt: SignMagnitudeFormat) -> SizeReadPage:
    """Read the size as 0 point the fraction."""
    return page._replace(size=page.fraction)


def lead_with_first_one(page: SizeReadPage, fmt: SignMagnitudeFormat) -> SizeReadPage:
    """Drop the fraction's leading zeros and put its first 1 before the point."""
    if not page.fraction or not fmt.hidden:
        return read_size(page, fmt)
    return page._replace(size=page.fraction << (fmt.digits - page.fraction.bit_length()))


def complement_negative(page: SizeReadPage, fmt: SignMagnitudeFormat) -> SizeReadPage:
    """Where the sign is 1, take the two's complement of the fraction."""
    complement = -page.fraction & ((1 << fmt.fraction_bits) - 1)
    return page._replace(size=fmt.size(page.stored, where(page.sign == 1, complement, page.fraction)))


def exponent_as_normal(page: SizeReadPage, fmt: SignMagnitudeFormat) -> SizeReadPage:
    """Take the bias off the stored exponent, even where 0 is stored."""
    return page._replace(exponent=page.stored)


def size_as_normal(page: SizeReadPage, fmt: SignMagnitudeFormat) -> SizeReadPage:
    """Put a hidden one before the fraction, even where 0 is stored."""
    return page._replace(size=page.fraction + (fmt.hidden << fmt.fraction_bits))


def nothing_special(page: SizeReadPage, fmt: SignMagnitudeFormat) -> SizeReadPage:
    """Take no pattern for an infinity or NaN."""
    return page


def read_by_half(code: int, fmt: FixedFormat) -> int:
    """Take half the patterns off."""
    return code - (1 << (fmt.bits - 1))


def write_by_half(number: int, fmt: FixedFormat) -> int:
    """Add half the patterns."""
    return number + (1 << (fmt.bits - 1))


def smallest_normal(fmt: SignMagnitudeFormat) -> Fields:
    """Return the smallest number with a hidden one."""
    return fmt.smallest_normal


def largest_of_all(fmt: SignMagnitudeFormat) -> Fields:
    """Write a 1 in every place behind the sign."""
    return Fields(0, fmt.highest_stored, (1 << fmt.fraction_bits) - 1)


# === Beliefs ===


def _reading(slot: str, rule: AnyRule, said: str) -> tuple[Place, ...]:
    return acts(("decode",), slot, rule, said, IEEE)


IEEE_READING = (
    Belief(
        id="bias-added",
        says="The true exponent is the stored one plus the bias.",
        step="IEEE decode",
        nudge="Is the stored field ever negative?",
        rule="True E = stored \u2212 bias.",
        show="9 \u2212 7 = 2.",
        evidence="T",
        weight=3,
        cause="direction muddled",
        places=(
            *_reading("exponent", add_bias, "Add the bias to the stored exponent."),
            *in_codes.reads(read_adding_bias, "Add the excess to the stored number.", EXCESS),
            *biased_exponents.BIAS_ADDED,
        ),
    ),
    Belief(
        id="bias-power-of-two",
        says="The bias is a power of two.",
        step="IEEE decode",
        nudge="What bias goes with 4 bits here?",
        rule="The IEEE bias is 2^(k\u22121) \u2212 1.",
        show="8 \u2212 1 = 7.",
        evidence="T",
        weight=2,
        cause="excess 8 taught elsewhere",
        places=(
            *_reading(
                "exponent", take_power_of_two, "Take a power of two off the stored exponent for its bias."
            ),
            *in_codes.reads(read_by_half, "Take half the patterns off the stored number.", EXCESS),
            *in_codes.writes_code(write_by_half, "Add half the patterns.", EXCESS),
            *in_reading.BIAS_POWER_OF_TWO,
        ),
    ),
    Belief(
        id="bias-not-removed",
        says="The exponent is what stands in its field.",
        step="IEEE decode",
        nudge="How would this format write a number below 1?",
        rule="True E = stored \u2212 bias.",
        show="9 \u2212 7 = 2.",
        evidence="R",
        weight=2,
        cause="bias forgotten",
        places=(
            *_reading("exponent", leave_bias, "Take the stored exponent as it is."),
            *in_codes.reads(read_leaving_bias, "Take the stored number as it is.", EXCESS),
            *biased_exponents.BIAS_NOT_REMOVED,
        ),
    ),
    Belief(
        id="hidden-one-missing",
        says="The number is 0 point the fraction, times the power.",
        step="IEEE decode",
        nudge="Which bit is not stored?",
        rule="Normal numbers have 1 before the point.",
        show="1.101 × 4.",
        evidence="T",
        weight=3,
        cause="two\u2019s complement format carried over",
        places=(
            *_reading("size", leave_hidden_one, "Put a 0 before the fraction."),
            *in_sizes.HIDDEN_ONES_LEFT_OUT,
            *IMPLIED_MISSING,
        ),
    ),
    Belief(
        id="first-one-leads",
        says="The first 1 of the fraction goes before the point.",
        step="IEEE decode",
        nudge="Which digit stands before the point although nobody writes it?",
        rule="The hidden 1 stands before the point; every fraction bit stands after it, zeros too.",
        show="1.011, not 1.1.",
        evidence="R",
        weight=1,
        cause="scientific form looked for in the stored digits",
        places=_reading("size", lead_with_first_one, "Put the point behind the first 1 of the fraction."),
    ),
    Belief(
        id="ieee-negative-complemented",
        says="A negative fraction is in two\u2019s complement.",
        step="IEEE decode",
        nudge="Is IEEE sign-and-magnitude?",
        rule="Only the sign bit changes.",
        show="\u2212(1.010 × 4).",
        evidence="T",
        weight=2,
        cause="two\u2019s complement generalised",
        places=(
            *_reading(
                "size",
                complement_negative,
                "The sign is minus, so take the two\u2019s complement of the fraction.",
            ),
            *in_reading.FRACTION_COMPLEMENTED,
        ),
    ),
    Belief(
        id="subnormal-as-normal",
        says="An exponent field of 0 is read like any other.",
        step="IEEE decode",
        nudge="What is all zeros worth?",
        rule="Stored 0: significand 0.f, E = 1 \u2212 bias.",
        show="5/8 × 2^\u22126.",
        evidence="T",
        weight=2,
        cause="special case unknown",
        places=(
            Place(
                ("decode",),
                {"exponent": exponent_as_normal, "size": size_as_normal},
                {"exponent": "Take the bias off as always.", "size": "Put the hidden 1 before the fraction."},
                IEEE,
            ),
            *in_sizes.SUBNORMALS_AS_NORMAL,
        ),
    ),
    Belief(
        id="subnormals-unknown",
        says="The smallest number has the lowest exponent and a fraction of 0s.",
        step="range",
        nudge="What does an exponent field of 0 with a fraction of 1 stand for?",
        rule="Below the smallest normal number stand the subnormal ones: exponent field 0, no hidden 1.",
        show="0 0000 001.",
        evidence="T",
        weight=2,
        cause="special case unknown",
        places=in_reading.ends(
            "Take the smallest with a hidden 1.",
            {
                "smallest positive": smallest_normal,
                "largest negative": in_reading.negative(smallest_normal),
            },
        ),
    ),
    Belief(
        id="subnormal-exponent-minus-bias",
        says="A stored 0 means an exponent of minus the bias.",
        step="IEEE decode",
        nudge="Which number comes just below the least normal one?",
        rule="Stored 0 has the exponent of stored 1: 1 \u2212 bias.",
        show="1 \u2212 7 = \u22126.",
        evidence="R",
        weight=1,
        cause="0 \u2212 bias computed as for normal numbers",
        places=_reading("exponent", exponent_as_normal, "A stored 0 means minus the bias."),
    ),
    Belief(
        id="all-ones-as-number",
        says="An exponent field of all ones is read like any other.",
        step="IEEE decode",
        nudge="Is 1111 reserved?",
        rule="All ones: infinity where the fraction is 0, otherwise not a number.",
        show="+\u221e.",
        evidence="T",
        weight=2,
        cause="special case unknown",
        places=(
            Place(("decode",), {"special": nothing_special}, family=IEEE),
            *in_reading.ends(
                "Write a 1 in every place behind the sign.",
                {
                    "largest positive": largest_of_all,
                    "most negative": in_reading.negative(largest_of_all),
                },
            ),
        ),
    ),
)
