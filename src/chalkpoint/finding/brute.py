"""Brute force: every question of a small space looked at, in lanes.

This is how requests are answered that no small diagram describes, and how the diagrams are checked:
the same rules and traits run here question by question, with every distance of exponents by itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property
from heapq import nsmallest
from itertools import count, product
from typing import NamedTuple

from chalkpoint.finding.atlas import Watch
from chalkpoint.finding.case import Case
from chalkpoint.finding.measures import ones_of
from chalkpoint.finding.request import Term
from chalkpoint.finding.trait import MOST_QUESTIONS
from chalkpoint.numbers.carriers import Number, Truth, where
from chalkpoint.numbers.formats import FloatFormat, Pattern
from chalkpoint.numbers.lanes import Lanes, nth_of, positions
from chalkpoint.working.course import Course

__all__ = ["Brute", "is_small", "space_size"]


def space_size(fmt: FloatFormat, *, normalised: bool) -> int:
    """Return how many pairs of patterns there are, of normalised ones or of all."""
    return 1 << (2 * (fmt.bits - 1 if normalised else fmt.bits))


def is_small(fmt: FloatFormat, *, normalised: bool) -> bool:
    """Tell whether all pairs can be looked at, one by one."""
    return space_size(fmt, normalised=normalised) <= MOST_QUESTIONS


class Block(NamedTuple):
    """The questions of one signed difference of exponents.

    apart  first exponent minus second
    start  the bits of the first question as one number: those of the larger exponent from the lowest,
           then the mantissas' as aligned
    lanes  a lane for each question, those bits ascending
    mask   the questions selected
    """

    apart: int
    start: int
    lanes: Lanes
    mask: int

    @property
    def size(self) -> int:
        """How many are selected."""
        return self.mask.bit_count()


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
        self.format = course.float_format
        self.terms = tuple(terms)
        self.normalised = normalised
        self.watch = watch

    @cached_property
    def blocks(self) -> list[Block]:
        """The questions selected, by the signed difference of their exponents, ascending."""
        blocks = []
        most = (1 << self.format.exponent_bits) - 1
        for apart in range(-most, most + 1):
            start = abs(apart) << self._mantissas
            lanes = Lanes(((most + 1) << self._mantissas) - start)
            case = self.case(apart, lanes.counting(start))
            met: Truth = True
            for term in self.terms:
                met = met & term.meets(case)
            blocks.append(Block(apart, start, lanes, lanes.mask(met)))
            if self.watch:
                self.watch(apart + most + 1, 2 * most + 1)
        return blocks

    @cached_property
    def _mantissas(self) -> int:
        """Bits of both mantissas; a normalised one's second bit goes without saying."""
        bits: int = self.format.mantissa_bits
        return 2 * (bits - 1 if self.normalised else bits)

    def case(self, apart: int, models: Number) -> Case:
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

    def _take_apart(self, apart: int, models: Number) -> tuple[Number, Number]:
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
        return sum(block.size for block in self.blocks)

    @property
    def is_empty(self) -> bool:
        """Whether nothing is selected."""
        return self.count == 0

    def pairs(self, numbers: Sequence[int]) -> list[tuple[Pattern, Pattern]]:
        """Return the operands of several questions by their numbers, in the order given."""
        return [self.pair(number) for number in numbers]

    def pair(self, number: int) -> tuple[Pattern, Pattern]:
        """Return the operands of the question with this number, from 0."""
        for block in self.blocks:
            if number < block.size:
                return self._patterns(block.apart, block.start + nth_of(block.mask, number))
            number -= block.size
        raise IndexError(number)

    def _patterns(self, apart: int, model: int) -> tuple[Pattern, Pattern]:
        first, second = self._take_apart(apart, model)
        larger = (model >> self._mantissas) + self.format.lowest_exponent
        return Pattern(first, larger + min(apart, 0)), Pattern(second, larger - max(apart, 0))

    def everything(self) -> Iterator[tuple[Pattern, Pattern]]:
        """Yield the operands of every question selected, in order."""
        for block in self.blocks:
            for at in positions(block.mask):
                yield self._patterns(block.apart, block.start + at)

    def simplest(self, most: int) -> list[tuple[int, tuple[Pattern, Pattern]]]:
        """Return the *most* simplest questions as (number, operands), simplest first."""
        costs: list[tuple[int, int]] = []
        start = 0
        for block in self.blocks:
            numbers = count(start)
            costs += nsmallest(most, zip(self._costs(block), numbers, strict=False))
            start += block.size
        return [(number, self.pair(number)) for _, number in nsmallest(most, costs)]

    def _costs(self, block: Block) -> list[int]:
        """Return what each question selected in *block* costs (`simplest.py`)."""
        models = block.lanes.counting(block.start)
        first, second = self._take_apart(block.apart, models)
        larger = (models >> self._mantissas) + self.format.lowest_exponent
        width = self.format.mantissa_bits
        ones = ones_of((first, width), (second, width))
        cost = ones + _size(larger) + _size(larger - abs(block.apart)) + abs(block.apart)
        costs = block.lanes.unpack(cost)
        return [costs[at] for at in positions(block.mask)]

    def table(self, columns: Sequence[Sequence[Term]]) -> dict[tuple[str, ...], int]:
        """Return how many selected questions meet each combination of one term a column."""
        counts = {tuple(term.text for term in terms): 0 for terms in product(*columns)}
        for block in self.blocks:
            case = self.case(block.apart, block.lanes.counting(block.start))
            met = {term.text: block.lanes.mask(term.meets(case)) for column in columns for term in column}
            for terms in counts:
                here = block.mask
                for text in terms:
                    here &= met[text]
                counts[terms] += here.bit_count()
        return counts


def _size(x: Number) -> Number:
    return where(x < 0, -x, x)
