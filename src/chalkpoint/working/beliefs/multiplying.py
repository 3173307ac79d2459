"""Beliefs about multiplying, ready for the methods of multiplication."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.numbers.carriers import wrap
from chalkpoint.numbers.formats import FloatFormat, Pattern
from chalkpoint.working.beliefs.belief import INTEGER, Belief, Place

__all__ = ["MULTIPLYING"]


# === Rules ===


def multiply_exponents(first: Pattern, second: Pattern) -> int:
    """Multiply the exponents.

    >>> multiply_exponents(Pattern(80, 3), Pattern(96, 2))
    6
    """
    return first.exponent * second.exponent


def multiply_unsigned(first: Pattern, second: Pattern, fmt: FloatFormat) -> Fraction:
    """Return the product of the mantissas, every weight positive.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> multiply_unsigned(Pattern(-80, 3), Pattern(88, 1), parse_format("8+4"))
    Fraction(121, 128)
    """
    whole = 1 << fmt.mantissa_bits
    return Fraction((first.mantissa % whole) * (second.mantissa % whole), 1 << (2 * fmt.places))


def keep_low_digits(product: int, bits: int) -> int:
    """Keep the low digits of a product as a signed number.

    >>> keep_low_digits(12 * 13, 8)
    -100
    """
    return int(wrap(product, bits))


# === Beliefs ===

MULTIPLYING = (
    Belief(
        id="mul-exponents-multiplied",
        says="To multiply I multiply the mantissas and the exponents.",
        step="multiply",
        nudge="2^3 × 2^2 = ?",
        rule="Multiply mantissas, add exponents.",
        show="3 + 2 = 5.",
        evidence="T",
        weight=2,
        cause="\u201cmultiply everything\u201d",
        places=(Place(("multiply",), {"exponents": multiply_exponents}),),
        kin=("exponents-added",),
    ),
    Belief(
        id="mul-pattern-unsigned",
        says="I multiply the mantissas as they are written.",
        step="multiply",
        nudge="What is the sign of negative times positive?",
        rule="Multiply sizes, then apply the sign, or use the weight \u22121.",
        show="5/8 × 11/16, then minus.",
        evidence="C",
        weight=2,
        cause="sign weight forgotten",
        places=(Place(("multiply",), {"product": multiply_unsigned}),),
        kin=("msb-unsigned", "mantissa-unsigned"),
    ),
    Belief(
        id="product-wraps",
        says="The product is what its columns hold.",
        step="multiply",
        nudge="How many digits can the product of two numbers need?",
        rule="Two numbers of m digits need up to 2m; compare the product with the range.",
        show="12 × 13 = 156, above 127.",
        evidence="R",
        weight=1,
        cause="no check of the range",
        places=(Place(("multiply",), {"product": keep_low_digits}, family=INTEGER),),
        kin=("wrap-accepted",),
    ),
)
