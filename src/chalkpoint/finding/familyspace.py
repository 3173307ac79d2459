"""Everything that may be asked of an operation in a format that is not the school's: patterns, pairs, or values."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from chalkpoint.finding.found import Given
from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.families import FLOATING, WHOLE
from chalkpoint.numbers.named import AnyPattern, value_or_none
from chalkpoint.working.course import Course
from chalkpoint.working.question import OPERATIONS, ask
from chalkpoint.working.work import work_question

__all__ = ["FamilySpace"]

FARTHEST = 100  # of values to be stored, where numbers go further
HUNDREDTHS = 100


@dataclass(frozen=True)
class FamilySpace:
    """Every question of *operation* in the format of *course*, in order; of a conversion, *into* another format.

    Patterns come in the order of their bits, the first operand before the second. Values to be stored are every half
    of a unit in the last place over twice the range in whole numbers and fixed point, and else every hundredth within
    100 of zero or the range. Nothing is divided by zero.

    >>> FamilySpace("add", Course(format="4")).count
    256
    """

    operation: str
    course: Course
    into: str = ""

    def refuse(self) -> None:
        """Raise EntryError where the format has no questions of the operation."""
        fmt = self.course.number_format
        one = str(fmt.unit_value) if fmt.family == WHOLE else "1"
        operands = [one, self.into] if self.into else [one] * OPERATIONS[self.operation].operands
        work_question(ask(self.operation, *operands, course=self.course))

    @property
    def name(self) -> str:
        """What the space is called."""
        kind = OPERATIONS[self.operation]
        if kind.takes == "values":
            return f"values up to {self._farthest} either side of 0"
        return "all patterns" if self._single else "all pairs"

    @property
    def _single(self) -> bool:
        """Whether one pattern is asked of, beside the format it is converted into."""
        return bool(self.into) or OPERATIONS[self.operation].operands == 1

    @property
    def _step(self) -> Fraction:
        fmt = self.course.number_format
        return fmt.unit_value / 2 if fmt.family == WHOLE else Fraction(1, HUNDREDTHS)

    @property
    def _farthest(self) -> Fraction:
        fmt = self.course.number_format
        if fmt.family == WHOLE:
            return 2 * fmt.unit_value * max(fmt.field.highest, -fmt.field.lowest)
        highest = 1 << min(max(fmt.highest_exponent, 0), FARTHEST.bit_length())
        return Fraction(min(FARTHEST, 2 * highest))

    @cached_property
    def _zeros(self) -> list[range]:
        """The codes that cannot be divided by, in order: patterns of zero."""
        fmt = self.course.number_format
        if self.operation != "divide":
            return []
        if getattr(fmt, "specials", "none") != "none":
            return []  # a quotient by zero is an infinity
        if (
            fmt.family == FLOATING and fmt.zero_reserved
        ):  # the exponent comes first, and zero has one of its own
            start = self._code(fmt.zero)
            return [range(start, start + (1 << (fmt.bits - fmt.exponent_bits)))]
        if fmt.family == WHOLE:
            near = {0, 1 << (fmt.bits - 1), (1 << fmt.bits) - 1, fmt.field.excess}
        else:
            exponents = range(fmt.exponent.lowest, fmt.exponent.highest + 1)
            near = {self._code(fmt.zero._replace(exponent=exponent)) for exponent in exponents}
            near |= {code | 1 << (fmt.bits - 1) for code in near}
        zeros = sorted(code for code in near if value_or_none(fmt, self._pattern(code)) == 0)
        return [range(code, code + 1) for code in zeros]

    def _code(self, pattern: AnyPattern) -> int:
        return int(self.course.number_format.write(pattern).replace(" ", ""), 2)

    @property
    def _patterns(self) -> int:
        return 1 << self.course.number_format.bits

    @property
    def count(self) -> int:
        """How many questions there are."""
        kind = OPERATIONS[self.operation]
        if kind.takes == "values":
            return 2 * int(self._farthest / self._step) + 1
        if self._single:
            return self._patterns
        return self._patterns * self._divisors

    @property
    def _divisors(self) -> int:
        """How many patterns the second operand may be."""
        return self._patterns - sum(map(len, self._zeros))

    def _pattern(self, code: int) -> AnyPattern:
        fmt = self.course.number_format
        found: AnyPattern = fmt.read(to_bits(code, fmt.bits))
        return found

    def item(self, number: int) -> Given:
        """Return the operands of the question with this number, from 0."""
        kind = OPERATIONS[self.operation]
        if kind.takes == "values":
            return ((number - self.count // 2) * self._step,)
        if self._single:
            return (self._pattern(number), self.into) if self.into else (self._pattern(number),)
        first, second = divmod(number, self._divisors)
        for zeros in self._zeros:
            second += len(zeros) if second >= zeros.start else 0
        return (self._pattern(first), self._pattern(second))

    def pairs(self, numbers: Sequence[int]) -> list[Given]:
        """Return the operands of several questions by their numbers."""
        return [self.item(number) for number in numbers]

    def simplest(self, most: int) -> list[tuple[int, Given]]:
        """Return the *most* simplest: fewest 1s, and the lowest number among equals; values nearest to zero."""
        if OPERATIONS[self.operation].takes == "values":
            middle = self.count // 2
            order = sorted(
                range(max(0, middle - most), min(self.count, middle + most + 1)),
                key=lambda at: abs(at - middle),
            )
            return [(number, self.item(number)) for number in order[:most]]
        numbers = sorted(range(min(self.count, SEEN)), key=lambda number: (number.bit_count(), number))
        return [(number, self.item(number)) for number in numbers[:most]]


SEEN = 1 << 16
