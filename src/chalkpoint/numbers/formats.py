"""Floating-point formats with a two's complement mantissa, composed from parts.

The school format ``m+e`` is a two's complement mantissa of m bits with the binary point after the
sign bit, then a two's complement exponent of e bits::

    value = M / 2**(m-1) * 2**E        M in [-2**(m-1), 2**(m-1) - 1]

It is normalised when its first two mantissa bits differ. Other parts make other formats: an excess
exponent, the exponent first, a second mantissa bit that is implied and not written, the point after
it, a mantissa whose last bits come after the exponent, an exponent kept for zero.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from typing import ClassVar, Literal, NamedTuple

from chalkpoint.numbers.bits import parse_bits, scaled, with_point
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.families import FLOATING
from chalkpoint.numbers.fields import Field
from chalkpoint.numbers.fixed import FixedFormat

__all__ = ["Field", "FixedFormat", "FloatFormat", "Pattern", "parse_format", "scaled"]


class Pattern(NamedTuple):
    """A written number: the integers its two fields stand for.

    mantissa  M, in units of the mantissa's last place
    exponent  E

    >>> Pattern(84, 3)._replace(exponent=2)
    Pattern(mantissa=84, exponent=2)
    """

    mantissa: int
    exponent: int


@dataclass(frozen=True)
class FloatFormat:
    """A floating-point format of a mantissa field and an exponent field.

    mantissa        Field; the binary point is *places* bits from its right-hand end
    exponent        Field
    exponent_first  True when the exponent is written before the mantissa
    zero_exponent   the exponent of the pattern for zero
    name            what the format is called; ``m+e`` where it has no name of its own
    point           how many mantissa digits come before the binary point
    implied         the second mantissa bit, always the opposite of the first, is not written
    low_bits        how many of the mantissa's last bits are written behind the exponent
    zero_reserved   the lowest exponent is kept for zero

    >>> school = parse_format("8+4")
    >>> school.read("01101000 0011"), school.value(school.read("01101000 0011"))
    (Pattern(mantissa=104, exponent=3), Fraction(13, 2))
    >>> school.write(Pattern(104, 3))
    '01101000 0011'
    """

    family: ClassVar[Literal["mantissa and exponent"]] = FLOATING

    mantissa: Field
    exponent: Field
    exponent_first: bool = False
    zero_exponent: int | None = None
    name: str = ""
    point: int = 1
    implied: bool = False
    low_bits: int = 0
    zero_reserved: bool = False
    # Worked out once, because rules ask for them all the time.
    mantissa_bits: int = field(init=False, compare=False)
    exponent_bits: int = field(init=False, compare=False)
    places: int = field(init=False, compare=False)
    lowest_exponent: int = field(init=False, compare=False)
    highest_exponent: int = field(init=False, compare=False)
    zero: Pattern = field(init=False, compare=False)
    plain: bool = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        zero = self.exponent.lowest if self.zero_exponent is None else self.zero_exponent
        derived = {
            "mantissa_bits": self.mantissa.bits,
            "exponent_bits": self.exponent.bits,
            "places": self.mantissa.bits - self.point,
            "lowest_exponent": self.exponent.lowest + self.zero_reserved,
            "highest_exponent": self.exponent.highest,
            "zero": Pattern(0, zero),
            "plain": not (self.implied or self.low_bits),
        }
        for name, value in derived.items():
            object.__setattr__(self, name, value)

    def __str__(self) -> str:
        if self.name:
            return self.name
        excess = f" excess-{self.exponent.excess}" if self.exponent.kind == "excess" else ""
        return f"{self.mantissa_bits}+{self.exponent_bits}{excess}"

    @property
    def bits(self) -> int:
        """Bits of the whole pattern, as it is written."""
        return self.mantissa_bits - self.implied + self.exponent_bits

    @property
    def widths(self) -> tuple[int, ...]:
        """Bits of each field in the order they are written."""
        high = self.mantissa_bits - self.implied - self.low_bits
        if self.exponent_first:
            return self.exponent_bits, high
        return (high, self.exponent_bits, self.low_bits) if self.low_bits else (high, self.exponent_bits)

    def value(self, pattern: Pattern) -> Fraction:
        """Return the exact value of *pattern*."""
        return scaled(pattern.mantissa, pattern.exponent - self.places)

    def unit(self, pattern: Pattern) -> Fraction | None:
        """Return the unit in the last place of *pattern*; None for zero, whose exponent means nothing."""
        return scaled(1, pattern.exponent - self.places) if pattern.mantissa else None

    def is_normalised(self, pattern: Pattern) -> bool:
        """Tell whether the first two mantissa bits differ, or the mantissa is zero."""
        return pattern.mantissa == 0 or not -1 <= pattern.mantissa >> (self.mantissa_bits - 2) <= 0

    def holds(self, exponent: int) -> bool:
        """Tell whether *exponent* can be written."""
        return self.lowest_exponent <= exponent <= self.highest_exponent

    def write(self, pattern: Pattern, *, point: bool = False) -> str:
        """Return *pattern* in bits, its fields with a space between.

        >>> parse_format("8+4").write(Pattern(-93, 3), point=True)
        '1.0100011 0011'
        """
        mantissa, exponent = self.mantissa.write(pattern.mantissa), self.exponent.write(pattern.exponent)
        if not self.plain:
            return self._write_in_parts(mantissa, exponent)
        if point:
            mantissa = with_point(mantissa, self.places)
        return f"{exponent} {mantissa}" if self.exponent_first else f"{mantissa} {exponent}"

    def _write_in_parts(self, mantissa: str, exponent: str) -> str:
        written = mantissa[0] + mantissa[2:] if self.implied else mantissa
        high = len(written) - self.low_bits
        fields = [written[:high], exponent]
        return " ".join(
            [*(reversed(fields) if self.exponent_first else fields), *filter(None, [written[high:]])]
        )

    def read(self, text: str) -> Pattern:
        """Return the pattern written in *text*, fields separated or run together, point or none.

        Raises EntryError for stray characters and wrong lengths.
        """
        fields = list(self.split(text))
        exponent_text = fields.pop(0 if self.exponent_first else 1)
        high = parse_bits(fields[0], self.widths[1 if self.exponent_first else 0], "mantissa")
        low = parse_bits(fields[1], self.low_bits, "low mantissa") if self.low_bits else ""
        exponent = self.exponent.read(parse_bits(exponent_text, self.exponent_bits, "exponent"))
        if self.zero_reserved and exponent < self.lowest_exponent:
            return self.zero
        if self.implied:
            high = high[0] + ("1" if high[0] == "0" else "0") + high[1:]
        return Pattern(self.mantissa.read(high + low), exponent)

    def split(self, text: str) -> tuple[str, ...]:
        """Return the fields of *text* in the order they are written."""
        fields = text.split()
        if len(fields) == len(self.widths):
            return tuple(fields)
        bare = "".join(fields)
        count = sum(character not in "._|" for character in bare)
        if count != self.bits:
            raise EntryError(
                f"{text!r} has {count} bits; {self} takes {self.mantissa_bits - self.implied} for the mantissa "
                f"and {self.exponent_bits} for the exponent, such as {self.write(self.example)!r}"
            )
        cut, at = [], 0
        for width in self.widths[:-1]:
            start, seen = at, 0
            while seen < width:
                seen += bare[at] not in "._|"
                at += 1
            cut.append(bare[start:at])
        return (*cut, bare[at:])

    @property
    def example(self) -> Pattern:
        """A pattern to show in a sentence that tells how patterns are written."""
        mantissa = (1 << (self.mantissa_bits - 2)) if self.implied else self.places
        return Pattern(mantissa, min(max(1, self.lowest_exponent), self.highest_exponent))


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
