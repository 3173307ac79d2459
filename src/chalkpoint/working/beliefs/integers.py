"""Beliefs about reading and writing whole numbers in two's complement.

The readings are rules for one field, so that the beliefs about mantissas and exponents use them too.
"""

from __future__ import annotations

from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.carriers import Number, Truth, where, wrap
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.working.beliefs.belief import FIXED, INTEGER, UNSIGNED, AnyRule, Belief, Place
from chalkpoint.working.course import Course
from chalkpoint.working.whole_values import WholeReadPage, WholeStorePage

__all__ = ["INTEGERS", "read_sign_magnitude", "read_unsigned"]


# === Rules: the unsigned number of a field, its bits -> the number read ===


def _negative(code: Number, bits: int) -> Truth:
    return code >> (bits - 1) == 1


def read_unsigned(code: Number, bits: int) -> Number:
    """Give the leading bit a positive weight."""
    return code


def read_sign_magnitude(code: Number, bits: int) -> Number:
    """Take a leading 1 for a minus and the rest for the size."""
    size = code & ((1 << (bits - 1)) - 1)
    return where(_negative(code, bits), -size, size)


def read_ones_complement(code: Number, bits: int) -> Number:
    """Where a 1 leads, invert for the size, without adding one."""
    return where(_negative(code, bits), code - ((1 << bits) - 1), code)


def read_flipped(code: Number, bits: int) -> Number:
    """Invert and add one whatever leads; a leading 0 leaves a positive."""
    size = -code & ((1 << bits) - 1)
    return where(_negative(code, bits), -size, size)


def read_without_minus(code: Number, bits: int) -> Number:
    """Where a 1 leads, invert and add one for the size, and leave it at that."""
    return where(_negative(code, bits), (1 << bits) - code, code)


def read_from_two(code: Number, bits: int) -> Number:
    """Give the last place the weight 2."""
    return wrap(code, bits) << 1


# === Rules for writing and widening ===


def write_remainders_downwards(page: WholeStorePage, course: Course) -> WholeStorePage:
    """Write the remainders of halving in the order found; digits after the point stay."""
    if page.value < 0:
        return page  # past the range, whatever its digits
    whole = page.value.numerator // page.value.denominator
    return page._replace(value=page.value - whole + int(f"{whole:b}"[::-1], 2))


def write_halving_short(number: int) -> str:
    """Stop halving at 2 or less and write that in front of the remainders.

    >>> write_halving_short(20)
    '2100'
    """
    digits = ""
    while number > 2:
        number, digits = number >> 1, f"{number & 1}{digits}"
    return f"{number}{digits}"


def write_whatever_the_range(page: WholeStorePage, course: Course) -> WholeStorePage:
    """Write the low bits of the number, whether they hold it or not."""
    return page._replace(pattern=to_bits(page.number, course.number_format.bits))


def widen_with_zeros(pattern: str, bits: int) -> str:
    """Fill the new places on the left with 0s.

    >>> widen_with_zeros("101101", 8)
    '00101101'
    """
    return pattern.rjust(bits, "0")


# === Beliefs ===


def _reading(rule: AnyRule, said: str) -> tuple[Place, ...]:
    """Return the place of a rule for one field: here the field is the whole row of bits."""

    def read(page: WholeReadPage, fmt: FixedFormat) -> WholeReadPage:
        return page._replace(number=rule(int(page.bits, 2), fmt.bits))

    read.__name__ = f"whole_{rule.__name__}"
    return tuple(Place(("decode",), {"read": read}, {"weigh": said}, family) for family in (INTEGER, FIXED))


INTEGERS = (
    Belief(
        id="msb-unsigned",
        says="Every bit has a positive weight.",
        step="read integer",
        nudge="What is the sign of a pattern that starts with 1?",
        rule="The leftmost weight is negative: \u2212128 in 8 bits.",
        show="\u2212128 + 32 + 16 + 4 + 2.",
        evidence="T",
        weight=3,
        cause="reading as for unsigned numbers",
        places=_reading(read_unsigned, "Add up the weights, all positive."),
        kin=("exp-unsigned", "mantissa-unsigned"),
    ),
    Belief(
        id="read-sign-mag",
        says="A 1 in front means minus, and the rest is the size.",
        step="read integer",
        nudge="Does 11111111 come out as \u2212127 or \u22121?",
        rule="In two\u2019s complement the other bits keep positive weights and are added to \u2212128.",
        show="\u2212128 + 54 = \u221274.",
        evidence="R",
        weight=3,
        cause="sign and magnitude taught side by side",
        places=_reading(read_sign_magnitude, "A 1 leads, so put a minus before the rest."),
        kin=("exp-sign-mag", "mantissa-sign-mag", "set-sign-bit"),
    ),
    Belief(
        id="read-ones-comp",
        says="If a 1 is in front I invert the bits and put a minus.",
        step="read integer",
        nudge="Test your rule on 11111111.",
        rule="Invert, add one, then put the minus.",
        show="Invert to 01001001 (73), add one: 74, so \u221274.",
        evidence="R",
        weight=2,
        cause="the \u201cadd one\u201d forgotten when reading",
        places=_reading(read_ones_complement, "A 1 leads, so invert every bit and put a minus."),
        kin=("invert-only",),
    ),
    Belief(
        id="minus-forgotten",
        says="I invert the bits, add one, and that is the number.",
        step="read integer",
        nudge="Which sign has a pattern that starts with 1?",
        rule="What inverting and adding one gives is the size; a 1 in front says that the number is negative.",
        show="Invert to 01001001, add one: 74, so \u221274.",
        evidence="R",
        weight=2,
        cause="the minus forgotten once the size is found",
        places=_reading(read_without_minus, "A 1 leads, so invert every bit and add one."),
        kin=("read-ones-comp",),
    ),
    Belief(
        id="flip-everything",
        says="To read two\u2019s complement I always invert and add one.",
        step="read integer",
        nudge="Look at the first bit before doing anything.",
        rule="A leading 0 is read with ordinary weights; negation is only for changing sign.",
        show="0100 1010 = 64 + 8 + 2.",
        evidence="R",
        weight=2,
        cause="\u201ctwo\u2019s complement\u201d taken as an action, not as a way of reading",
        places=_reading(read_flipped, "Invert every bit and add one; that is the size."),
        kin=("complement-both",),
    ),
    Belief(
        id="last-place-two",
        says="The weights from the right are 2, 4, 8 and so on.",
        step="read integer",
        nudge="Can your weights make an odd number?",
        rule="The last place weighs 1.",
        show="\u2026, 8, 4, 2, 1.",
        evidence="R",
        weight=1,
        cause="powers of two counted from 2^1",
        places=_reading(read_from_two, "Add up the weights, counting from 2 on the right."),
        kin=("frac-starts-at-one",),
    ),
    Belief(
        id="remainders-top-down",
        says="I write the remainders in the order I get them.",
        step="write integer",
        nudge="Is your last digit right for an odd number?",
        rule="The first remainder is the units bit.",
        show="13: 1, 0, 1, 1 read upwards is 1101.",
        evidence="T",
        weight=2,
        cause="reading order",
        places=(
            Place(
                ("encode",),
                {"size": write_remainders_downwards},
                {"size": "Halve again and again, and write the remainders in the order found."},
                UNSIGNED,
            ),
        ),
        kin=("frac-bits-bottom-up",),
    ),
    Belief(
        id="halving-stops-early",
        says="I stop halving at 2 or less and write that in front.",
        step="write integer",
        nudge="Is every digit you wrote a 0 or a 1?",
        rule="Halve until nothing is left.",
        show="2 halves to 1 remainder 0, then 1 to 0 remainder 1.",
        evidence="R",
        weight=1,
        cause="the last halvings seen as too small to matter",
        places=(Place(("encode",), {"digits": write_halving_short}, family=UNSIGNED),),
    ),
    Belief(
        id="encode-range-ignored",
        says="I write the number in binary and use the last digits that fit.",
        step="write integer",
        nudge="What is the largest number that many digits can hold?",
        rule="Compare the number with the range first; beyond it the answer is overflow.",
        show="8 bits of two\u2019s complement hold \u2212128 to 127.",
        evidence="R",
        weight=3,
        cause="no check of the range",
        places=(
            *(
                Place(
                    ("encode",),
                    {"code": write_whatever_the_range},
                    {"code": "Write the last digits that fit."},
                    family,
                )
                for family in (INTEGER, FIXED)
            ),
        ),
        kin=("wrap-accepted", "exp-wrap-silent"),
    ),
    Belief(
        id="pad-zeros-left",
        says="Zeros in front change nothing.",
        step="widen",
        nudge="Is the wider number still negative?",
        rule="Copy the sign bit into new places on the left.",
        show="101101 becomes 11 101101.",
        evidence="T",
        weight=3,
        cause="leading zeros are harmless for unsigned numbers",
        places=(Place(("widen",), {"digits": widen_with_zeros}, family=INTEGER),),
        kin=("align-fill-zeros", "zero-fill-when-small"),
    ),
)
