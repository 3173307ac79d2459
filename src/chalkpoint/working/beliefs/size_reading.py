"""Where beliefs act in reading and storing a sign, an exponent and a size, and in the range of such a format."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

from chalkpoint.numbers.signed import Fields, SignMagnitudeFormat
from chalkpoint.working.beliefs.belief import IEEE, SIZE, STORING, AnyRule, Place
from chalkpoint.working.beliefs.size_places import places
from chalkpoint.working.course import Course
from chalkpoint.working.extremes import writes
from chalkpoint.working.size_values import (
    SizeReadPage,
    SizeStorePage,
    read_exponent,
    store_packed,
)

__all__ = [
    "BIAS_POWER_OF_TWO",
    "EXPONENT_SIGN_FLIPPED",
    "FRACTION_COMPLEMENTED",
    "POINT_BACKWARDS",
    "READ_IN_TENS",
    "UNSIGNED_EXPONENT",
    "USUAL_BIAS",
    "ends",
    "every_bit_one",
    "negative",
]


def flip_exponent(page: SizeStorePage, course: Course) -> SizeStorePage:
    """Write the exponent with the other sign."""
    usual = store_packed(page, course)
    fmt = course.size_format
    if usual.pattern is None or fmt.kind(usual.pattern) != "normal":
        return usual
    if not fmt.exponent.holds(-usual.pattern.exponent):
        return usual
    return usual._replace(pattern=usual.pattern._replace(exponent=-usual.pattern.exponent))


def scale_backwards(page: SizeReadPage, fmt: SignMagnitudeFormat) -> SizeReadPage:
    """Move the point left for a positive exponent, right for a negative one."""
    return sizes_scaled(page, fmt, Fraction(2) ** -page.exponent)


def scale_by_ten(page: SizeReadPage, fmt: SignMagnitudeFormat) -> SizeReadPage:
    """Multiply by ten to the power of the exponent."""
    return sizes_scaled(page, fmt, Fraction(10) ** page.exponent)


def sizes_scaled(page: SizeReadPage, fmt: SignMagnitudeFormat, power: Fraction) -> SizeReadPage:
    """Return *page* with its size times *power*, and its sign."""
    size = -page.size if page.sign else page.size
    return page._replace(value=Fraction(size, 1 << fmt.places) * power)


def unsigned_exponent(page: SizeReadPage, fmt: SignMagnitudeFormat) -> SizeReadPage:
    """Give the exponent's first bit a positive weight."""
    read = read_exponent(page, fmt)
    return read._replace(exponent=read.exponent & ((1 << fmt.exponent_bits) - 1))


def _biased(bias: Callable[[int], int]) -> AnyRule:
    """Return the rule that reads the exponent with another bias, which *bias* gives for its bits."""

    def exponent(page: SizeReadPage, fmt: SignMagnitudeFormat) -> SizeReadPage:
        read = read_exponent(page, fmt)
        if fmt.exponent.kind != "excess":
            return read
        return read._replace(exponent=read.exponent + fmt.exponent.excess - bias(fmt.exponent_bits))

    return exponent


def _stored_with(bias: Callable[[int], int]) -> AnyRule:
    """Return the rule that stores the exponent with another bias."""

    def pack(page: SizeStorePage, course: Course) -> SizeStorePage:
        usual, fmt = store_packed(page, course), course.size_format
        if usual.pattern is None or fmt.kind(usual.pattern) != "normal" or fmt.exponent.kind != "excess":
            return usual
        code = usual.pattern.exponent + bias(fmt.exponent_bits) - fmt.exponent.excess
        if not fmt.exponent.holds(code):
            return usual
        return usual._replace(pattern=usual.pattern._replace(exponent=code))

    return pack


def half_less_one(bits: int) -> int:
    """Return one less than half of the patterns: the usual bias."""
    return (1 << (bits - 1)) - 1


def half(bits: int) -> int:
    """Return half of the patterns."""
    return 1 << (bits - 1)


USUAL_BIAS = (
    *places(("decode",), "exponent", _biased(half_less_one), "Take off the usual bias."),
    *places(STORING, "pack", _stored_with(half_less_one), "Add the usual bias."),
)
BIAS_POWER_OF_TWO = places(STORING, "pack", _stored_with(half), "Add a power of two for the bias.", (IEEE,))


def complement_fraction(page: SizeStorePage, course: Course) -> SizeStorePage:
    """Write the two's complement of the fraction where the value is negative."""
    usual, fmt = store_packed(page, course), course.size_format
    if (
        usual.pattern is None
        or not usual.pattern.sign
        or fmt.kind(usual.pattern) not in {"normal", "subnormal"}
    ):
        return usual
    fraction = -usual.pattern.fraction & ((1 << fmt.fraction_bits) - 1)
    return usual._replace(pattern=usual.pattern._replace(fraction=fraction))


FRACTION_COMPLEMENTED = (
    *places(
        STORING,
        "pack",
        complement_fraction,
        "The sign is minus, so write the two\u2019s complement of the fraction.",
        (IEEE,),
    ),
    *places(
        ("negate",),
        "negate",
        lambda pattern, fmt: pattern._replace(
            sign=1 - pattern.sign, fraction=-pattern.fraction & ((1 << fmt.fraction_bits) - 1)
        ),
        "Change the sign and write the two\u2019s complement of the fraction.",
    ),
)
EXPONENT_SIGN_FLIPPED = places(
    STORING, "pack", flip_exponent, "The point moved left, so write the exponent with a minus."
)
POINT_BACKWARDS = places(
    ("decode",),
    "scale",
    scale_backwards,
    "Move the point left for a positive exponent, right for a negative.",
)
READ_IN_TENS = places(("decode",), "scale", scale_by_ten, "Multiply by ten to the power of the exponent.")
UNSIGNED_EXPONENT = places(
    ("decode",), "exponent", unsigned_exponent, "Add up the exponent\u2019s weights, all positive.", (SIZE,)
)


def every_bit_one(fmt: SignMagnitudeFormat) -> Fields:
    """Write a 1 in every place behind the sign."""
    exponent = fmt.exponent.read("1" * fmt.exponent_bits)
    return Fields(0, exponent, (1 << fmt.fraction_bits) - 1)


def ends(
    said: str, written: Mapping[str, Callable[[SignMagnitudeFormat], Fields]], family: str = IEEE
) -> tuple[Place, ...]:
    """Return the place of rules that give the patterns of some ends of a range, by the name of the end."""
    rules = {end: writes(end, write) for end, write in written.items()}
    return (Place(("range",), rules, dict.fromkeys(rules, said), family),)


def negative(write: Callable[[SignMagnitudeFormat], Fields]) -> Callable[[SignMagnitudeFormat], Fields]:
    """Return what gives the opposite of what *write* gives."""
    return lambda fmt: write(fmt)._replace(sign=1)
