"""What is written held against what is expected: rows of digits, a pattern's fields, a product in decimal."""

from __future__ import annotations

import re
from fractions import Fraction

from chalkpoint.marking.characters import plain_text
from chalkpoint.marking.patterns import Reading
from chalkpoint.numbers.formats import FloatFormat, Pattern

__all__ = ["is_field", "is_pattern", "same_digits", "shows_bits", "sized_values"]


def same_digits(written: str, expected: str) -> bool:
    """Tell whether *written* is *expected*, its point after the first digit or left out.

    >>> same_digits("0.110", "0110"), same_digits("01.10", "0110")
    (True, False)
    """
    return written.replace(".", "") == expected and ("." not in written or written.index(".") == 1)


def is_field(entry: Reading, expected: str, part: str) -> bool:
    """Tell whether the field of *entry* called *part* is *expected*, written in its bits."""
    if not expected:
        return False
    if part == "mantissa":
        return not entry.lead and same_digits(entry.digits, expected)
    return not entry.power and entry.exponent == expected


def is_pattern(entry: Reading, pattern: Pattern, fmt: FloatFormat) -> bool:
    """Tell whether *entry* is *pattern* in the bits in which *fmt* writes it: without a bit that is not stored.

    >>> from chalkpoint.numbers.named import format_called
    >>> c3x = format_called("C3x-16")
    >>> one = c3x.read("0000 010000000000")
    >>> is_pattern(Reading("", digits="0.10000000000", exponent="0000"), one, c3x)
    True
    """
    if not entry.digits or entry.lead or entry.power:
        return False
    if fmt.low_bits or not entry.exponent:  # the mantissa is written in two parts, or the fields run together
        run = entry.exponent + entry.bare if fmt.exponent_first else entry.bare + entry.exponent
        return run == fmt.write(pattern).replace(" ", "")
    fields = fmt.write(pattern).split()
    exponent, mantissa = fields if fmt.exponent_first else reversed(fields)
    return same_digits(entry.digits, mantissa) and entry.exponent == exponent


def shows_bits(written: str, expected: str, *, places: int | None = None) -> bool:
    """Tell whether *written*, in working, is the row *expected*.

    Extra copies of the sign and zeros on the right may be added or left out.

    places  how many of the expected digits follow the point (all but the first)

    >>> shows_bits("11.1011", "11011000"), shows_bits("1.1011", "11011000"), shows_bits("1.1010", "11011000")
    (True, True, False)
    """
    places = len(expected) - 1 if places is None else places
    if "." in written:
        left, right = written.split(".")
        return (left or "0", right) == (left, right) and _same_number(left, right, expected, places)
    if len(written) == len(expected):
        return written == expected
    if len(written) > len(expected):
        spare = len(written) - len(expected)
        return (written.startswith(expected) and "1" not in written[len(expected) :]) or (
            written.endswith(expected) and set(written[:spare]) == {expected[0]}
        )
    return len(written) > 1 and expected.startswith(written) and "1" not in expected[len(written) :]


def sized_values(entry: Reading) -> set[Fraction]:
    """Return the values that a product or quotient without a row of digits may be: in decimal, or a signed size.

    >>> sorted(map(str, sized_values(Reading("-0.01111", value=Fraction("-0.01111")))))
    ['-1111/100000', '-15/32']
    """
    found = set() if entry.value is None else {entry.value}
    size = plain_text(entry.text).rsplit("=", maxsplit=1)[-1].strip().removeprefix("-").strip()
    if re.fullmatch(r"[01]*\.[01]+", size):
        whole, _, fraction = size.partition(".")
        found.add(-Fraction(int(f"0{whole}{fraction}", 2), 1 << len(fraction)))
    return found


def _same_number(left: str, right: str, expected: str, places: int) -> bool:
    whole, fraction = expected[: len(expected) - places], expected[len(expected) - places :]
    width = max(len(left), len(whole))
    return left.rjust(width, left[0]) == whole.rjust(width, whole[0]) and right.rstrip(
        "0"
    ) == fraction.rstrip("0")
