"""Beliefs about writing IEEE-style patterns, and adding and multiplying them.

Rules for writing take a value and the widths of exponent and fraction, and return the pattern; the
fraction is cut. Rules for arithmetic take the words.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import TypeAlias

from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.formats import scaled
from chalkpoint.working.beliefs.belief import Belief, Place
from chalkpoint.working.beliefs.ieee import packed, parts, scientific

__all__ = ["IEEE_WRITING"]

Writes: TypeAlias = Callable[[Fraction, int, int], str]


# === Rules ===


def _bias(exponent_bits: int) -> int:
    return (1 << (exponent_bits - 1)) - 1


def _cut(digits: Fraction, places: int) -> int:
    """Return the first *places* binary places of *digits*, which lies in [0, 1)."""
    wide = digits * scaled(1, places)
    return wide.numerator // wide.denominator


def _pack(value: Fraction, stored: int, fraction: int, exponent_bits: int, fraction_bits: int) -> str:
    return packed(
        negative=value < 0,
        stored=stored,
        fraction=fraction,
        exponent_bits=exponent_bits,
        fraction_bits=fraction_bits,
    )


def store_leading_one(value: Fraction, exponent_bits: int, fraction_bits: int) -> str:
    """Write the first digits of the significand into the fraction, the leading 1 with them."""
    significand, exponent = scientific(value)
    fraction = _cut(significand / 2, fraction_bits)
    return _pack(value, exponent + _bias(exponent_bits), fraction, exponent_bits, fraction_bits)


def cut_fraction(value: Fraction, exponent_bits: int, fraction_bits: int) -> str:
    """Write the first digits after the hidden one and drop the tail."""
    significand, exponent = scientific(value)
    fraction = _cut(significand - 1, fraction_bits)
    return _pack(value, exponent + _bias(exponent_bits), fraction, exponent_bits, fraction_bits)


def omit_bias(value: Fraction, exponent_bits: int, fraction_bits: int) -> str:
    """Store the true exponent as it is."""
    significand, exponent = scientific(value)
    return _pack(value, exponent, _cut(significand - 1, fraction_bits), exponent_bits, fraction_bits)


def store_power(value: Fraction, exponent_bits: int, fraction_bits: int) -> str:
    """Store two to the power of the exponent."""
    significand, exponent = scientific(value)
    power = scaled(1, exponent)
    stored = power.numerator // power.denominator
    return _pack(value, stored, _cut(significand - 1, fraction_bits), exponent_bits, fraction_bits)


def leave_below_one(value: Fraction, exponent_bits: int, fraction_bits: int) -> str:
    """Store a size below 1 with the bias for its exponent and its fixed-point digits as the fraction."""
    if abs(value) >= 1:
        return cut_fraction(value, exponent_bits, fraction_bits)
    return _pack(value, _bias(exponent_bits), _cut(abs(value), fraction_bits), exponent_bits, fraction_bits)


def keep_decimal_exponent(value: Fraction, exponent_bits: int, fraction_bits: int) -> str:
    """Of d × 10^k, d in [1, 10), store k + bias and the binary digits of d's fraction."""
    size, power = abs(value), 0
    while size >= 10:
        size, power = size / 10, power + 1
    while size < 1:
        size, power = size * 10, power - 1
    digits = size - size.numerator // size.denominator
    stored = power + _bias(exponent_bits)
    return _pack(value, stored, _cut(digits, fraction_bits), exponent_bits, fraction_bits)


def count_sign_digit(value: Fraction, exponent_bits: int, fraction_bits: int) -> str:
    """Put the sign bit in front of the digits and count it as the leading 1."""
    significand, exponent = scientific(value)
    stored = exponent + 1 + _bias(exponent_bits)
    return _pack(value, stored, _cut(significand / 2, fraction_bits), exponent_bits, fraction_bits)


def add_words(first: str, second: str) -> str:
    """Add the two words as whole numbers.

    >>> add_words("0 1001 101", "0 0111 011")
    '1 0001 000'
    """
    p = parts(first)
    total = int(first.replace(" ", ""), 2) + int(second.replace(" ", ""), 2)
    word = to_bits(total, 1 + p.exponent_bits + p.fraction_bits)
    return f"{word[0]} {word[1 : 1 + p.exponent_bits]} {word[1 + p.exponent_bits :]}"


def keep_both_biases(first: str, second: str) -> int:
    """Add the stored exponents of a product and leave both biases in.

    >>> keep_both_biases("0 1000 101", "0 0101 110")
    13
    """
    return parts(first).stored + parts(second).stored


# === Beliefs ===


def _writing(rule: Writes) -> tuple[Place, ...]:
    return (Place(("encode",), {"pattern": rule}, family="IEEE"),)


IEEE_WRITING = (
    Belief(
        id="hidden-one-stored",
        says="The fraction field starts with the leading 1.",
        step="IEEE encode",
        nudge="Can the first significand bit be 0?",
        rule="Store only what follows the leading 1.",
        show="1.101 becomes 101.",
        evidence="T",
        weight=3,
        cause="two\u2019s complement format carried over",
        places=_writing(store_leading_one),
        kin=("hidden-one-missing",),
    ),
    Belief(
        id="bias-omitted",
        says="I store the exponent in plain binary.",
        step="IEEE encode",
        nudge="How would you write an exponent of \u22122?",
        rule="Store E + bias.",
        show="2 + 7 = 9.",
        evidence="R",
        weight=2,
        cause="bias forgotten",
        places=_writing(omit_bias),
        kin=("bias-not-removed",),
    ),
    Belief(
        id="exponent-stores-power",
        says="The exponent field holds the power of two itself.",
        step="IEEE encode",
        nudge="How large a power would 4 bits hold then?",
        rule="Store the exponent plus the bias, not the power.",
        show="2^2: store 2 + 7.",
        evidence="R",
        weight=1,
        cause="exponent and power confused",
        places=_writing(store_power),
    ),
    Belief(
        id="below-one-no-exponent",
        says="A number below 1 needs no exponent.",
        step="IEEE encode",
        nudge="Which digit will the hidden 1 stand for?",
        rule="Move the point behind the first 1; the exponent is negative.",
        show="0.0111 = 1.11 × 2^\u22122.",
        evidence="R",
        weight=1,
        cause="exponents met only for large numbers",
        places=_writing(leave_below_one),
    ),
    Belief(
        id="decimal-exponent-kept",
        says="I use the exponent of the number in scientific form, in base ten.",
        step="IEEE encode",
        nudge="In which base is that exponent?",
        rule="Write the number in binary first, then place the point.",
        show="65 = 1000001 = 1.000001 × 2^6.",
        evidence="R",
        weight=1,
        cause="decimal standard form taken over",
        places=_writing(keep_decimal_exponent),
        kin=("decimal-standard-form",),
    ),
    Belief(
        id="sign-digit-counted",
        says="The sign bit is the first digit of the number.",
        step="IEEE encode",
        nudge="How large is the size without its sign?",
        rule="The sign has a field of its own; the first 1 of the size is the hidden one.",
        show="110.1 = 1.101 × 2^2.",
        evidence="R",
        weight=1,
        cause="sign place of two\u2019s complement carried over",
        places=_writing(count_sign_digit),
    ),
    Belief(
        id="words-added-as-integers",
        says="To add two patterns I add the words.",
        step="IEEE add",
        nudge="What became of the exponents?",
        rule="Unpack the fields, align, add, and pack again.",
        show="1.101 × 2^2 and 1.011 × 2^0.",
        evidence="R",
        weight=1,
        cause="a pattern taken for a whole number",
        places=(Place(("add",), {"pattern": add_words}, family="IEEE"),),
    ),
    Belief(
        id="bias-kept-twice",
        says="I add the stored exponents.",
        step="IEEE multiply",
        nudge="How many biases are in the sum?",
        rule="Subtract one bias.",
        show="8 + 5 \u2212 7 = 6.",
        evidence="T",
        weight=3,
        cause="fields added as whole numbers",
        places=(Place(("multiply",), {"exponent": keep_both_biases}, family="IEEE"),),
    ),
)
