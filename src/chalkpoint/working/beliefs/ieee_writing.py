"""Beliefs about writing IEEE-style patterns, and adding and multiplying them."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

from chalkpoint.numbers.bits import scaled, to_bits
from chalkpoint.numbers.rounding import DIRECTIONS
from chalkpoint.numbers.signed import Fields, SignMagnitudeFormat
from chalkpoint.working.beliefs import biased_exponents
from chalkpoint.working.beliefs import code_places as in_codes
from chalkpoint.working.beliefs import size_places as in_sizes
from chalkpoint.working.beliefs.belief import EXCESS, IEEE, STORING, AnyRule, Belief, Place, acts
from chalkpoint.working.beliefs.implied_bits import IMPLIED_STORED
from chalkpoint.working.beliefs.integer_rules import write_as_twos, write_bias_less_number
from chalkpoint.working.course import Course
from chalkpoint.working.page import IN_RANGE
from chalkpoint.working.size_values import SizeStorePage, store_packed
from chalkpoint.working.sizes import SizePage

__all__ = ["CUT_THE_FRACTION", "IEEE_WRITING"]

Writes: TypeAlias = Callable[[SizeStorePage, SignMagnitudeFormat], tuple[int, int] | None]


# === Rules for writing: a page -> the exponent code and the fraction, each cut to its field ===


def _excess(fmt: SignMagnitudeFormat) -> int:
    return fmt.exponent.excess


def _first_digits(page: SizeStorePage, count: int) -> int:
    """Return the first *count* digits of the size, from its first 1 on."""
    past = page.number.bit_length() - count
    return page.number >> past if past >= 0 else page.number << -past


def _scientific_exponent(page: SizeStorePage) -> int:
    return page.number.bit_length() - 1 - page.places


def store_leading_one(page: SizeStorePage, fmt: SignMagnitudeFormat) -> tuple[int, int]:
    """Write the first digits of the size into the fraction, the leading 1 with them."""
    return _scientific_exponent(page) + _excess(fmt), _first_digits(page, fmt.fraction_bits)


def omit_bias(page: SizeStorePage, fmt: SignMagnitudeFormat) -> tuple[int, int]:
    """Store the true exponent as it is."""
    return page.exponent, page.size


def store_power(page: SizeStorePage, fmt: SignMagnitudeFormat) -> tuple[int, int]:
    """Store two to the power of the exponent."""
    power = scaled(1, page.exponent)
    return power.numerator // power.denominator, page.size


def count_sign_digit(page: SizeStorePage, fmt: SignMagnitudeFormat) -> tuple[int, int]:
    """Put the sign bit in front of the digits and count it as the leading 1."""
    return _scientific_exponent(page) + 1 + _excess(fmt), _first_digits(page, fmt.fraction_bits)


def leave_below_one(page: SizeStorePage, fmt: SignMagnitudeFormat) -> tuple[int, int] | None:
    """Store a size below 1 with the bias for its exponent and its fixed-point digits as the fraction."""
    if abs(page.value) >= 1:
        return None
    digits = abs(page.value) * scaled(1, fmt.fraction_bits)
    return _excess(fmt), digits.numerator // digits.denominator


def keep_decimal_exponent(page: SizeStorePage, fmt: SignMagnitudeFormat) -> tuple[int, int]:
    """Of d × 10^k, d in [1, 10), store k + bias and the binary digits of d's fraction."""
    size, power = abs(page.value), 0
    while size >= 10:
        size, power = size / 10, power + 1
    while size < 1:
        size, power = size * 10, power - 1
    digits = size * scaled(1, fmt.fraction_bits)
    return power + _excess(fmt), digits.numerator // digits.denominator


def packs(write: Writes, *kinds: str) -> AnyRule:
    """Return *write* as a rule for the line "pack", acting where the right pattern is of one of *kinds*."""

    def pack(page: SizeStorePage, course: Course) -> SizeStorePage:
        fmt = course.size_format
        usual = store_packed(page, course)
        if not fmt.hidden or usual.pattern is None or fmt.kind(usual.pattern) not in kinds:
            return usual
        fields = write(page, fmt)
        if fields is None:
            return usual
        code, fraction = fields
        exponent = fmt.exponent.read(to_bits(code, fmt.exponent_bits))
        pattern = Fields(page.sign, exponent, fraction & ((1 << fmt.fraction_bits) - 1))
        return usual._replace(pattern=pattern, outcome="in range")

    pack.__name__ = f"pack_{write.__name__}"
    return pack


def cut_size(page: SizeStorePage, course: Course) -> SizeStorePage:
    """Keep the digits that fit and drop the tail."""
    size = course.size_format.rounded(page.value, DIRECTIONS["toward zero"]).size
    return page._replace(size=size, carried=False)


def pack_cut(page: SizeStorePage, course: Course) -> SizeStorePage:
    """Write the fields of a size that was cut; past the largest, what the course says."""
    over = page.exponent > course.size_format.highest_exponent
    return store_packed(page, course if over else course.with_(rounding="toward zero"))


#: Where a size is to be stored and rounded, and is cut.
CUT_THE_FRACTION = Place(
    STORING,
    {"round": cut_size, "pack": pack_cut},
    {"round": "Keep the digits that fit and drop the rest.", "pack": "Write the digits that were kept."},
    IEEE,
)


# === Rules for arithmetic ===


def add_words(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Add the two words as whole numbers."""
    operands = (
        Fields(page.first_sign, page.first_stored, page.first_fraction),
        Fields(page.second_sign, page.second_stored, page.second_fraction),
    )
    total = sum(int(fmt.write(pattern).replace(" ", ""), 2) for pattern in operands)
    sign, stored, fraction = fmt.read(to_bits(total, fmt.bits))
    return page._replace(sign=sign, stored=stored, fraction=fraction, outcome=IN_RANGE)


def keep_both_biases(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Add the stored exponents of a product and leave both biases in."""
    return page._replace(exponent=page.first_exponent + page.second_exponent + fmt.exponent.excess)


# === Beliefs ===


def _writing(write: Writes, said: str, *kinds: str) -> tuple[Place, ...]:
    rule = packs(write, *(kinds or ("normal",)))
    return acts(STORING, "pack", rule, said, IEEE)


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
        places=(*_writing(store_leading_one, "Write the leading 1 first in the fraction."), *IMPLIED_STORED),
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
        places=(
            *_writing(omit_bias, "Store the exponent as plain binary, without the bias."),
            *in_codes.writes_code(write_as_twos, "Write the number as it is, without the excess.", EXCESS),
        ),
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
        places=_writing(store_power, "Store the power of two."),
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
        places=_writing(
            leave_below_one,
            "The size is below 1: store the bias, and the digits after the point.",
            "normal",
            "subnormal",
        ),
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
        places=_writing(
            keep_decimal_exponent,
            "Store the power of ten plus the bias, and the fraction of the decimal digits in binary.",
            "normal",
            "subnormal",
        ),
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
        places=_writing(
            count_sign_digit, "Put the sign bit in front of the digits and count it as the leading 1."
        ),
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
        places=(
            *acts(("add",), "pack", add_words, "Add the two words.", IEEE),
            *in_codes.ADD_COLUMNS,
        ),
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
        places=(
            *acts(("multiply",), "exponents", keep_both_biases, "Add the stored exponents.", IEEE),
            *in_codes.BIAS_KEPT,
            *biased_exponents.BIAS_KEPT,
        ),
    ),
    Belief(
        id="bias-not-put-back",
        says="I subtract the stored numbers, and that is the answer.",
        step="IEEE divide",
        nudge="How many biases are left in the difference?",
        rule="Each stored number has the bias in it; their difference has none, so put one back.",
        show="8 \u2212 5 + 7 = 10.",
        evidence="T",
        weight=2,
        cause="fields subtracted as whole numbers",
        places=(
            *in_sizes.BIAS_NOT_PUT_BACK,
            *in_codes.BIAS_NOT_PUT_BACK,
            *biased_exponents.BIAS_NOT_PUT_BACK,
        ),
    ),
    Belief(
        id="bias-less-number",
        says="I take the number off the bias.",
        step="IEEE encode",
        nudge="Does a larger exponent have a larger code?",
        rule="Store E + bias.",
        show="2 + 7 = 9.",
        evidence="T",
        weight=1,
        cause="direction muddled",
        places=in_codes.writes_code(write_bias_less_number, "Take the number off the excess.", EXCESS),
    ),
    Belief(
        id="signs-ignored",
        says="I add the sizes and keep the first sign.",
        step="IEEE add",
        nudge="Are the signs alike?",
        rule="Where the signs differ, take the smaller size from the larger and write the larger\u2019s sign.",
        show="+1.5 and \u22120.5 make +1.",
        evidence="R",
        weight=2,
        cause="the sign bit left out of the addition",
        places=(*in_sizes.SIGNS_IGNORED, *in_codes.SIGNS_IGNORED),
    ),
    Belief(
        id="ties-go-up",
        says="Half way between two numbers I round up.",
        step="round",
        nudge="Does the digit above the half end in 0 or in 1?",
        rule="A tie goes to the neighbour whose last digit is 0.",
        show="1.000 | 1 becomes 1.000; 1.001 | 1 becomes 1.010.",
        evidence="T",
        weight=2,
        cause="decimal rounding habit",
        policy=True,
        places=in_sizes.TIES_UP,
    ),
)
