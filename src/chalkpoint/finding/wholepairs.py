"""Pairs of whole or fixed-point numbers that meet a request: every one of them at once, in diagrams or in lanes.

The bits of both operands are interleaved, highest first, so that each column of a sum has its two digits side by side
and diagrams stay small however wide the rows are. Questions are numbered in the order of those bits.
"""

from __future__ import annotations

from collections.abc import Sequence
from heapq import heappop, heappush
from itertools import combinations, product

from chalkpoint.finding.diagram import NO, Edge, Table
from chalkpoint.finding.found import Given
from chalkpoint.finding.ranking import Ranked
from chalkpoint.finding.request import Term
from chalkpoint.finding.wholecase import WholeCase
from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.carriers import Number, Truth
from chalkpoint.numbers.lanes import Lanes, positions
from chalkpoint.numbers.symbolic import as_bit, integer
from chalkpoint.working.course import Course

__all__ = ["WholePairs", "meeting_in_order"]

MOST_NODES = 400_000  # past these a request is answered from a sample


def meeting_in_order(operation: str, course: Course, terms: Sequence[Term]) -> list[int]:
    """Return which pairs of a short format meet *terms*: the first operand's bits, then the second's, as one number.

    >>> meeting_in_order("add", Course(format="2 unsigned"), ())[-1]
    15
    """
    bits = course.fixed_format.bits
    lanes = Lanes(1 << 2 * bits)
    codes = lanes.counting()
    case = WholeCase(operation, course, codes >> bits, codes & ((1 << bits) - 1))
    met: Truth = True
    for term in terms:
        met = met & term.meets(case)
    return positions(lanes.mask(met))


class WholePairs:
    """The pairs of a format that meet every term: counted exactly, numbered, drawn and ranked.

    Raises TooLargeError where diagrams would grow too large.

    >>> WholePairs("add", Course(format="32 unsigned"), ()).count == 1 << 64
    True
    """

    def __init__(self, operation: str, course: Course, terms: Sequence[Term]) -> None:
        self.operation = operation
        self.course = course
        self.terms = tuple(terms)
        self.bits = course.fixed_format.bits
        self.nodes = Table(2 * self.bits, MOST_NODES)
        self.case = WholeCase(operation, course, self._operand(0), self._operand(1))
        self.edges = [as_bit(self.nodes, term.meets(self.case)) for term in self.terms]
        self.ranked = Ranked(self.nodes, self.nodes.all(self.edges))
        self._least: dict[Edge, int] = {}  # by diagram, the fewest further 1s that lead to yes

    def _operand(self, which: int) -> Number:
        """Return every pattern of one operand, read as unsigned."""
        places = range(self.bits)
        row = [self.nodes.bit(2 * (self.bits - 1 - place) + which) for place in places]
        return integer(self.nodes, [*row, NO])

    @property
    def count(self) -> int:
        """How many questions there are."""
        return self.ranked.count

    @property
    def is_empty(self) -> bool:
        """Whether there is none."""
        return self.ranked.edge == NO

    def pairs(self, numbers: Sequence[int]) -> list[Given]:
        """Return the operands of several questions by their numbers, in the order given."""
        return [self._operands(self.ranked.model(number)) for number in numbers]

    def _operands(self, model: int) -> Given:
        interleaved = to_bits(model, 2 * self.bits)
        return interleaved[::2], interleaved[1::2]

    def number_of(self, first: str, second: str) -> int:
        """Return the number of a question that is one of them."""
        return self.ranked.rank(int("".join(map("".join, zip(first, second, strict=True))), 2))

    def simplest(self, most: int) -> list[tuple[int, Given]]:
        """Return the *most* with the fewest 1s as (number, operands); of equals those that come first."""
        if self.is_empty:
            return []
        found: list[tuple[int, Given]] = []
        # The fewest 1s a question here can have, the first number here and how many of its bits are fixed, where they
        # lead, and the 1s among them.
        waiting = [(self._fewest(self.ranked.edge), 0, 0, self.ranked.edge, 0)]
        while waiting and len(found) < most:
            _, model, level, edge, ones = heappop(waiting)
            if level == self.nodes.variables:
                found.append((self.ranked.rank(model), self._operands(model)))
                continue
            for bit, child in enumerate(self._after(edge, level)):
                if child != NO:
                    least = ones + bit + self._fewest(child)
                    shifted = 1 << (self.nodes.variables - 1 - level)
                    heappush(waiting, (least, model + bit * shifted, level + 1, child, ones + bit))
        return found

    def _after(self, edge: Edge, level: int) -> tuple[Edge, Edge]:
        """Return where 0 and 1 at *level* lead."""
        node, turned = edge >> 1, edge & 1
        if self.nodes.level[node] != level:
            return edge, edge
        return self.nodes.low[node] ^ turned, self.nodes.high[node] ^ turned

    def _fewest(self, edge: Edge) -> int:
        """Return the fewest further 1s that lead from *edge* to yes."""
        if edge >> 1 == 0:
            return 0 if edge else 1 << 30
        if edge not in self._least:
            zero, one = self._after(edge, self.nodes.level[edge >> 1])
            self._least[edge] = min(self._fewest(zero), self._fewest(one) + 1)
        return self._least[edge]

    def table(self, columns: Sequence[Sequence[Term]]) -> dict[tuple[str, ...], int]:
        """Return how many questions meet each combination of one term a column."""
        met = {term.text: as_bit(self.nodes, term.meets(self.case)) for column in columns for term in column}
        counts = {}
        for terms in product(*columns):
            texts = tuple(term.text for term in terms)
            here = self.nodes.all([self.ranked.edge, *(met[text] for text in texts)])
            counts[texts] = Ranked(self.nodes, here).count
        return counts

    @property
    def contradiction(self) -> tuple[str, ...]:
        """The fewest terms that exclude each other, where no question meets them all."""
        for size in range(1, len(self.terms) + 1):
            for some in combinations(range(len(self.terms)), size):
                if self.nodes.all(self.edges[at] for at in some) == NO:
                    return tuple(self.terms[at].text for at in some)
        return ()
