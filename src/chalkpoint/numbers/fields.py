"""Fields: how a row of bits is read as a whole number, and how a number is written in it.

The codes are those of number representation everywhere (common practice)::

    unsigned             every place counts positive
    two's complement     the first place counts negative
    ones' complement     a negative is its size with every bit inverted; zero has two patterns
    sign and magnitude   the first bit is the sign, the rest is the size; zero has two patterns
    excess               a fixed number, the excess or bias, is taken from the unsigned reading
"""

from __future__ import annotations

from dataclasses import dataclass

from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.carriers import Number, larger, smaller, where

__all__ = ["FIELD_KINDS", "Field"]

FIELD_KINDS = ("two's complement", "unsigned", "sign and magnitude", "ones' complement", "excess")
TWO_ZEROS = frozenset({"sign and magnitude", "ones' complement"})


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a format: *bits* bits read by the code called *kind*.

    excess  what is taken from the unsigned reading; for the kind "excess" only

    >>> Field("two's complement", 4).read("1110"), Field("unsigned", 4).read("1110")
    (-2, 14)
    >>> Field("sign and magnitude", 4).read("1110"), Field("ones' complement", 4).read("1110")
    (-6, -1)
    >>> Field("excess", 4, 7).read("1110"), Field("excess", 4, 7).write(-2)
    (7, '0101')
    """

    kind: str
    bits: int
    excess: int = 0

    @property
    def writes_size(self) -> bool:
        """Whether a negative is written as the digits of its size: a pattern that is cut then goes toward zero.

        >>> [Field(kind, 8).writes_size for kind in ("two's complement", "ones' complement")]
        [False, True]
        """
        return self.kind in TWO_ZEROS

    @property
    def lowest(self) -> int:
        """The lowest number the field holds."""
        if self.kind == "two's complement":
            return -(1 << (self.bits - 1))
        if self.kind in TWO_ZEROS:
            return 1 - (1 << (self.bits - 1))
        return -self.excess

    @property
    def highest(self) -> int:
        """The highest number the field holds."""
        return self.lowest + (1 << self.bits) - (2 if self.kind in TWO_ZEROS else 1)

    def holds(self, number: int) -> bool:
        """Tell whether *number* can be written."""
        return self.lowest <= number <= self.highest

    def nearest_end(self, number: Number) -> Number:
        """Return *number*, or the end of the range that it lies past; on any carrier.

        >>> Field("two's complement", 4).nearest_end(9), Field("unsigned", 4).nearest_end(-3)
        (7, 0)
        """
        return smaller(larger(number, self.lowest), self.highest)

    def read(self, pattern: str) -> int:
        """Return the number *pattern* stands for."""
        number: int = self.number(int(pattern, 2))
        return number

    def write(self, number: int) -> str:
        """Return the bits of *number*, which the field holds."""
        return to_bits(self.code(number), self.bits)

    def number(self, code: Number) -> Number:
        """Return the number that *code*, a pattern read as unsigned, stands for; on any carrier.

        >>> Field("ones' complement", 4).number(0b1110)
        -1
        """
        top = 1 << (self.bits - 1)
        if self.kind in {"unsigned", "excess"}:
            return code - self.excess
        if self.kind == "sign and magnitude":
            return where(code < top, code, top - code)
        return where(code < top, code, code - (2 * top - (self.kind == "ones' complement")))

    def code(self, number: Number) -> Number:
        """Return the pattern of *number*, which the field holds, read as unsigned; on any carrier.

        >>> bin(Field("sign and magnitude", 4).code(-6))
        '0b1110'
        """
        top = 1 << (self.bits - 1)
        if self.kind in {"unsigned", "excess"}:
            return number + self.excess
        if self.kind == "sign and magnitude":
            return where(number < 0, top - number, number)
        return where(number < 0, number + (2 * top - (self.kind == "ones' complement")), number)

    def weights(self) -> tuple[int, ...]:
        """Return the weight of each bit, highest first; the sign of a magnitude weighs nothing.

        >>> Field("two's complement", 4).weights(), Field("sign and magnitude", 4).weights()
        ((-8, 4, 2, 1), (0, 4, 2, 1))
        >>> Field("ones' complement", 4).weights()
        (-7, 4, 2, 1)
        """
        top = 1 << (self.bits - 1)
        first = {"two's complement": -top, "ones' complement": 1 - top, "sign and magnitude": 0}
        return (first.get(self.kind, top), *(1 << place for place in range(self.bits - 2, -1, -1)))
