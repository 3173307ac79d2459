"""Number formats, composed from parts: a field says how its bits are read, a format which fields it has.

The school format ``m+e`` is a two's complement mantissa of m bits with the binary point after the
sign bit, then a two's complement exponent of e bits::

    value = M / 2**(m-1) * 2**E        M in [-2**(m-1), 2**(m-1) - 1]

It is normalised when its first two mantissa bits differ. Further formats are further parts.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

from chalkpoint.numbers.bits import parse_bits, signed, to_bits, with_point
from chalkpoint.numbers.errors import EntryError

__all__ = ["Field", "FixedFormat", "FloatFormat", "Pattern", "parse_format", "scaled"]


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a format: *bits* bits read by the rule called *kind*.

    >>> Field("two's complement", 4).read("1110"), Field("unsigned", 4).read("1110")
    (-2, 14)
    >>> Field("two's complement", 4).write(-2)
    '1110'
    """

    kind: str
    bits: int

    @property
    def lowest(self) -> int:
        """The lowest number the field holds."""
        return -(1 << (self.bits - 1)) if self.kind == "two's complement" else 0

    @property
    def highest(self) -> int:
        """The highest number the field holds."""
        return self.lowest + (1 << self.bits) - 1

    def read(self, pattern: str) -> int:
        """Return the number *pattern* stands for."""
        return signed(pattern) if self.kind == "two's complement" else int(pattern, 2)

    def write(self, number: int) -> str:
        """Return the bits of *number*, which the field holds."""
        return to_bits(number, self.bits)

    def weights(self) -> tuple[int, ...]:
        """Return the weight of each bit, highest first."""
        first = -1 if self.kind == "two's complement" else 1
        return tuple(
            (first if place == self.bits - 1 else 1) << place for place in range(self.bits - 1, -1, -1)
        )


class Pattern(NamedTuple):
    """A written number: the integers its two fields stand for.

    mantissa  M, in units of the mantissa's last place
    exponent  E
    """

    mantissa: int
    exponent: int


@dataclass(frozen=True)
class FloatFormat:
    """A floating-point format of a mantissa field and an exponent field.

    mantissa        Field; the binary point stands *places* bits from its right-hand end
    exponent        Field
    exponent_first  True when the exponent is written before the mantissa
    zero_exponent   the exponent of the pattern for zero

    >>> school = parse_format("8+4")
    >>> school.read("01101000 0011"), school.value(school.read("01101000 0011"))
    (Pattern(mantissa=104, exponent=3), Fraction(13, 2))
    >>> school.write(Pattern(104, 3))
    '01101000 0011'
    """

    mantissa: Field
    exponent: Field
    exponent_first: bool = False
    zero_exponent: int | None = None
    # Worked out once, because rules ask for them all the time.
    mantissa_bits: int = field(init=False, compare=False)
    exponent_bits: int = field(init=False, compare=False)
    places: int = field(init=False, compare=False)
    lowest_exponent: int = field(init=False, compare=False)
    highest_exponent: int = field(init=False, compare=False)
    zero: Pattern = field(init=False, compare=False)

    def __post_init__(self) -> None:
        zero = self.exponent.lowest if self.zero_exponent is None else self.zero_exponent
        derived = {
            "mantissa_bits": self.mantissa.bits,
            "exponent_bits": self.exponent.bits,
            "places": self.mantissa.bits - 1,
            "lowest_exponent": self.exponent.lowest,
            "highest_exponent": self.exponent.highest,
            "zero": Pattern(0, zero),
        }
        for name, value in derived.items():
            object.__setattr__(self, name, value)

    def __str__(self) -> str:
        return f"{self.mantissa_bits}+{self.exponent_bits}"

    @property
    def bits(self) -> int:
        """Bits of the whole pattern."""
        return self.mantissa_bits + self.exponent_bits

    def value(self, pattern: Pattern) -> Fraction:
        """Return the exact value of *pattern*."""
        return scaled(pattern.mantissa, pattern.exponent - self.places)

    def is_normalised(self, pattern: Pattern) -> bool:
        """Tell whether the first two mantissa bits differ, or the mantissa is zero."""
        return pattern.mantissa == 0 or not -1 <= pattern.mantissa >> (self.mantissa_bits - 2) <= 0

    def holds(self, exponent: int) -> bool:
        """Tell whether *exponent* can be written."""
        return self.lowest_exponent <= exponent <= self.highest_exponent

    def write(self, pattern: Pattern, *, point: bool = False) -> str:
        """Return *pattern* in bits, its fields parted by a space.

        >>> parse_format("8+4").write(Pattern(-93, 3), point=True)
        '1.0100011 0011'
        """
        mantissa = self.mantissa.write(pattern.mantissa)
        fields = [
            with_point(mantissa, self.places) if point else mantissa,
            self.exponent.write(pattern.exponent),
        ]
        return " ".join(reversed(fields) if self.exponent_first else fields)

    def read(self, text: str) -> Pattern:
        """Return the pattern written in *text*, fields parted or run together, point or none.

        Raises EntryError for stray characters and wrong lengths.
        """
        first, second = self.split(text)
        mantissa, exponent = (second, first) if self.exponent_first else (first, second)
        return Pattern(
            self.mantissa.read(parse_bits(mantissa, self.mantissa_bits, "mantissa")),
            self.exponent.read(parse_bits(exponent, self.exponent_bits, "exponent")),
        )

    def split(self, text: str) -> tuple[str, str]:
        """Return the two fields of *text* in the order they are written."""
        fields = text.split()
        if len(fields) == 2:
            return fields[0], fields[1]
        bare = "".join(fields)
        count = sum(character not in "._|" for character in bare)
        if count != self.bits:
            raise EntryError(
                f"{text!r} has {count} bits; {self} takes {self.mantissa_bits} for the mantissa and "
                f"{self.exponent_bits} for the exponent, such as {self.write(Pattern(self.places, 1))!r}"
            )
        at = seen = 0
        while seen < (self.exponent_bits if self.exponent_first else self.mantissa_bits):
            seen += bare[at] not in "._|"
            at += 1
        return bare[:at], bare[at:]


@dataclass(frozen=True, slots=True)
class FixedFormat:
    """Fixed point: *field* with the binary point *places* bits from its right-hand end.

    >>> FixedFormat(Field("two's complement", 8), 3).value("11010110")
    Fraction(-21, 4)
    """

    field: Field
    places: int

    def value(self, pattern: str) -> Fraction:
        """Return the exact value of *pattern* (bits, no point)."""
        return scaled(self.field.read(pattern), -self.places)


def scaled(number: int, power: int) -> Fraction:
    """Return number * 2**power exactly.

    >>> scaled(-21, -2)
    Fraction(-21, 4)
    """
    return Fraction(number << power) if power >= 0 else Fraction(number, 1 << -power)


SCHOOL = re.compile(r"\s*(\d{1,4})\s*\+\s*(\d{1,4})\s*")
MOST_MANTISSA_BITS, MOST_EXPONENT_BITS, LEAST_BITS = 64, 16, 2


def parse_format(text: str, *, exponent_first: bool = False, zero_exponent: int | None = None) -> FloatFormat:
    """Return the school format spelt ``m+e``: m mantissa bits, e exponent bits.

    >>> str(parse_format(" 10 + 6 "))
    '10+6'

    Raises EntryError when *text* is no such spelling or the sizes leave 2+2 to 64+16.
    """
    match = SCHOOL.fullmatch(text)
    accepted = "write mantissa bits + exponent bits, from 2+2 to 64+16, such as 8+4"
    if match is None:
        raise EntryError(f"{text!r} is not a format; {accepted}")
    mantissa_bits, exponent_bits = int(match[1]), int(match[2])
    if not (
        LEAST_BITS <= mantissa_bits <= MOST_MANTISSA_BITS
        and LEAST_BITS <= exponent_bits <= MOST_EXPONENT_BITS
    ):
        raise EntryError(f"{text!r} is outside the sizes taken here; {accepted}")
    return FloatFormat(
        Field("two's complement", mantissa_bits),
        Field("two's complement", exponent_bits),
        exponent_first=exponent_first,
        zero_exponent=zero_exponent,
    )
