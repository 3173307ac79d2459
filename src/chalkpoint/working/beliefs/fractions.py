"""Beliefs about digits after the binary point: reading them, writing them, negating them.

What a pupil believes of a fraction's digits also shows when a value is stored in floating point:
the digits are then those of the line "size" or "sign", and the rest follows from them.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from chalkpoint.numbers.bits import to_bits, with_point
from chalkpoint.numbers.carriers import wrap
from chalkpoint.numbers.exact import is_dyadic, write_decimal
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.formats import scaled
from chalkpoint.working.beliefs import code_places as in_codes
from chalkpoint.working.beliefs.belief import (
    EXCESS,
    FIXED,
    ONES,
    SIGNED,
    STORING,
    UNSIGNED,
    AnyRule,
    Belief,
    Place,
    acts,
)
from chalkpoint.working.beliefs.fitting_sizes import Digits, signs, sizes
from chalkpoint.working.course import Course
from chalkpoint.working.page import Page
from chalkpoint.working.whole_values import WholeReadPage, WholeStorePage, place_point

__all__ = ["FRACTIONS"]


WITH_A_POINT = (FIXED, UNSIGNED, ONES, SIGNED, EXCESS)  # families whose formats may have places after a point


# === Rules for reading: digits with a point -> value ===


def _parts(digits: str) -> tuple[int, str]:
    whole, _, fraction = digits.partition(".")
    return int(whole or "0", 2), fraction


def read_as_decimal_digits(digits: str) -> Fraction:
    """Read the fraction's bits as a whole number and write that after a decimal point."""
    whole, fraction = _parts(digits)
    number = int(fraction, 2)
    return whole + Fraction(number, 10 ** len(str(number)))


def read_tenths(digits: str) -> Fraction:
    """Give the places after the point the weights 1/10, 1/100 and so on."""
    whole, fraction = _parts(digits)
    return whole + Fraction(int(fraction), 10 ** len(fraction))


def read_mirrored(digits: str) -> Fraction:
    """Give the last place 1/2 and the places before it less and less."""
    whole, fraction = _parts(digits)
    return whole + scaled(int(fraction[::-1], 2), -len(fraction))


def read_from_one(digits: str) -> Fraction:
    """Give the first place after the point the weight 1."""
    whole, fraction = _parts(digits)
    return whole + scaled(int(fraction, 2), 1 - len(fraction))


# === Rules for writing: size -> digits with a point ===


def write_digits_as_integer(size: Fraction) -> Digits | None:
    """Convert the digits after the decimal point as a whole number."""
    decimal = write_decimal(size)
    if decimal is None or "." not in decimal:
        return None
    whole, fraction = (int(part) for part in decimal.split("."))
    places = fraction.bit_length()
    return (whole << places) + fraction, places


def write_bits_backwards(size: Fraction) -> Digits | None:
    """List the bits of doubling last to first."""
    if not is_dyadic(size) or size.denominator == 1:
        return None
    places = size.denominator.bit_length() - 1
    whole, fraction = divmod(size.numerator, size.denominator)
    return (whole << places) + int(to_bits(fraction, places)[::-1], 2), places


def write_first_period(size: Fraction) -> Digits | None:
    """Stop where a remainder comes back, as if the digits ended there."""
    if is_dyadic(size):
        return None
    number, rest = divmod(size.numerator, size.denominator)
    seen, places = {rest}, 0
    while True:
        bit, rest = divmod(rest << 1, size.denominator)
        number, places = (number << 1) + bit, places + 1
        if rest in seen:
            return number, places
        seen.add(rest)


# === Rules for a negative: (number, places) of the size, its width -> the pattern as an integer ===


def negate_whole_part(number: int, places: int) -> int:
    """Negate the whole part and leave the digits after the point."""
    whole = number >> places
    return (-whole << places) + (number - (whole << places))


def add_one_in_units(number: int, places: int) -> int:
    """Invert every bit and add one in the units place."""
    return ~number + (1 << places)


def invert_whole_part(number: int, places: int) -> int:
    """Invert the digits before the point only, then add one in the last place."""
    whole = number >> places
    return (~whole << places) + (number - (whole << places)) + 1


# === The same as rules for a fixed-point pattern ===


def _read(read: Callable[[str], Fraction]) -> AnyRule:
    def scale(page: WholeReadPage, fmt: FixedFormat) -> WholeReadPage:
        if not fmt.places:
            return place_point(page, fmt)
        size = read(with_point(to_bits(abs(page.number), fmt.bits + 1), fmt.places))
        return page._replace(value=-size if page.number < 0 else size)

    scale.__name__ = f"scale_{read.__name__}"
    return scale


def _written(write: Callable[[Fraction], Digits | None]) -> AnyRule:
    def size(page: WholeStorePage, course: Course) -> WholeStorePage:
        digits = write(abs(page.value)) if page.value else None
        if digits is None:
            return page
        size = scaled(digits[0], -digits[1])
        return page._replace(value=-size if page.value < 0 else size)

    size.__name__ = f"whole_{write.__name__}"
    return size


def _negated(negate: Callable[[int, int], int]) -> AnyRule:
    def negate_fixed(page: Page, fmt: FixedFormat) -> Page:
        return page._replace(second=wrap(negate(page.second, fmt.places), fmt.bits))

    negate_fixed.__name__ = f"fixed_{negate.__name__}"
    return negate_fixed


def _opposite(negate: Callable[[int, int], int]) -> Callable[[int, FixedFormat], int]:
    def opposite(number: int, fmt: FixedFormat) -> int:
        return number if number >= 0 else negate(-number, fmt.places)

    opposite.__name__ = f"opposite_{negate.__name__}"
    return opposite


# === Beliefs ===


def _reads(read: Callable[[str], Fraction], said: str) -> tuple[Place, ...]:
    return acts(("decode",), "scale", _read(read), said, *WITH_A_POINT)


def _writes(write: Callable[[Fraction], Digits | None], said: str) -> tuple[Place, ...]:
    return (
        *acts(STORING, "size", sizes(write), said),
        *acts(STORING, "size", _written(write), said, *WITH_A_POINT),
    )


def _negates(negate: Callable[[int, int], int], said: str) -> tuple[Place, ...]:
    return (
        *acts(STORING, "sign", signs(negate), said),
        *acts(("negate",), "negate", _negated(negate), said, FIXED),
        *in_codes.writes_code(_opposite(negate), said, FIXED),
    )


FRACTIONS = (
    Belief(
        id="frac-read-as-whole",
        says="The digits after the point make a number: .101 is 5, so .5.",
        step="read fraction",
        nudge="What is the first place after the point worth?",
        rule="The places are 1/2, 1/4, 1/8 and so on.",
        show="0.5 + 0.125 = 0.625.",
        evidence="T",
        weight=2,
        cause="whole-number reading carried past the point",
        places=_reads(
            read_as_decimal_digits,
            "Read the digits after the point as a whole number, and write it after the decimal point.",
        ),
    ),
    Belief(
        id="frac-tenths",
        says="After the point come tenths, hundredths and so on.",
        step="read fraction",
        nudge="Which base is this?",
        rule="Each place is half of the one before.",
        show="1/2 + 0 + 1/8.",
        evidence="T",
        weight=2,
        cause="decimal place value carried over",
        places=_reads(read_tenths, "Give the places after the point the weights 1/10, 1/100 and so on."),
    ),
    Belief(
        id="frac-weights-mirrored",
        says="The weights after the point grow from right to left, starting at 1/2.",
        step="read fraction",
        nudge="Which place touches the point?",
        rule="The place next to the point is 1/2.",
        show=".110 = 1/2 + 1/4.",
        evidence="C",
        weight=1,
        cause="whole-number weights mirrored wrongly",
        places=_reads(read_mirrored, "Give the last place 1/2, and the places before it less and less."),
    ),
    Belief(
        id="frac-starts-at-one",
        says="The first place after the point is 2^0.",
        step="read fraction",
        nudge="Is 0.1 in binary one or a half?",
        rule="Left of the point ends at 1, right of it starts at 1/2.",
        show=".011 = 1/4 + 1/8.",
        evidence="C",
        weight=2,
        cause="weights counted from 2^0",
        places=_reads(read_from_one, "Give the first place after the point the weight 1."),
    ),
    Belief(
        id="frac-digits-as-integer",
        says="I turn the digits after the decimal point into binary as a number.",
        step="write fraction",
        nudge="Does your pattern equal 6.25 when read back?",
        rule="Double the fraction repeatedly and collect the whole parts.",
        show="0.25, 0.5 (0), 1.0 (1): .01.",
        evidence="T",
        weight=3,
        cause="the whole-number method used again",
        places=_writes(
            write_digits_as_integer, "Write the digits after the decimal point as a binary number."
        ),
    ),
    Belief(
        id="frac-bits-bottom-up",
        says="I read the bits of the doublings upwards.",
        step="write fraction",
        nudge="Is the first bit 1 when the fraction is below a half?",
        rule="The first doubling gives the 1/2 place.",
        show=".375: 0, 1, 1.",
        evidence="T",
        weight=2,
        cause="the order of halving copied to doubling",
        places=_writes(write_bits_backwards, "List the bits of the doublings last to first."),
    ),
    Belief(
        id="recurring-stops",
        says="When a remainder comes back the digits are finished.",
        step="write fraction",
        nudge="What do the doublings do after a remainder comes back?",
        rule="From there the digits repeat for ever; the answer is cut, not finished.",
        show="0.1: 0.0 0011 0011 \u2026",
        evidence="R",
        weight=1,
        cause="the period taken for the whole",
        places=_writes(write_first_period, "Stop where a remainder comes back."),
    ),
    Belief(
        id="negate-whole-part-only",
        says="I negate the part before the point and leave the fraction.",
        step="write negative",
        nudge="Read it back: \u22125 + 0.25 is?",
        rule="Negate the whole pattern, one added in the last place.",
        show="00101.010 becomes 11010.101, and 0.001 is added.",
        evidence="T",
        weight=2,
        cause="number split at the point",
        places=_negates(negate_whole_part, "Negate the digits before the point and leave those after it."),
    ),
    Belief(
        id="invert-add-one-at-point",
        says="I invert everything and add 1.",
        step="write negative",
        nudge="Where is the least significant bit?",
        rule="The one goes in the last place, wherever the point is.",
        show="\u2026101 + 001 = \u2026110.",
        evidence="C",
        weight=2,
        cause="\u201cadd one\u201d taken as the number 1",
        places=_negates(add_one_in_units, "Invert every bit and add 1 in the units place."),
    ),
    Belief(
        id="fraction-not-inverted",
        says="I invert the digits before the point, then add one at the end.",
        step="write negative",
        nudge="Add it to the positive number: is it zero?",
        rule="Every bit is inverted, on both sides of the point.",
        show="00101.010 becomes 11010.101.",
        evidence="R",
        weight=1,
        cause="number split at the point",
        places=_negates(
            invert_whole_part, "Invert the digits before the point only, then add one in the last place."
        ),
    ),
)
