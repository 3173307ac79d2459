"""Conventions: other ways of writing the same numbers, so that an answer right under one is said to be just that.

A convention is data. Some change the course (rounding, order of the fields, zero, underflow,
operands as written); the others change the code: what bias the exponent has, where the point of the
mantissa stands, whether its first 1 is hidden, and how -2^j is written. A code translates patterns
to and from the numbers the rules work with; no rule knows of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.fitting import fit, normal_exponent
from chalkpoint.numbers.formats import FloatFormat, Pattern, scaled
from chalkpoint.numbers.rounding import ROUNDINGS, Rounding, round_quotient
from chalkpoint.working.course import Course

__all__ = ["BIASES", "CONVENTIONS", "HOUSE", "NORMALS", "OWN", "POINTS", "Code", "Convention"]

OWN = ""
BIASES = ("two's complement", "excess", "excess less one")
POINTS = ("after the sign", "after the second bit", "after the last bit")
NORMALS = ("1.0", "1.1")


@dataclass(frozen=True, slots=True)
class Code:
    """How a pattern's bits stand for a mantissa and an exponent.

    exponent  "" as the format has it, or else "two's complement", "excess" (bias 2**(e-1)) or "excess less one"
              (bias 2**(e-1) - 1)
    point     where the mantissa's point stands: one of POINTS
    hidden    whether a 1 before the mantissa's digits is not written, the first bit being the sign
    minus     how -2^j begins: "1.0", the strict normal form, or "1.1"

    >>> from chalkpoint.numbers.formats import parse_format
    >>> school = parse_format("8+4")
    >>> Code(exponent="excess").write(school.read("01101000 0011"), school)
    '01101000 1011'
    """

    exponent: str = OWN
    point: str = POINTS[0]
    hidden: bool = False
    minus: str = NORMALS[0]

    def _bias(self, fmt: FloatFormat) -> int:
        """Return how far the exponent that the format reads in the bits is above the true one, turns left out."""
        return 0 if self.exponent == OWN else biases(fmt)[self.exponent] - fmt.exponent.excess

    def lowest_exponent(self, fmt: FloatFormat) -> int:
        """Return the lowest true exponent."""
        if self.exponent == OWN:
            return fmt.lowest_exponent
        half = 1 << (fmt.exponent_bits - 1)
        return 1 - half if self.exponent == BIASES[2] else -half

    def read(self, pattern: Pattern, fmt: FloatFormat) -> Pattern:
        """Return the mantissa and true exponent of the bits that the house would read as *pattern*."""
        if self.exponent == OWN:
            return pattern
        lowest = self.lowest_exponent(fmt)
        code = (pattern.exponent - self._bias(fmt) - lowest) % (1 << fmt.exponent_bits)
        return Pattern(pattern.mantissa, lowest + code)

    def write(self, pattern: Pattern, fmt: FloatFormat) -> str | None:
        """Return the bits of a mantissa and true exponent; None where the exponent is out of range."""
        mantissa, exponent = pattern
        highest = self.lowest_exponent(fmt) + (1 << fmt.exponent_bits) - 1
        if self.minus == NORMALS[1] and mantissa == -(1 << fmt.places) and exponent < highest:
            mantissa, exponent = mantissa >> 1, exponent + 1
        if not self.lowest_exponent(fmt) <= exponent <= highest:
            return None
        first = fmt.exponent.lowest
        turned = (exponent + self._bias(fmt) - first) % (1 << fmt.exponent_bits)
        return fmt.write(Pattern(mantissa, first + turned))

    def _point_at(self, fmt: FloatFormat) -> int:
        """Return how many mantissa digits stand before the point."""
        return {POINTS[0]: 1, POINTS[1]: 2, POINTS[2]: fmt.mantissa_bits}[self.point]

    def value(self, pattern: Pattern, fmt: FloatFormat) -> Fraction:
        """Return the exact value of the bits that the house would read as *pattern*."""
        mantissa, exponent = self.read(pattern, fmt)
        if self.hidden:
            size = (1 << fmt.places) + (mantissa & ((1 << fmt.places) - 1))
            mantissa = -size if mantissa < 0 else size
        return scaled(mantissa, exponent - fmt.places + self._point_at(fmt) - 1)

    def store(self, value: Fraction, fmt: FloatFormat, rounding: str) -> str:
        """Return the bits *value*, not zero, is stored as, or the word overflow or underflow."""
        shift = self._point_at(fmt) - 1
        if self.hidden:
            mantissa, exponent = hidden_digits(value, fmt, ROUNDINGS[rounding])
        else:
            mantissa, exponent, _ = fit(value, fmt, ROUNDINGS[rounding])
        code = replace(self, minus=NORMALS[0]) if self.hidden else self
        word = "overflow" if exponent - shift > self.lowest_exponent(fmt) else "underflow"
        return code.write(Pattern(mantissa, exponent - shift), fmt) or word


def biases(fmt: FloatFormat) -> dict[str, int]:
    """Return what each code adds to an exponent before it is written."""
    half = 1 << (fmt.exponent_bits - 1)
    return {BIASES[0]: 0, BIASES[1]: half, BIASES[2]: half - 1}


def code_of(fmt: FloatFormat) -> str:
    """Return how *fmt* stores its exponent, one of BIASES; "" where it has another excess.

    >>> from chalkpoint.numbers.named import format_called
    >>> [code_of(format_called(name)) for name in ("8+4", "8+4 excess-8", "8+4 excess-7", "8+4 excess-5")]
    ["two's complement", 'excess', 'excess less one', '']
    """
    if fmt.exponent.kind != "excess":
        return BIASES[0]
    return next((name for name in BIASES[1:] if biases(fmt)[name] == fmt.exponent.excess), "")


def hidden_digits(value: Fraction, fmt: FloatFormat, rounding: Rounding) -> Pattern:
    """Return sign and fraction as one field, and the exponent, of a value whose first 1 is not written.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> hidden_digits(Fraction(13, 2), parse_format("8+4"), ROUNDINGS["cut"])
    Pattern(mantissa=80, exponent=2)
    """
    size = abs(value)
    exponent = normal_exponent(size.numerator, size.denominator) - 1
    scaled_size = size * scaled(1, fmt.places - exponent)
    digits = round_quotient(scaled_size.numerator, scaled_size.denominator, rounding)
    if digits == 2 << fmt.places:
        digits, exponent = digits >> 1, exponent + 1
    sign = -(1 << fmt.places) if value < 0 else 0
    return Pattern(digits - (1 << fmt.places) + sign, exponent)


HOUSE = Code()


@dataclass(frozen=True, slots=True)
class Convention:
    """One convention other than the house's.

    id       its name
    words    how to say it, to follow "right where ..."
    course   the keys of a course that it changes
    code     the parts of a code that it changes
    """

    id: str
    words: str
    course: Mapping[str, str] = field(default_factory=dict)
    code: Mapping[str, str | bool] = field(default_factory=dict)

    @property
    def rewrites(self) -> bool:
        """Whether it only writes the same result in another way, and reads and works nothing differently."""
        return {*self.course, *self.code} <= {"minus", "zero", "underflow"}

    def is_followed(self, course: Course) -> bool:
        """Tell whether *course* has it so already."""
        own = code_of(course.float_format)
        return all(getattr(course, key) == value for key, value in self.course.items()) and all(
            key == "exponent" and value == own for key, value in self.code.items()
        )

    def coded(self, code: Code = HOUSE) -> Code:
        """Return *code* with this convention's parts."""
        parts: JsonObject = dict(self.code)
        return replace(code, **parts)


CONVENTIONS: dict[str, Convention] = {
    convention.id: convention
    for convention in (
        Convention("exponent-first", "the exponent is written before the mantissa", {"exponent": "first"}),
        Convention("exponent-last", "the exponent is written after the mantissa", {"exponent": "last"}),
        Convention(
            "twos-complement-exponent",
            "the exponent is stored in two\u2019s complement",
            code={"exponent": BIASES[0]},
        ),
        Convention("excess", "the exponent is stored in excess 2^(e\u22121)", code={"exponent": BIASES[1]}),
        Convention(
            "excess-less-one", "the exponent has the bias 2^(e\u22121) \u2212 1", code={"exponent": BIASES[2]}
        ),
        Convention(
            "point-after-second-bit", "the point stands after the second bit", code={"point": POINTS[1]}
        ),
        Convention("integer-mantissa", "the mantissa is a whole number", code={"point": POINTS[2]}),
        Convention(
            "hidden-one",
            "the first bit is the sign and a 1 before the point is hidden",
            code={"hidden": True},
        ),
        Convention(
            "minus-power-1.1",
            "\u22122^j is written with the mantissa 1.100\u2026",
            code={"minus": NORMALS[1]},
        ),
        Convention("cut", "the pattern is cut, toward minus infinity", {"rounding": "cut"}),
        Convention("cut-size", "the size is cut, then negated", {"rounding": "cut size"}),
        Convention("nearest", "values are rounded to the nearest, ties to even", {"rounding": "nearest"}),
        Convention(
            "nearest-away",
            "values are rounded to the nearest, ties away from zero",
            {"rounding": "nearest away"},
        ),
        Convention("as-written", "operands are aligned as they stand", {"operands": "as written"}),
        Convention("zero-exponent-zero", "zero is written with the exponent 0", {"zero": "exponent zero"}),
        Convention("zero-lowest", "zero is written with the lowest exponent", {"zero": "lowest exponent"}),
        Convention("underflow-zero", "an underflow is written as zero", {"underflow": "zero"}),
        Convention("underflow-word", "an underflow is answered by the word", {"underflow": "word"}),
        Convention("underflow-kept", "an underflow is left un-normalised", {"underflow": "un-normalised"}),
    )
}
