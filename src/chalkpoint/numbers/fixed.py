"""Fixed point and whole numbers: one field, its binary point in an agreed place.

A whole number is fixed point with no places. A pattern of these formats is its row of bits, because
two of the codes have two patterns for zero.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import ClassVar, Literal

from chalkpoint.numbers.bits import parse_bits, scaled, with_point
from chalkpoint.numbers.families import WHOLE
from chalkpoint.numbers.fields import Field
from chalkpoint.numbers.rounding import Rounding, round_quotient

__all__ = ["FixedFormat", "code_past_range"]

CODE_WORDS = {
    "unsigned": " unsigned",
    "sign and magnitude": " sign-and-magnitude",
    "ones' complement": " ones-complement",
    "two's complement": "",
}


@dataclass(frozen=True, slots=True)
class FixedFormat:
    """Fixed point: *field* with the binary point *places* bits from its right-hand end.

    >>> fixed = FixedFormat(Field("two's complement", 8), 3)
    >>> fixed.value("11010110"), fixed.write("11010110", point=True), str(fixed)
    (Fraction(-21, 4), '11010.110', 'Q5.3')
    """

    family: ClassVar[Literal["whole and fixed point"]] = WHOLE

    field: Field
    places: int

    def __str__(self) -> str:
        code = f" excess-{self.field.excess}" if self.field.kind == "excess" else CODE_WORDS[self.field.kind]
        return f"Q{self.bits - self.places}.{self.places}{code}" if self.places else f"{self.bits}{code}"

    @property
    def bits(self) -> int:
        """Bits of the whole pattern."""
        return self.field.bits

    @property
    def mantissa_bits(self) -> int:
        """Bits that the rules of adding work on: to them a row of bits is a mantissa without an exponent."""
        return self.field.bits

    @property
    def zero(self) -> str:
        """The pattern for zero: of the two that some codes have, the positive one."""
        return self.field.write(0 if self.field.holds(0) else self.field.lowest)

    @property
    def example(self) -> str:
        """A pattern to show in a sentence that tells how patterns are written."""
        return ("01" * self.bits)[: self.bits]

    @property
    def unit_value(self) -> Fraction:
        """The step between neighbours: what a 1 in the last place is worth."""
        return scaled(1, -self.places)

    def value(self, pattern: str) -> Fraction:
        """Return the exact value of *pattern* (bits, no point)."""
        return scaled(self.field.read(pattern), -self.places)

    def unit(self, pattern: str) -> Fraction:
        """Return the unit in the last place of *pattern*: the same everywhere."""
        return self.unit_value

    def write(self, pattern: str, *, point: bool = False) -> str:
        """Return *pattern* in bits, with its point if asked for."""
        return with_point(pattern, self.places) if point else pattern

    def read(self, text: str) -> str:
        """Return the bits written in *text*, separators and a point taken out.

        Raises EntryError for stray characters and wrong lengths.
        """
        return parse_bits("".join(text.split()), self.bits, "number")

    def rounded(self, x: Fraction, rounding: Rounding) -> int:
        """Return *x* in units of the last place, brought there by *rounding*; it may not fit the field."""
        return round_quotient(x.numerator << self.places, x.denominator, rounding)

    def neighbours(self, x: Fraction) -> tuple[str, str]:
        """Return the patterns next below and next above *x*; the end twice where *x* lies beyond it."""
        floor, rest = divmod(x.numerator << self.places, x.denominator)
        low, high = (
            min(max(number, self.field.lowest), self.field.highest)
            for number in (floor, floor + (1 if rest else 0))
        )
        return self.field.write(low), self.field.write(high)


def code_past_range(number: int, fmt: FixedFormat) -> int:
    """Return the code of *number* in units of the last place, its last digits right where it is past the range.

    >>> code_past_range(200, FixedFormat(Field("two's complement", 8), 0)) & 255
    200
    """
    if fmt.field.kind == "excess":
        return number + fmt.field.excess
    if number >= 0 or fmt.field.kind in {"two's complement", "unsigned"}:
        return number
    if fmt.field.kind == "ones' complement":
        return number - 1
    place = 1 << (fmt.bits - 1)
    return place | (-number & (place - 1))
