"""Floating-point formats of a sign, an exponent and a size: IEEE 754's, and the school's own with the same parts.

A pattern of these is (sign, exponent, fraction), each the number its field reads as. Its *size* is the
whole significand, hidden one and all, in units of its last place::

    value = (-1)**sign * size / 2**places * 2**exponent

With subnormals the lowest stored exponent hides no 1 and counts as the next one up (IEEE 754-2019,
3.4). With infinities the highest stored exponent is kept for them and for NaN; with
"one nan" only the pattern of all ones is kept, and there are no infinities (OCP 8-bit E4M3).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from typing import ClassVar, Literal, NamedTuple

from chalkpoint.numbers.bits import scaled, to_bits
from chalkpoint.numbers.carriers import Number, Truth, where
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.families import SIZES
from chalkpoint.numbers.fields import Field
from chalkpoint.numbers.orders import ORDERS, field_widths, in_order, named_fields, run_together
from chalkpoint.numbers.rounding import DIRECTIONS, Rounding, round_quotient

__all__ = ["Fields", "SignMagnitudeFormat", "Size"]


class Fields(NamedTuple):
    """A written number: its sign bit, and the numbers its exponent and fraction fields read as.

    >>> Fields(0, 15, 0)._replace(sign=1)
    Fields(sign=1, exponent=15, fraction=0)
    """

    sign: int
    exponent: int
    fraction: int


class Size(NamedTuple):
    """A number brought to a format's digits: sign, whole significand, exponent; the exponent may not fit.

    >>> Size(0, 3, -1)
    Size(sign=0, size=3, exponent=-1, exact=True)
    """

    sign: int
    size: int
    exponent: int
    exact: bool = True


@dataclass(frozen=True)
class SignMagnitudeFormat:
    """A sign bit, an exponent field and the digits of the size.

    exponent       Field, excess or two's complement
    fraction_bits  digits of the size that are written
    hidden         whether a leading 1 is left out
    point_first    whether the binary point comes before the leading digit (0.1...) or behind it (1....)
    subnormals     whether the lowest stored exponent hides no 1
    specials       "infinities", "one nan" or "none"
    order          the fields in the order they are written
    name           what the format is called; its parts where it has no name of its own

    >>> half = SignMagnitudeFormat(Field("excess", 5, 15), 10, name="binary16")
    >>> half.read("0 10001 1010000000"), half.value(half.read("0100011010000000"))
    (Fields(sign=0, exponent=2, fraction=640), Fraction(13, 2))
    >>> half.write(half.largest), half.value(half.largest)
    ('0 11110 1111111111', Fraction(65504, 1))
    """

    family: ClassVar[Literal["sign and size"]] = SIZES

    exponent: Field
    fraction_bits: int
    hidden: bool = True
    point_first: bool = False
    subnormals: bool = True
    specials: str = "infinities"
    order: str = ORDERS[0]
    name: str = ""
    # Worked out once, because rules ask for them all the time.
    digits: int = field(init=False, compare=False)
    places: int = field(init=False, compare=False)
    exponent_bits: int = field(init=False, compare=False)
    lowest_exponent: int = field(init=False, compare=False)
    highest_exponent: int = field(init=False, compare=False)
    gradual: bool = field(init=False, compare=False)
    lowest_stored: int = field(init=False, compare=False)
    highest_stored: int = field(init=False, compare=False)
    zero: Fields = field(init=False, compare=False)

    def __post_init__(self) -> None:
        digits = self.fraction_bits + self.hidden
        derived = {
            "digits": digits,
            "places": digits if self.point_first else digits - 1,
            "exponent_bits": self.exponent.bits,
            "lowest_exponent": self.exponent.lowest + (self.hidden and self.subnormals),
            "highest_exponent": self.exponent.highest - (self.specials == "infinities"),
            # Whether sizes below the normal ones can be written, at the lowest exponent.
            "gradual": self.subnormals or not self.hidden,
            "lowest_stored": self.exponent.lowest,
            "highest_stored": self.exponent.highest,
            "zero": Fields(0, self.exponent.lowest, 0),
        }
        for name, value in derived.items():
            object.__setattr__(self, name, value)

    def __str__(self) -> str:
        return self.name

    @property
    def bits(self) -> int:
        """Bits of the whole pattern."""
        return 1 + self.exponent_bits + self.fraction_bits

    # === What a pattern stands for; these run on every carrier ===

    def true_exponent(self, exponent: Number) -> Number:
        """Return the exponent that counts: for subnormals the lowest stored one counts as the next one up."""
        if not (self.hidden and self.subnormals):
            return exponent
        return where(exponent == self.lowest_stored, exponent + 1, exponent)

    def size(self, exponent: Number, fraction: Number) -> Number:
        """Return the whole size: the fraction, with its hidden one where the format hides one."""
        if not self.hidden:
            return fraction
        bare = exponent == self.lowest_stored
        if not self.subnormals:
            bare = bare & (fraction == 0)
        return where(bare, fraction, fraction + (1 << self.fraction_bits))

    def is_infinity(self, exponent: Number, fraction: Number) -> Truth:
        """Tell whether the fields stand for an infinity."""
        if self.specials != "infinities":
            return False
        return (exponent == self.highest_stored) & (fraction == 0)

    def is_nan(self, exponent: Number, fraction: Number) -> Truth:
        """Tell whether the fields stand for NaN."""
        if self.specials == "none":
            return False
        full = exponent == self.highest_stored
        if self.specials == "infinities":
            return full & (fraction != 0)
        return full & (fraction == (1 << self.fraction_bits) - 1)

    # === One pattern ===

    def kind(self, pattern: Fields) -> str:
        """Return "zero", "subnormal", "normal", "infinity" or "not a number"."""
        _, exponent, fraction = pattern
        if self.is_nan(exponent, fraction):
            return "not a number"
        if self.is_infinity(exponent, fraction):
            return "infinity"
        size = self.size(exponent, fraction)
        if size == 0:
            return "zero"
        return "normal" if size >> (self.digits - 1) else "subnormal"

    def value(self, pattern: Fields) -> Fraction:
        """Return the exact value of *pattern*.

        Raises EntryError for an infinity and NaN: they have none.
        """
        sign, exponent, fraction = pattern
        if self.is_nan(exponent, fraction) or self.is_infinity(exponent, fraction):
            raise EntryError(f"{self.write(pattern)} in {self} is {self.kind(pattern)}, which has no value")
        size = self.size(exponent, fraction)
        return scaled(-size if sign else size, self.true_exponent(exponent) - self.places)

    def unit(self, pattern: Fields) -> Fraction | None:
        """Return the unit in the last place of *pattern*; None for an infinity or no number."""
        if self.is_infinity(*pattern[1:]) or self.is_nan(*pattern[1:]):
            return None
        return scaled(1, self.true_exponent(pattern.exponent) - self.places)

    @cached_property
    def ends(self) -> tuple[Fraction, Fraction]:
        """The values of the smallest and the largest finite pattern."""
        return self.value(self.smallest), self.value(self.largest)

    @property
    def largest(self) -> Fields:
        """The largest finite pattern."""
        full = (1 << self.fraction_bits) - 1
        return Fields(0, self.highest_exponent, full - (self.specials == "one nan"))

    @property
    def smallest_normal(self) -> Fields:
        """The smallest positive pattern with all its digits."""
        if self.hidden:
            odd = not self.subnormals  # all zeros is the pattern for zero
            return Fields(0, self.lowest_exponent, 1 if odd else 0)
        return Fields(0, self.lowest_exponent, 1 << (self.fraction_bits - 1))

    @property
    def smallest(self) -> Fields:
        """The smallest positive pattern."""
        return Fields(0, self.lowest_stored, 1) if self.gradual else self.smallest_normal

    @property
    def example(self) -> Fields:
        """A pattern to show in a sentence that tells how patterns are written."""
        return self.smallest_normal

    @property
    def infinity(self) -> Fields | None:
        """The pattern for plus infinity, if the format has one."""
        return Fields(0, self.highest_stored, 0) if self.specials == "infinities" else None

    @property
    def nan(self) -> Fields | None:
        """The usual pattern of NaN, if the format has one."""
        if self.specials == "none":
            return None
        full = (1 << self.fraction_bits) - 1
        return Fields(
            0, self.highest_stored, full if self.specials == "one nan" else 1 << (self.fraction_bits - 1)
        )

    # === Between values and patterns ===

    def pack(self, sign: int, size: int, exponent: int) -> Fields:
        """Return the pattern of a size and exponent that the format holds."""
        if self.hidden:
            if size >> self.fraction_bits:
                return Fields(sign, exponent, size - (1 << self.fraction_bits))
            return Fields(sign, self.lowest_stored, size)
        return Fields(sign, exponent if size else self.lowest_stored, size)

    def holds(self, size: int, exponent: int) -> bool:
        """Tell whether a rounded size with its exponent has a finite pattern."""
        if exponent > self.highest_exponent or (exponent == self.highest_exponent and self._past_end(size)):
            return False
        return size == 0 or (exponent >= self.lowest_exponent and not self._kept_for_zero(size, exponent))

    def _past_end(self, size: int) -> bool:
        return self.specials == "one nan" and size == (1 << self.digits) - 1

    def _kept_for_zero(self, size: int, exponent: int) -> bool:
        """Tell whether the fields would all be 0, where no bit tells that number from zero."""
        if not self.hidden or self.subnormals:
            return False
        return exponent == self.lowest_exponent and size == 1 << self.fraction_bits

    def rounded(self, x: Fraction, rounding: Rounding) -> Size:
        """Return *x*, not zero, brought to the format's digits, with the exponent it needs.

        Where the format can write fewer digits at its lowest exponent, the exponent stops there.
        """
        size, divisor = abs(x.numerator), x.denominator
        power = size.bit_length() - divisor.bit_length()
        left, right = (size, divisor << power) if power >= 0 else (size << -power, divisor)
        exponent = power - (left < right) + self.point_first
        if self.gradual:
            exponent = max(exponent, self.lowest_exponent)
        up = self.places - exponent
        number, divisor = (x.numerator << up, divisor) if up >= 0 else (x.numerator, divisor << -up)
        kept = round_quotient(number, divisor, rounding)
        exact, kept = kept * divisor == number, abs(kept)
        if kept >> self.digits:
            kept, exponent = kept >> 1, exponent + 1
        return Size(int(x < 0), kept, exponent, exact)

    def neighbours(self, x: Fraction) -> tuple[Fields, Fields]:
        """Return the patterns next below and next above *x*; the end twice where *x* lies beyond it."""
        sign, size = int(x < 0), abs(x)
        if size >= self.ends[1]:
            largest = self.largest._replace(sign=sign)
            return largest, largest
        if size < self.ends[0]:
            smallest = self.smallest._replace(sign=sign)
            return (smallest, self.zero) if sign else (self.zero, smallest)
        below = self.rounded(x, DIRECTIONS["down"])
        low = self.pack(*below[:3])
        return low, low if below.exact else self.pack(*self.rounded(x, DIRECTIONS["up"])[:3])

    # === Written and read ===

    @property
    def widths(self) -> tuple[int, ...]:
        """Bits of each field in the order they are written; sign and size of a mantissa are one."""
        return field_widths(self.order, self.exponent_bits, self.fraction_bits)

    def write(self, pattern: Fields, *, point: bool = False) -> str:
        """Return *pattern* in bits, its fields with a space between; a mantissa with its point if asked for."""
        sign, fraction = str(pattern.sign), to_bits(pattern.fraction, self.fraction_bits)
        exponent = self.exponent.write(pattern.exponent)
        return in_order(self.order, sign, exponent, fraction, point=point)

    def read(self, text: str) -> Fields:
        """Return the pattern written in *text*, fields separated or run together, point or none.

        Raises EntryError for stray characters and wrong lengths.
        """
        fields = text.split()
        if len(fields) != len(self.widths):
            fields = run_together("".join(fields), self.widths)
        if not fields:
            count = sum(character not in "._|" for character in "".join(text.split()))
            raise EntryError(
                f"{text!r} has {count} bits; {self} takes {self.bits}, such as {self.write(self.example)!r}"
            )
        sign, exponent, fraction = named_fields(fields, self.order, self.widths)
        return Fields(int(sign), self.exponent.read(exponent), int(fraction, 2))
