"""Beliefs about storing a value: its sign, its mantissa, its exponent."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.carriers import wrap
from chalkpoint.numbers.exact import is_dyadic
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.formats import Pattern, scaled
from chalkpoint.working.beliefs import code_places as in_codes
from chalkpoint.working.beliefs import size_reading as in_reading
from chalkpoint.working.beliefs.belief import FIXED, INTEGER, ONES, STORING, Belief, Place, acts
from chalkpoint.working.beliefs.coding import codes_negated
from chalkpoint.working.beliefs.fitting_sizes import fit_negated, fit_size_as, fitted_size, signs
from chalkpoint.working.beliefs.negating import sign_bit_only
from chalkpoint.working.course import Course
from chalkpoint.working.storing import StorePage, write_exponent

__all__ = ["ENCODING"]


# === Rules ===


def fit_from_sign_place(page: StorePage, course: Course) -> Pattern:
    """Start the significant digits in the sign place; the exponent is one less for it."""
    bits = course.float_format.mantissa_bits
    size = abs(page.value) * scaled(1, bits - page.exponent)
    code = size.numerator // size.denominator
    return Pattern(wrap(code if page.value > 0 else -code, bits), page.exponent - 1)


def fit_last_digits(page: StorePage, course: Course) -> Pattern:
    """Where the digits are too many, keep the last of them; negate afterwards."""
    places = course.number_format.places
    mantissa, exponent = fitted_size(page, course)
    if page.ends and page.number.bit_length() > places:
        mantissa, exponent = page.number & ((1 << places) - 1), page.exponent
    return Pattern(mantissa if page.value > 0 else -mantissa, exponent)


def fit_to_the_right(page: StorePage, course: Course) -> Pattern:
    """Put the significant digits at the right-hand end of the mantissa, 0s after the point."""
    mantissa, exponent = fitted_size(page, course)
    if page.ends:
        digits = _odd(abs(page.value))
        if digits.bit_length() <= course.number_format.places:
            mantissa = digits
    return Pattern(mantissa if page.value > 0 else -mantissa, exponent)


def fit_whole_number(page: StorePage, course: Course) -> Pattern:
    """Take the significant digits for a whole number, and the exponent that suits it."""
    mantissa, exponent = fitted_size(page, course)
    exponent -= course.number_format.places
    if mantissa and is_dyadic(abs(page.value)):
        zeros = (mantissa & -mantissa).bit_length() - 1
        mantissa, exponent = mantissa >> zeros, exponent + zeros
    return Pattern(mantissa if page.value > 0 else -mantissa, exponent)


def _odd(size: Fraction) -> int:
    """Return the significant digits of *size* as a whole number."""
    number = size.numerator
    return number >> ((number & -number).bit_length() - 1)


def invert_digits(number: int, places: int) -> int:
    """Invert the digits as they are written; zeros fill the width later."""
    return ~number


def _stored_under(page: StorePage, exponent: int, course: Course) -> StorePage:
    """Return the page with *exponent* written, or the word where its field cannot hold it."""
    fmt = course.float_format
    if fmt.holds(exponent):
        return page._replace(pattern=Pattern(page.mantissa, exponent))
    return page._replace(outcome="overflow" if exponent > fmt.highest_exponent else "underflow")


def exponent_one_less(page: StorePage, course: Course) -> StorePage:
    """Write the exponent of the form 1.xxx."""
    return _stored_under(page, page.exponent - 1, course)


def exponent_sign_magnitude(page: StorePage, course: Course) -> StorePage:
    """Write a negative exponent as a 1 and its size."""
    fmt = course.float_format
    if not fmt.lowest_exponent <= page.exponent < 0:
        return write_exponent(page, course)
    if page.exponent == fmt.lowest_exponent:
        return page._replace(outcome="overflow")
    code = fmt.lowest_exponent - page.exponent  # the leading bit and the size, read as two's complement
    return page._replace(pattern=Pattern(page.mantissa, code))


def exponent_flipped(page: StorePage, course: Course) -> StorePage:
    """Write the opposite of the exponent."""
    return _stored_under(page, -page.exponent, course)


def sign_and_size(number: int, fmt: FixedFormat) -> int:
    """Set the first bit of a negative number's size."""
    return number if number >= 0 else (1 << (fmt.bits - 1)) | -number


def one_behind_sign(fmt: FixedFormat) -> str:
    """Write a 1 for the minus, and the number 1 behind it."""
    return to_bits((1 << (fmt.bits - 1)) | 1, fmt.bits)


# === Beliefs ===

EXPONENTS = (
    Belief(
        id="scientific-exponent",
        says="I count places until the point stands after the first 1.",
        step="encode",
        nudge="Read it back: half the size?",
        rule="Count places until the point is before the first 1.",
        show="101.01 becomes 0.10101, three places.",
        evidence="T",
        weight=3,
        cause="mixed normal forms",
        places=acts(
            STORING, "exponent", exponent_one_less, "Write the places counted to the form 1.xxx, one less."
        ),
    ),
    Belief(
        id="exp-written-sign-mag",
        says="A negative exponent is written with a 1 in front of its size.",
        step="encode",
        nudge="Read your exponent back.",
        rule="Write \u22122 by negating 0010.",
        show="0010 becomes 1101 and then 1110.",
        evidence="T",
        weight=2,
        cause="systems mixed",
        places=acts(
            STORING,
            "exponent",
            exponent_sign_magnitude,
            "Write a 1 for the minus and the size of the exponent behind it.",
            signed=True,
        ),
    ),
    Belief(
        id="exp-sign-flipped",
        says="The point moved left, so the exponent is negative.",
        step="encode",
        nudge="Does the number you read back get larger or smaller?",
        rule="Point moved left when forming the mantissa: the exponent is positive.",
        show="5.25: left 3, so +3.",
        evidence="T",
        weight=3,
        cause="movement of the point and exponent confused",
        places=(
            *acts(
                STORING,
                "exponent",
                exponent_flipped,
                "The point moved left, so write the exponent with a minus (and the other way round).",
            ),
            *in_reading.EXPONENT_SIGN_FLIPPED,
        ),
    ),
)

MANTISSAS = (
    Belief(
        id="set-sign-bit",
        says="For a negative number I write the size and set the first bit to 1.",
        step="encode",
        nudge="Read your pattern back.",
        rule="Negate by inverting and adding one.",
        show="0.1010100 becomes 1.0101100.",
        evidence="T",
        weight=3,
        cause="sign and magnitude",
        places=(
            Place(STORING, fit_negated(sign_bit_only), {"fit": "Fit the size, then set the first bit to 1."}),
            *codes_negated(sign_bit_only, "Write the size, then set the first bit to 1."),
            *in_codes.writes_code(sign_and_size, "Write the size, then set the first bit to 1.", ONES),
            *in_codes.ends(
                "largest negative", one_behind_sign, "Set the first bit and the last.", (INTEGER, FIXED, ONES)
            ),
        ),
    ),
    Belief(
        id="no-sign-place",
        says="The mantissa starts with the first significant digit.",
        step="encode",
        nudge="Is a positive number allowed to start with 1?",
        rule="Positive mantissas start 0.1.",
        show="Write 0 before the point.",
        evidence="T",
        weight=2,
        cause="writing as for unsigned numbers",
        places=(
            Place(
                STORING,
                fit_size_as(fit_from_sign_place),
                {"fit": "Start the significant digits in the first place, with no place for the sign."},
            ),
        ),
    ),
    Belief(
        id="drop-leading-bits",
        says="When there are too many digits I keep the ones that fit at the right-hand end.",
        step="cut to width",
        nudge="Which bits are worth most?",
        rule="Keep the leading bits, cut the tail.",
        show="1010110 | 011.",
        evidence="C",
        weight=1,
        cause="\u201cfit the box\u201d from the right",
        places=(Place(STORING, fit_size_as(fit_last_digits), {"fit": "Keep the last digits that fit."}),),
    ),
    Belief(
        id="mantissa-padded-left",
        says="I fill the mantissa up with 0s in front of the digits.",
        step="encode",
        nudge="Do the first two bits differ?",
        rule="The digits start behind the sign place; 0s fill up on the right.",
        show="0.10101 and then 00.",
        evidence="R",
        weight=2,
        cause="padding as for whole numbers",
        places=(
            Place(
                STORING,
                fit_size_as(fit_to_the_right),
                {"fit": "Put the digits at the right-hand end, 0s in front of them."},
            ),
        ),
    ),
    Belief(
        id="encode-whole-mantissa",
        says="The mantissa is the digits as a whole number, and the exponent says where the point was.",
        step="encode",
        nudge="Where does the question put the point of the mantissa?",
        rule="The mantissa is a fraction: its point stands after the sign bit.",
        show="5.25 = 0.10101 × 2^3, not 10101 × 2^\u22122.",
        evidence="R",
        weight=1,
        cause="integer mantissa of another book",
        places=(
            Place(
                STORING,
                fit_size_as(fit_whole_number),
                {"fit": "Write the digits as a whole number, and take the exponent that suits it."},
            ),
        ),
    ),
    Belief(
        id="invert-before-padding",
        says="I invert the digits and then fill up with 0s on the right.",
        step="encode",
        nudge="Add it to the positive pattern: is it zero?",
        rule="Invert every bit and add one in the last place written; 0s may fill up after that.",
        show="0.10101 becomes 1.01010, and 1.01011 with one added.",
        evidence="R",
        weight=1,
        cause="the one left out, and the width filled too late",
        places=acts(
            STORING, "sign", signs(invert_digits), "Invert the digits. 0s will fill up on the right."
        ),
    ),
)

ENCODING = (*EXPONENTS, *MANTISSAS)
