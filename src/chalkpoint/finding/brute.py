"""Brute force: every question of a small space looked at, as arrays of integers.

This is how requests are answered that no small diagram describes, and how the diagrams are checked:
the same rules and traits run here on arrays, with every distance of exponents by itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import Any

from chalkpoint.finding.atlas import Watch
from chalkpoint.finding.case import Case
from chalkpoint.finding.request import Term
from chalkpoint.finding.trait import MOST_QUESTIONS
from chalkpoint.numbers.formats import FloatFormat, Pattern
from chalkpoint.working.course import Course

__all__ = ["Brute", "is_small", "space_size"]

WIDEST = 60  # bits that an exact answer may take in an array of 64-bit integers


def space_size(fmt: FloatFormat, *, normalised: bool) -> int:
    """Return how many pairs of patterns there are, of normalised ones or of all."""
    return 1 << (2 * (fmt.bits - 1 if normalised else fmt.bits))


def is_small(fmt: FloatFormat, *, normalised: bool) -> bool:
    """Tell whether all pairs can be looked at, one by one."""
    width = 2 * fmt.mantissa_bits + (1 << fmt.exponent_bits)
    return space_size(fmt, normalised=normalised) <= MOST_QUESTIONS and width <= WIDEST


class Brute:
    """The questions of a small space that meet every term of a request, in the documented order.

    normalised  whether the space holds pairs of normalised patterns only, or all pairs
    """

    def __init__(
        self,
        operation: str,
        course: Course,
        terms: Sequence[Term],
        *,
        normalised: bool = True,
        watch: Watch | None = None,
    ) -> None:
        self.operation = operation
        self.course = course
        self.format = course.number_format
        self.terms = tuple(terms)
        self.normalised = normalised
        self.watch = watch

    @cached_property
    def blocks(self) -> list[tuple[int, Any]]:
        """For each signed difference of exponents, ascending, the bits of the questions selected there.

        The bits are those of the larger exponent from the lowest, then the mantissas' as aligned.
        """
        import numpy as np

        blocks = []
        most = (1 << self.format.exponent_bits) - 1
        for apart in range(-most, most + 1):
            models = np.arange(abs(apart) << self._mantissas, (most + 1) << self._mantissas, dtype=np.int64)
            case = self.case(apart, models)
            met: Any = np.ones(len(models), dtype=bool)
            for term in self.terms:
                met &= term.meets(case)
            blocks.append((apart, models[met]))
            if self.watch:
                self.watch(apart + most + 1, 2 * most + 1)
        return blocks

    @cached_property
    def _mantissas(self) -> int:
        """Bits of both mantissas; a normalised one's second bit goes without saying."""
        bits: int = self.format.mantissa_bits
        return 2 * (bits - 1 if self.normalised else bits)

    def case(self, apart: int, models: Any) -> Case:
        """Return the questions of one signed difference with these bits, as one case."""
        first, second = self._take_apart(apart, models)
        larger = (models >> self._mantissas) + self.format.lowest_exponent
        return Case(
            self.operation,
            self.course,
            first,
            second,
            apart=apart,
            distance=abs(apart),
            larger_exponent=larger,
        )

    def _columns(self, apart: int) -> list[tuple[bool, int]]:
        """Return (whether it is the first operand's, place) of each mantissa bit, highest first."""
        width = self.format.mantissa_bits
        columns = []
        for place in range(width):
            if not (self.normalised and place == width - 2):
                columns.append((width - 1 - place + max(-apart, 0), 0, place))
                columns.append((width - 1 - place + max(apart, 0), 1, place))
        return [(operand == 0, place) for _, operand, place in sorted(columns)]

    def _take_apart(self, apart: int, models: Any) -> tuple[Any, Any]:
        width = self.format.mantissa_bits
        codes = {True: models & 0, False: models & 0}
        for at, (is_first, place) in enumerate(reversed(self._columns(apart))):
            codes[is_first] = codes[is_first] | ((models >> at & 1) << place)
        first, second = codes[True], codes[False]
        if self.normalised:
            first = first | ((first >> (width - 1) ^ 1) << (width - 2))
            second = second | ((second >> (width - 1) ^ 1) << (width - 2))
        return tuple(code - ((code >> (width - 1)) << width) for code in (first, second))

    @cached_property
    def count(self) -> int:
        """How many questions are selected."""
        return sum(int(models.size) for _, models in self.blocks)

    @property
    def is_empty(self) -> bool:
        """Whether nothing is selected."""
        return self.count == 0

    def pairs(self, numbers: Sequence[int]) -> list[tuple[Pattern, Pattern]]:
        """Return the operands of several questions by their numbers, in the order given."""
        return [self.pair(number) for number in numbers]

    def pair(self, number: int) -> tuple[Pattern, Pattern]:
        """Return the operands of the question with this number, from 0."""
        for apart, models in self.blocks:
            if number < len(models):
                return self._patterns(apart, models[number : number + 1])[0]
            number -= len(models)
        raise IndexError(number)

    def _patterns(self, apart: int, models: Any) -> list[tuple[Pattern, Pattern]]:
        first, second = self._take_apart(apart, models)
        larger = (models >> self._mantissas) + self.format.lowest_exponent
        first_exponent, second_exponent = larger + min(apart, 0), larger - max(apart, 0)
        rows = zip(
            first.tolist(), first_exponent.tolist(), second.tolist(), second_exponent.tolist(), strict=True
        )
        return [(Pattern(a, b), Pattern(c, d)) for a, b, c, d in rows]

    def everything(self) -> Iterator[tuple[Pattern, Pattern]]:
        """Yield the operands of every question selected, in order."""
        for apart, models in self.blocks:
            yield from self._patterns(apart, models)

    def simplest(self, most: int) -> list[tuple[int, tuple[Pattern, Pattern]]]:
        """Return the *most* simplest questions as (number, operands), simplest first."""
        import numpy as np

        costs, start = [], 0
        for apart, models in self.blocks:
            first, second = self._take_apart(apart, models)
            larger = (models >> self._mantissas) + self.format.lowest_exponent
            digits = (1 << self.format.mantissa_bits) - 1
            ones = np.bitwise_count(first & digits) + np.bitwise_count(second & digits)
            costs.append(ones.astype(np.int64) + abs(larger) + abs(larger - abs(apart)) + abs(apart))
            start += len(models)
        order = np.argsort(np.concatenate(costs), kind="stable")[:most].tolist()
        return [(number, self.pair(number)) for number in order]

    def table(self, columns: Sequence[Sequence[Term]]) -> dict[tuple[str, ...], int]:
        """Return how many selected questions meet each combination of one term a column."""
        from itertools import product

        counts = {tuple(term.text for term in terms): 0 for terms in product(*columns)}
        for apart, models in self.blocks:
            case = self.case(apart, models)
            met = {term.text: (models == models) & term.meets(case) for column in columns for term in column}  # noqa: PLR0124
            for terms in counts:
                here: Any = True
                for text in terms:
                    here = here & met[text]
                counts[terms] += int(here.sum())
        return counts
