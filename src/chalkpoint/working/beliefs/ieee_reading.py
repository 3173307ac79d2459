"""Beliefs about reading IEEE-style patterns: rules from a pattern's parts to a value."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import TypeAlias

from chalkpoint.numbers.formats import scaled
from chalkpoint.working.beliefs.belief import Belief, Place
from chalkpoint.working.beliefs.ieee import Parts, signed_size

__all__ = ["IEEE_READING"]

Reads: TypeAlias = Callable[[Parts], Fraction]


# === Rules ===


def _fraction(p: Parts) -> Fraction:
    return scaled(p.fraction, -p.fraction_bits)


def add_bias(p: Parts) -> Fraction:
    """Take stored + bias for the exponent."""
    return signed_size(p, 1 + _fraction(p), p.stored + p.bias)


def take_power_of_two(p: Parts) -> Fraction:
    """Take 2**(k-1) for the bias."""
    return signed_size(p, 1 + _fraction(p), p.stored - p.bias - 1)


def leave_bias(p: Parts) -> Fraction:
    """Take the stored field for the exponent."""
    return signed_size(p, 1 + _fraction(p), p.stored)


def leave_hidden_one(p: Parts) -> Fraction:
    """Read the significand of a normal number as 0.f."""
    return signed_size(p, _fraction(p), p.stored - p.bias)


def complement_negative(p: Parts) -> Fraction:
    """Where the sign is 1, take the two's complement of the fraction."""
    fraction = scaled(-p.fraction % (1 << p.fraction_bits), -p.fraction_bits) if p.negative else _fraction(p)
    return signed_size(p, 1 + fraction, p.stored - p.bias)


def read_as_normal(p: Parts) -> Fraction:
    """Read any stored exponent, 0 and all ones too, as that of a normal number."""
    return signed_size(p, 1 + _fraction(p), p.stored - p.bias)


def lead_with_first_one(p: Parts) -> Fraction:
    """Drop the fraction's leading zeros and put its first 1 before the point; the exponent stays."""
    if not p.fraction:
        return read_as_normal(p)
    return signed_size(p, scaled(p.fraction, 1 - p.fraction.bit_length()), p.stored - p.bias)


def subnormal_from_minus_bias(p: Parts) -> Fraction:
    """Where 0 is stored, take -bias for the exponent of 0.f."""
    return signed_size(p, _fraction(p), -p.bias) if p.stored == 0 else read_as_normal(p)


# === Beliefs ===


def _reading(rule: Reads) -> tuple[Place, ...]:
    return (Place(("decode",), {"value": rule}, family="IEEE"),)


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
        places=_reading(add_bias),
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
        places=_reading(take_power_of_two),
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
        places=_reading(leave_bias),
        kin=("bias-omitted",),
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
        places=_reading(leave_hidden_one),
        kin=("hidden-one-stored",),
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
        places=_reading(lead_with_first_one),
        kin=("hidden-one-missing",),
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
        places=_reading(complement_negative),
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
        places=_reading(read_as_normal),
        kin=("all-ones-as-number",),
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
        places=_reading(subnormal_from_minus_bias),
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
        places=_reading(read_as_normal),
        kin=("subnormal-as-normal",),
    ),
)
