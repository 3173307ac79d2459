"""Beliefs about multiplying."""

from __future__ import annotations

from chalkpoint.numbers.carriers import fits, opposite, where, wrap
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working import whole
from chalkpoint.working.beliefs import size_places as in_sizes
from chalkpoint.working.beliefs.belief import FIXED, INTEGER, UNSIGNED, Belief, Place, acts
from chalkpoint.working.multiplying import divide
from chalkpoint.working.page import IN_RANGE, TOO_LONG, Page

__all__ = ["MULTIPLYING"]


# === Rules ===


def multiply_exponents(page: Page, fmt: FloatFormat) -> Page:
    """Multiply the exponents."""
    return page._replace(exponent=page.first_exponent * page.second_exponent)


def multiply_unsigned(page: Page, fmt: FloatFormat) -> Page:
    """Multiply the mantissas with every weight positive."""
    digits = (1 << fmt.mantissa_bits) - 1
    product = (page.first & digits) * (page.second & digits)
    over = opposite(fits(product, fmt.mantissa_bits + fmt.places))
    return page._replace(total=product, extra=fmt.places, overflowed=over)


def multiply_rows(page: Page, fmt: FixedFormat) -> Page:
    """Multiply the rows with every weight positive."""
    digits = (1 << fmt.bits) - 1
    return page._replace(total=(page.first & digits) * (page.second & digits), extra=fmt.places)


def divide_rows(page: Page, fmt: FixedFormat) -> Page:
    """Divide the rows with every weight positive."""
    digits = (1 << fmt.bits) - 1
    return whole.divide(page._replace(first=page.first & digits, second=page.second & digits), fmt)


def round_quotient(page: Page, fmt: FixedFormat) -> Page:
    """Divide, and round the quotient to the nearest; a half goes up."""
    first, second = (where(number < 0, -number, number) for number in (page.first, page.second))
    size = ((first << (fmt.places + 1)) // second + 1) >> 1
    total = where((page.first < 0) != (page.second < 0), -size, size)
    return page._replace(total=total)


def keep_low_unsigned(page: Page, fmt: FixedFormat) -> Page:
    """Keep the low digits of a product."""
    digits = (1 << (fmt.bits + fmt.places)) - 1
    return page._replace(total=(page.first * page.second) & digits, extra=fmt.places)


def divide_unsigned(page: Page, fmt: FloatFormat) -> Page:
    """Divide the mantissas with every weight positive."""
    digits = (1 << fmt.mantissa_bits) - 1
    found = divide(page._replace(first=page.first & digits, second=page.second & digits), fmt)
    return page._replace(total=found.total, extra=found.extra)


def give_no_sign(page: Page, fmt: FloatFormat) -> Page:
    """Leave the quotient as it is, whatever the signs."""
    return page._replace(overflowed=opposite(fits(page.total, fmt.mantissa_bits + page.extra)))


def keep_low_digits(page: Page, fmt: FixedFormat) -> Page:
    """Keep the low digits of a product as a signed number."""
    return page._replace(total=wrap(page.first * page.second, fmt.bits + fmt.places), extra=fmt.places)


def keep_every_digit(page: Page, fmt: FixedFormat) -> Page:
    """Multiply the rows and write every digit of the product, however many there are."""
    product = (page.first & ((1 << fmt.bits) - 1)) * (page.second & ((1 << fmt.bits) - 1))
    return page._replace(total=product, outcome=where(product >> fmt.bits == 0, IN_RANGE, TOO_LONG))


def judge_nothing(page: Page, fmt: FixedFormat) -> Page:
    """Ask nothing of the product."""
    return page


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
        places=(
            *acts(("multiply",), "exponents", multiply_exponents, "Multiply the exponents."),
            *in_sizes.EXPONENTS_MULTIPLIED,
        ),
    ),
    Belief(
        id="mul-pattern-unsigned",
        says="I multiply and divide mantissas as they are written.",
        step="multiply",
        nudge="What is the sign of negative times positive?",
        rule="Multiply sizes, then apply the sign, or use the weight \u22121.",
        show="5/8 × 11/16, then minus.",
        evidence="C",
        weight=2,
        cause="sign weight forgotten",
        places=(
            *acts(
                ("multiply",),
                "product",
                multiply_unsigned,
                "Multiply the mantissas as they are written, every weight positive.",
            ),
            Place(
                ("divide",),
                {"quotient": divide_unsigned, "sign": give_no_sign},
                {
                    "quotient": "Divide the mantissas as they are written, every weight positive.",
                    "sign": "There is no sign to give.",
                },
            ),
            *acts(
                ("divide",),
                "quotient",
                divide_rows,
                "Divide the rows as they are written, every weight positive.",
                INTEGER,
                FIXED,
            ),
            *acts(
                ("multiply",),
                "product",
                multiply_rows,
                "Multiply the rows as they are written, every weight positive.",
                INTEGER,
                FIXED,
            ),
        ),
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
        places=(
            *acts(
                ("multiply",),
                "product",
                keep_low_digits,
                "Multiply, and keep the last digits that fit.",
                INTEGER,
            ),
            *acts(
                ("multiply",),
                "product",
                keep_low_unsigned,
                "Multiply, and keep the last digits that fit.",
                UNSIGNED,
            ),
        ),
    ),
    Belief(
        id="product-in-full",
        says="Every digit of the product is part of the answer.",
        step="multiply",
        nudge="How many bits has the answer?",
        rule="Keep as many digits on the right as the width has; the others are copies of the sign or an overflow.",
        show="10 bits: 1111 0111 1011 1000 keeps 11 1011 1000.",
        evidence="R",
        weight=1,
        cause="digits past the width not dropped",
        places=(
            Place(
                ("multiply",),
                {"product": keep_every_digit, "carry": judge_nothing},
                {"product": "Multiply the rows as they are written, and keep every digit."},
                INTEGER,
            ),
        ),
    ),
    Belief(
        id="quotient-rounded",
        says="I round the quotient to the nearest.",
        step="divide",
        nudge="What is left over, and is it less than the divisor?",
        rule="The quotient is cut: what is left is the remainder.",
        show="7 \u00f7 2 is 3, remainder 1.",
        evidence="T",
        weight=2,
        cause="division of decimals taken over",
        policy=True,
        places=acts(
            ("divide",),
            "quotient",
            round_quotient,
            "Divide and round to the nearest.",
            INTEGER,
            FIXED,
            UNSIGNED,
        ),
    ),
)
