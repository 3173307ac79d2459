"""Numbers on the lines of whole numbers and sizes: what a written value or size is, to the last place and past it."""

from __future__ import annotations

import re
from fractions import Fraction

from chalkpoint.marking.patterns import Reading
from chalkpoint.numbers.bits import to_bits, with_point
from chalkpoint.numbers.exact import write_value

__all__ = ["FURTHEST", "is_value", "power", "sized", "sticky"]

#: A value in binary times a power of two; and how many digits of a rounded decimal are enough to know it by.
IN_BINARY = re.compile(
    r"(?P<sign>[-\u2212]?)\s*\(?(?P<digits>[01]+\.[01]+)\)?\s*[x*\u00d7]\s*2\s*\^\s*\(?(?P<power>[-+]?\d{1,6})\)?"
)
ENOUGH = 5
FURTHEST = 1 << 15  # of an exponent: sizes are shifted by as much


def is_value(entry: Reading, value: Fraction, *, exact: bool) -> bool:
    """Tell whether *entry* is *value*: in decimal, rounded there unless *exact*, or in binary with a power of two.

    >>> from chalkpoint.marking.patterns import Reading
    >>> is_value(Reading("-1.01 x 2^3", value=Fraction(-202, 25)), Fraction(-10), exact=True)
    True
    """
    if entry.value == value:
        return True
    if found := IN_BINARY.fullmatch(entry.text.strip()):
        digits = found["digits"]
        places = len(digits.partition(".")[2])
        size = Fraction(int(digits.replace(".", ""), 2), 1 << places) * power(int(found["power"]))
        return value == (-size if found["sign"] else size)
    if exact or entry.value is None or not value:
        return False
    digits = re.sub(r"[eE].*|[x*\u00d7].*|[^0-9]", "", entry.text).lstrip("0")
    return len(digits) >= ENOUGH and abs(entry.value - value) * 10 ** (len(digits) - 1) <= abs(value)


def sticky(number: Fraction, places: int) -> int:
    """Return a size in units of its last place; where digits follow that place, it is 1.

    >>> sticky(Fraction(5, 8), 3), sticky(Fraction(5, 8), 2), sticky(Fraction(1, 2), 2)
    (5, 3, 2)
    """
    floor, rest = divmod(number.numerator << places, number.denominator)
    return floor | 1 if rest else floor


def sized(number: Fraction, exponent: int | None) -> str:
    """Return a size in binary, with its exponent where it has one.

    >>> sized(Fraction(13, 8), 1), sized(Fraction(5, 2), None)
    ('1.101 × 2^1', '10.1')
    """
    places = number.denominator.bit_length() - 1
    digits = to_bits(number.numerator, max(number.numerator.bit_length(), places + 1))
    row = with_point(digits, places)
    return row if exponent is None else f"{row} × 2^{write_value(Fraction(exponent))}"


def power(exponent: int) -> Fraction:
    """Return two to the power of *exponent*; one far past every format's is as good as any other.

    >>> power(3), power(-2)
    (Fraction(8, 1), Fraction(1, 4))
    """
    return Fraction(2) ** max(-FURTHEST, min(FURTHEST, exponent))
