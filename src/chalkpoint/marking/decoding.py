"""The sheet of decoding."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.marking.patterns import Reading
from chalkpoint.marking.rows import shows_bits
from chalkpoint.marking.sheets import ANSWER, Written
from chalkpoint.numbers.bits import signed, to_bits
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.formats import scaled
from chalkpoint.working.methods import Line, Method
from chalkpoint.working.question import Question
from chalkpoint.working.reading import ReadPage, codes

__all__ = ["ReadSheet", "binary_value", "numbers_in"]


def binary_value(digits: str) -> Fraction:
    """Return the value of two's complement *digits* with a point.

    >>> binary_value("1.11011")
    Fraction(-5, 32)
    """
    _, _, fraction = digits.partition(".")
    return scaled(signed(digits.replace(".", "")), -len(fraction))


def numbers_in(entry: Reading) -> set[Fraction]:
    """Return every value that *entry* may stand for: in decimal, or as binary digits."""
    found = set() if entry.value is None else {entry.value}
    if entry.bare:
        found.add(binary_value(entry.digits))
    return found


class ReadSheet:
    """What decoding writes."""

    def __init__(self, question: Question) -> None:
        self.question = question
        self.format = question.float_format
        self.context = self.format
        self.start = codes(question)

    def lines(self, base: Method, written: Written | None = None) -> tuple[Line, ...]:
        """Return exponent, mantissa, scale and the answer."""
        return (*base.lines, ANSWER)

    def goes_on(self, page: ReadPage) -> bool:
        """Tell whether right rules can go on: they always can."""
        return True

    def shows(self, line: str, before: ReadPage, after: ReadPage, entries: tuple[Reading, ...]) -> bool:
        """Tell whether *entries* are what *line* writes in going from *before* to *after*."""
        entry = entries[0]
        if line == "exponent":
            return after.exponent in self._exponents(entry)
        if line == "mantissa":
            row = to_bits(int(after.mantissa), self.format.mantissa_bits)
            return self._mantissa(after) in numbers_in(entry) or bool(
                entry.bare and shows_bits(entry.digits, row) and after.mantissa == signed(row)
            )
        if line == "scale":
            return after.value in numbers_in(entry)
        return entry.value == after.value or (entry.word == "zero" and after.value == 0)

    def _exponents(self, entry: Reading) -> set[int]:
        found = entry.exponents(self.format)
        if entry.value is not None and entry.bare:  # "10" may be two or ten
            found |= entry._replace(digits="").exponents(self.format)
        return found

    def _mantissa(self, page: ReadPage) -> Fraction:
        return Fraction(page.mantissa) / (1 << self.format.places)

    def adopt(self, line: str, before: ReadPage, after: ReadPage, entries: tuple[Reading, ...]) -> ReadPage:
        """Return *after* with what is written in the place of what should have been."""
        entry = entries[0]
        if line == "exponent":
            found = self._exponents(entry)
            return after._replace(exponent=min(found)) if found else after
        if entry.value is None and not entry.bare:
            return after
        value = entry.value if entry.value is not None else binary_value(entry.digits)
        if line == "mantissa":
            return after._replace(mantissa=value * (1 << self.format.places))
        return after._replace(value=value)

    def says(self, line: str, before: ReadPage, after: ReadPage) -> str:
        """Return what *line* writes in going from *before* to *after*."""
        point = self.question.course.point
        if line == "exponent":
            return write_value(Fraction(after.exponent))
        return write_value(self._mantissa(after) if line == "mantissa" else after.value, point=point)

    def had(self, line: str, before: ReadPage) -> str:
        """Return what the page had before *line*."""
        mantissa = to_bits(before.mantissa_code, self.format.mantissa_bits)
        exponent = to_bits(before.exponent_code, self.format.exponent_bits)
        if line == "exponent":
            return exponent
        if line == "mantissa":
            return mantissa
        power = write_value(Fraction(before.exponent))
        return f"{write_value(self._mantissa(before), point=self.question.course.point)} × 2^{power}"

    def inputs(self, before: ReadPage) -> list[str]:
        """Return the rows a pupil might copy instead of working on them."""
        return []

    def altered(self) -> list[tuple[str, ReadPage]]:
        """Return (what was miscopied, the page it leads to) for each bit changed in copying the pattern."""
        found = []
        for name, width in (("mantissa", self.format.mantissa_bits), ("exponent", self.format.exponent_bits)):
            code = getattr(self.start, f"{name}_code")
            for place in range(width):
                page = self.start._replace(**{f"{name}_code": code ^ (1 << place)})
                found.append((f"the pattern copied with one {name} bit changed", page))
        return found
