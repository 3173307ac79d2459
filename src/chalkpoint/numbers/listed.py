"""The list of formats that can be named: school ones first, machines in a group of their own."""

from __future__ import annotations

from typing import NamedTuple

from chalkpoint.numbers.named import format_called

__all__ = ["Listed", "list_formats"]


class Listed(NamedTuple):
    """One line of the list of formats: its group, its spelling, its fields, and a few words."""

    group: str
    spelling: str
    bits: int
    words: str


SCHOOL, WHOLE, STANDARD, MACHINE = (
    "school floating point",
    "whole numbers and fixed point",
    "IEEE 754, bfloat16 and OCP",
    "military and signal processors",
)
LISTED = (
    (SCHOOL, "6+4", "mantissa and exponent, two's complement both; any sizes from 2+2 to 64+16"),
    (SCHOOL, "8+4", "the same, the size used where none is given"),
    (SCHOOL, "8+8", "the same"),
    (SCHOOL, "10+6", "the same"),
    (SCHOOL, "12+4", "the same"),
    (SCHOOL, "16+8", "the same"),
    (SCHOOL, "24+8", "the same"),
    (SCHOOL, "8+4 excess-8", "the exponent in excess-8; any excess"),
    (
        SCHOOL,
        "8+4 sign-and-magnitude",
        "the mantissa's first bit is its sign, the rest its size; excess-k too",
    ),
    (
        SCHOOL,
        "1+3+4 excess-4 stored-one point-first",
        "sign, exponent in excess-4, and .1xxx written in full",
    ),
    (
        SCHOOL,
        "1+3+4 no-subnormals no-infinities",
        "sign, exponent in excess-3, hidden one, no special values",
    ),
    (SCHOOL, "1+4+3", "sign, exponent and fraction, all as in IEEE 754; any sizes, excess, specials"),
    (WHOLE, "8", "two's complement; any number of bits from 2 to 128"),
    (WHOLE, "8 unsigned", "every place counts positive"),
    (WHOLE, "8 sign-and-magnitude", "the first bit is the sign"),
    (WHOLE, "8 ones-complement", "a negative has every bit inverted"),
    (WHOLE, "8 excess-127", "127 is taken from the unsigned reading; any excess"),
    (
        WHOLE,
        "Q5.3",
        "fixed point: 5 bits before the point, sign included, and 3 after it; any split and code",
    ),
    (STANDARD, "binary16", "sign, 5 exponent bits in excess-15, 10 fraction bits"),
    (STANDARD, "binary32", "sign, 8 exponent bits in excess-127, 23 fraction bits"),
    (STANDARD, "binary64", "sign, 11 exponent bits in excess-1023, 52 fraction bits"),
    (STANDARD, "binary128", "sign, 15 exponent bits in excess-16383, 112 fraction bits"),
    (STANDARD, "bfloat16", "binary32 with 7 fraction bits"),
    (STANDARD, "E4M3", "OCP 8-bit: 4 exponent bits, 3 fraction bits, no infinities, one NaN of each sign"),
    (STANDARD, "E5M2", "OCP 8-bit: 5 exponent bits, 2 fraction bits, infinities and NaNs"),
    (MACHINE, "1750A-32", "MIL-STD-1750A: 24-bit mantissa, 8-bit exponent; zero is all zeros"),
    (MACHINE, "1750A-48", "MIL-STD-1750A extended: 24 mantissa bits, 8 exponent bits, 16 more mantissa bits"),
    (MACHINE, "C3x-16", "TMS320C3x short: 4-bit exponent first, sign, 11 fraction bits, one bit implied"),
    (MACHINE, "C3x-32", "TMS320C3x single: 8-bit exponent first, sign, 23 fraction bits, one bit implied"),
    (MACHINE, "C3x-40", "TMS320C3x extended: 8-bit exponent first, sign, 31 fraction bits, one bit implied"),
)


def list_formats() -> tuple[Listed, ...]:
    """Return every kind of format that can be named, school ones first.

    >>> list_formats()[0].spelling, list_formats()[-1].group
    ('6+4', 'military and signal processors')
    """
    return tuple(
        Listed(group, spelling, format_called(spelling).bits, words) for group, spelling, words in LISTED
    )
