"""The parts of a small IEEE-style pattern, as the beliefs about it need them."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.fitting import normal_exponent
from chalkpoint.numbers.formats import scaled

__all__ = ["Parts", "packed", "parts", "scientific", "signed_size"]


class Parts(NamedTuple):
    """A pattern cut into fields.

    negative       whether the sign bit is 1
    stored         the exponent as it is stored
    fraction       the fraction's bits as an unsigned number
    exponent_bits  width of the exponent field
    fraction_bits  width of the fraction field
    """

    negative: bool
    stored: int
    fraction: int
    exponent_bits: int
    fraction_bits: int

    @property
    def bias(self) -> int:
        """The exponent's bias, 2**(k-1) - 1 (IEEE 754-2019, 3.3)."""
        return (1 << (self.exponent_bits - 1)) - 1


def parts(text: str) -> Parts:
    """Return the fields of *text*, parted by spaces.

    >>> parts("0 1001 101")
    Parts(negative=False, stored=9, fraction=5, exponent_bits=4, fraction_bits=3)
    """
    sign, stored, fraction = text.split()
    return Parts(sign == "1", int(stored, 2), int(fraction, 2), len(stored), len(fraction))


def packed(*, negative: bool, stored: int, fraction: int, exponent_bits: int, fraction_bits: int) -> str:
    """Return the pattern with these fields, each cut to its width.

    >>> packed(negative=False, stored=9, fraction=5, exponent_bits=4, fraction_bits=3)
    '0 1001 101'
    """
    return f"{'1' if negative else '0'} {to_bits(stored, exponent_bits)} {to_bits(fraction, fraction_bits)}"


def signed_size(pattern: Parts, significand: Fraction, exponent: int) -> Fraction:
    """Return significand * 2**exponent with the pattern's sign."""
    size = significand * scaled(1, exponent)
    return -size if pattern.negative else size


def scientific(value: Fraction) -> tuple[Fraction, int]:
    """Return (f, E) with the size of *value* = f * 2**E and f in [1, 2).

    >>> scientific(Fraction(13, 2))
    (Fraction(13, 8), 2)
    """
    size = abs(value)
    exponent = normal_exponent(size.numerator, size.denominator) - 1
    return size * scaled(1, -exponent), exponent
