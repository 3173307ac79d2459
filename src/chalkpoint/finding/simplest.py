"""The simplest questions of a request: best first, with exact lower bounds.

The cost of a question is a sum over what has to be written::

    1s in both mantissas + size of each exponent + places shifted to match them

Questions of one cost come in the order of their numbers.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from heapq import heappop, heappush

from chalkpoint.finding.classes import ShiftClass
from chalkpoint.finding.diagram import NO, Edge
from chalkpoint.finding.ranking import Ranked
from chalkpoint.numbers.formats import Pattern

__all__ = ["cost", "simplest_models"]


def cost(first: Pattern, second: Pattern, mantissa_bits: int) -> int:
    """Return what a question costs: the fewer, the simpler.

    >>> cost(Pattern(0b0110, 1), Pattern(0b0100, -1), 4)
    7
    """
    digits = (1 << mantissa_bits) - 1
    ones = (first.mantissa & digits).bit_count() + (second.mantissa & digits).bit_count()
    return ones + abs(first.exponent) + abs(second.exponent) + abs(first.exponent - second.exponent)


def simplest_models(parts: Sequence[tuple[ShiftClass, Ranked]], most: int) -> Iterator[tuple[int, int, int]]:
    """Yield (number, place of the class, bits) of the *most* simplest questions, simplest first.

    Blocks of questions wait in a heap by (least cost any of them could have, first number in them). The
    first of them is halved at its next bit; a block of one question cannot be beaten when its turn comes.
    """
    searches = []
    waiting: list[tuple[int, int, int, int, Edge, int]] = []
    start = 0
    for at, (shift, ranked) in enumerate(parts):
        searches.append(_Search(shift, ranked))
        if ranked.count:
            heappush(waiting, (2 * shift.least, start, at, 0, ranked.edge, 0))
        start += ranked.count
    found = 0
    while waiting and found < most:
        _, start, at, level, edge, model = heappop(waiting)
        search = searches[at]
        if level == search.variables:
            yield start, at, model
            found += 1
            continue
        for bit, (child, size) in enumerate(search.halves(edge, level)):
            if child != NO:
                longer = model << 1 | bit
                bound = search.bound(child, level + 1, longer)
                heappush(waiting, (bound, start, at, level + 1, child, longer))
            start += size


class _Search:
    """The costs in one class."""

    def __init__(self, shift: ShiftClass, ranked: Ranked) -> None:
        self.shift = shift
        self.ranked = ranked
        self.table = ranked.table
        self.variables = ranked.table.variables
        self.exponent_bits = shift.format.exponent_bits
        self.heading = sum(name in {"distance", "exponent"} for name, _ in shift.bits)
        # A normalised mantissa's second bit is the opposite of its first: one of the two is always a 1.
        self.costs = [0] * self.heading + [
            0 if place == shift.format.places else 1 for _, place in shift.bits[self.heading :]
        ]
        self._ones: dict[Edge, int] = {}

    def halves(self, edge: Edge, level: int) -> tuple[tuple[Edge, int], tuple[Edge, int]]:
        """Return where 0 and 1 at *level* lead, each with how many questions lie there."""
        node, turned = edge >> 1, edge & 1
        table = self.table
        low = high = edge
        if table.level[node] == level:
            low, high = table.low[node] ^ turned, table.high[node] ^ turned
        return (low, self._count(low, level + 1)), (high, self._count(high, level + 1))

    def _count(self, edge: Edge, level: int) -> int:
        return self.ranked.below(edge) << (self.table.level[edge >> 1] - level)

    def bound(self, edge: Edge, level: int, model: int) -> int:
        """Return the least a question can cost whose first *level* bits are *model*; exact for all of them."""
        ones = 2 + self._least_ones(edge)
        if level < self.heading:
            return ones + self._least_heading(level, model)
        past = level - self.heading
        written = sum(
            cost
            for cost, place in zip(self.costs[self.heading : level], range(past - 1, -1, -1), strict=True)
            if model >> place & 1
        )
        return ones + written + self._least_heading(self.heading, model >> past)

    def _least_ones(self, edge: Edge) -> int:
        """Return the fewest further mantissa 1s that lead from *edge* to yes."""
        if edge >> 1 == 0:
            return 0 if edge else 1 << 30
        least = self._ones.get(edge)
        if least is None:
            node, turned = edge >> 1, edge & 1
            table = self.table
            least = min(
                self._least_ones(table.low[node] ^ turned),
                self._least_ones(table.high[node] ^ turned) + self.costs[table.level[node]],
            )
            self._ones[edge] = least
        return least

    def _least_heading(self, level: int, model: int) -> int:
        """Return the least cost of exponents and shift when their first *level* bits are *model*."""
        bits, fmt = self.exponent_bits, self.shift.format
        distance = self.shift.least
        if self.shift.far:
            known = min(level, bits)
            code = model >> (level - known) << (bits - known)
            code_end = code + (1 << (bits - known)) - 1
            distance = code if self.shift.apart > 0 else (1 << bits) - 1 - code_end
            if level < bits:
                return 2 * max(distance, self.shift.least)
            level, model = level - bits, model & ((1 << (level - bits)) - 1)
        free = bits - level
        low = (model << free) + fmt.lowest_exponent
        high = low + (1 << free) - 1
        # |E| + |E - distance| is least for every E from 0 to the distance, and grows beyond either end.
        larger = max(low, min(high, max(0, low)))
        return abs(larger) + abs(larger - distance) + distance
