"""A working with what the tests know of it themselves, and readings of bits and sums by code of their own."""

import re
from collections.abc import Callable
from fractions import Fraction
from typing import Any, NamedTuple

import chalkpoint as cp
from chalkpoint.working.question import Question
from fact_road import columns, pattern

MINUS = "\u2212"


class Case(NamedTuple):
    """A working, with what the tests know of it themselves.

    operands  exact values of the operands
    bits      their bits
    """

    working: cp.Working
    operands: tuple[Fraction, ...]
    bits: tuple[str, ...]

    @property
    def question(self) -> Question:
        """The question; of an explanation, the one that is explained."""
        return self.working.question.about or self.working.question

    @property
    def name(self) -> str:
        """The operation."""
        return self.question.operation.name

    @property
    def worked(self) -> Fraction:
        """The value of the result."""
        value = self.working.result.value
        assert value is not None
        return value

    @property
    def exact(self) -> Fraction:
        """The exact answer."""
        a, *rest = self.operands
        if not rest:
            return -a if self.name == "negate" else a
        if self.name == "sum":
            return sum(self.operands, Fraction(0))
        (b,) = rest
        return {"add": a + b, "subtract": a - b, "multiply": a * b}.get(self.name, a / (b or 1))


def twos(bits: str) -> int:
    """Return *bits* read in two's complement."""
    return int(bits, 2) - (int(bits[0]) << len(bits))


def fixed(bits: str) -> Fraction:
    """Return *bits* with a point, read as a size."""
    whole, _, part = bits.partition(".")
    return Fraction(int(whole + part, 2), 2 ** len(part))


def total(weights: str) -> Fraction | None:
    """Return what a written sum of weights comes to; None where a part of it is left out."""
    if "\u2026" in weights:
        return None
    return sum((Fraction(part.replace(MINUS, "-")) for part in weights.split(" + ")), Fraction(0))


def sums_to(weights: str, value: object) -> bool:
    """Tell whether a written sum of weights comes to *value*, as far as it is written out."""
    return total(weights) in {None, value}


def bring(x: Fraction) -> int:
    """Return the exponent that brings *x* to its normal form."""
    exponent = 0
    while not (Fraction(1, 2) <= x < 1 or -1 <= x < Fraction(-1, 2)):
        up = x >= 1 or x < -1
        x, exponent = (x / 2, exponent + 1) if up else (x * 2, exponent - 1)
    return exponent


Facts = dict[str, Any]
Truth = Callable[[Facts, Case], bool]


def cut_size(case: Case) -> bool:
    """Tell whether sizes are cut before they have their sign."""
    return case.working.question.course.rounding == "cut size"


def placed(f: Facts, case: Case) -> bool:
    """Tell whether the point is placed where the first two digits differ."""
    x = abs(case.operands[0]) if cut_size(case) else case.operands[0]
    return bool(f["exponent"] == bring(x) and f["places"] == abs(f["exponent"]))


def half(f: Facts) -> Fraction:
    """Return what the lost digits are worth in units in the last place."""
    return Fraction(int(f["lost"], 2), 2 ** len(f["lost"]))


def unit(case: Case) -> Fraction:
    """Return what a 1 in the last place is worth."""
    return case.working.question.fixed_format.unit_value


def kept_of_size(f: Facts, case: Case) -> bool:
    """Tell whether what is missed of a size is the difference to what is stored, where that has a pattern."""
    return bool(abs(case.operands[0]) - abs(case.worked) == f["missed"])


def digits_written(f: Facts, case: Case) -> int:
    """Return how many digits stand there before they are filled up: of a size, or of what was cut."""
    number, x = f["number"], case.operands[0]
    if x >= 0 or case.working.question.course.rounding != "cut" or f["number"] * unit(case) == x:
        return int(abs(number).bit_length())
    spelling = str(case.working.question.format)
    if "excess" in spelling:
        return int(f["code"].bit_length())
    return int(abs(number).bit_length() if "-" in spelling else (~number).bit_length() + 1)


def away_from_zero(case: Case, more: bool) -> bool:
    """Tell whether the course's rounding takes a size up, where it is *more* that does so under rounding to nearest."""
    rounding = case.working.question.course.rounding
    if rounding in {"up", "down"}:
        return (case.exact < 0) == (rounding == "down")
    return more and rounding != "toward zero"


def is_power(number: int) -> bool:
    """Tell whether *number* is a power of two."""
    return number & (number - 1) == 0


def sign_of_second(case: Case) -> int:
    """Return the sign bit of the second operand once it is added."""
    return int(case.bits[1][0]) ^ (case.name == "subtract")


def ones_added(case: Case) -> tuple[str, str]:
    """Return the two rows that are added in ones' complement."""
    first, second = case.bits
    if case.name == "subtract":
        second = second.translate(str.maketrans("01", "10"))
    return first, second


def added(f: Facts, case: Case) -> bool:
    """Tell whether carries and overflow are those of adding the bits by hand."""
    first, second = case.bits
    width = f["columns"]
    signed = "unsigned" not in str(case.working.question.format)
    if case.name == "subtract":
        second = pattern(-twos(second), width)
    wide = [(row[0] if signed else "0") * (width - len(row)) + row for row in (first, second)]
    _, carried, out = columns(*wide)
    bits = len(case.bits[0])
    low, high = (-(1 << bits - 1), (1 << bits - 1) - 1) if signed else (0, (1 << bits) - 1)
    unit = case.working.question.fixed_format.unit_value
    return bool(
        f["carried"] == carried
        and f["carry_out"] is out
        and f["overflowed"] is not (low <= case.exact / unit <= high)
        and f["extra_place"] is (width > bits)
    )


def both(test: Callable[[Facts, Case], bool], more: Truth) -> Truth:
    """Return the test that both are so."""
    return lambda f, c: test(f, c) and more(f, c)


def always(f: Facts, case: Case) -> bool:
    """Return True: an instruction."""
    return True


def own_value(bits: str, spelling: str) -> Fraction:
    """Return the value of a pattern, read by the tests' own code."""
    fields = bits.split()
    if len(fields) == 2:
        mantissa, exponent = fields
        return Fraction(twos(mantissa), 1 << len(mantissa) - 1) * Fraction(2) ** twos(exponent)
    if len(fields) == 3:
        sign, exponent, fraction = fields
        excess, stored = (1 << len(exponent) - 1) - 1, int(exponent, 2)
        size = Fraction(int(fraction, 2), 1 << len(fraction)) + (stored > 0)
        signed = -size if sign == "1" else size
        return signed * Fraction(2) ** ((stored or 1) - excess)
    return Fraction(whole_value(bits, spelling)) / (
        1 << int(spelling.split(".")[1]) if "." in spelling else 1
    )


def implied_value(exponent: str, mantissa: str) -> Fraction:
    """Return the value of a pattern whose second mantissa bit is left out: the opposite of the first."""
    if exponent == "1000":
        return Fraction(0)
    written = mantissa[0] + ("0" if mantissa[0] == "1" else "1") + mantissa[1:]
    return Fraction(twos(written), 1 << len(written) - 2) * Fraction(2) ** twos(exponent)


def whole_value(bits: str, spelling: str) -> int:
    """Return a row of bits read by the code that *spelling* names."""
    if "sign-and" in spelling:
        return int((-1) ** int(bits[0]) * int(bits[1:], 2))
    if "excess" in spelling:
        return int(bits, 2) - int(spelling.split("-")[1])
    if "ones" in spelling and bits[0] == "1":
        return -int(bits.translate(str.maketrans("01", "10")), 2)
    return int(bits, 2) if "unsigned" in spelling or "ones" in spelling else twos(bits)


def patterns(spelling: str, stride: int) -> list[str]:
    """Return every *stride*-th pattern of a format, its fields apart."""
    fields = (
        [4, 12]
        if spelling == "C3x-16"
        else [int(size) for size in re.findall(r"\d+", spelling.split(" ", maxsplit=1)[0])]
    )
    if spelling.startswith("Q") or not (spelling == "C3x-16" or "+" in spelling):
        fields = [sum(fields)]
    width = sum(fields)
    found = []
    for number in range(0, 1 << width, stride):
        bits, at, parts = format(number, f"0{width}b"), 0, []
        for size in fields:
            parts.append(bits[at : at + size])
            at += size
        found.append(" ".join(parts))
    if fields[0] == 1 and len(fields) == 3:  # without infinities and NaN
        found = [bits for bits in found if "0" in bits.split()[1]]
    return found


def number(text: str) -> Fraction:
    """Return a number as a sentence writes it: in decimal, or as a multiple of a power of two."""
    plain = text.replace(MINUS, "-")
    if plain.lstrip("-").startswith("2^"):
        plain = plain.replace("2^", "1 × 2^")
    digits, _, power = plain.partition(" × 2^")
    return Fraction(digits) * Fraction(2) ** int(power or 0)


def shortest(x: Fraction) -> int:
    """Return how many digits the size of *x*, which ends in binary, needs from its first 1 to its last."""
    size = abs(x.numerator)
    while size and size % 2 == 0:
        size //= 2
    return size.bit_length()
