"""Counting what a diagram says yes to, and finding the one of a given rank.

Ranks follow the order of the bits: a question whose bits read as a smaller number comes first. All
counts are exact integers.
"""

from __future__ import annotations

from collections.abc import Sequence

from chalkpoint.finding.diagram import Edge, Table

__all__ = ["Ranked"]


class Ranked:
    """A diagram whose yes-answers are counted, ready to be numbered.

    table  where its nodes are
    edge   the diagram
    count  how many rows of bits it says yes to

    >>> table = Table(3)
    >>> ranked = Ranked(table, table.either(table.bit(0), table.bit(2)))
    >>> ranked.count, [ranked.model(rank) for rank in range(6)]
    (6, [1, 3, 4, 5, 6, 7])
    """

    __slots__ = ("_below", "count", "edge", "table")

    def __init__(self, table: Table, edge: Edge) -> None:
        self.table = table
        self.edge = edge
        # For a node: how many rows of the bits from its own level down lead from it to yes.
        self._below: dict[int, int] = {}
        self.count = self.below(edge) << table.level[edge >> 1]

    def below(self, edge: Edge) -> int:
        """Return how many rows of the bits from the level of *edge* down it says yes to."""
        node = edge >> 1
        if node == 0:
            return edge
        count = self._below.get(node)
        if count is None:
            level, low, high = self.table.level, self.table.low[node], self.table.high[node]
            next_level = level[node] + 1
            count = (self.below(low) << (level[low >> 1] - next_level)) + (
                self.below(high) << (level[high >> 1] - next_level)
            )
            self._below[node] = count
        if edge & 1:
            return (1 << (self.table.variables - self.table.level[node])) - count
        return count

    def model(self, rank: int) -> int:
        """Return the row of bits of this *rank*, read as one number; ranks begin at 0."""
        return self.models((rank,))[0]

    def models(self, ranks: Sequence[int]) -> list[int]:
        """Return the rows of bits of several *ranks*, in the order given."""
        level, lows, highs = self.table.level, self.table.low, self.table.high
        variables, below = self.table.variables, self._below
        found = []
        for wanted in ranks:
            rank, edge, model, at = wanted, self.edge, 0, 0
            while True:
                node, turned = edge >> 1, edge & 1
                here = level[node]
                if here != at:  # bits nobody asks for: every row of them, times what lies below
                    free, rank = divmod(rank, self.below(edge))
                    model = model << (here - at) | free
                if here == variables:
                    break
                edge = lows[node] ^ turned
                child = edge >> 1
                if child:
                    count = below[child]
                    if edge & 1:
                        count = (1 << (variables - level[child])) - count
                else:
                    count = edge
                count <<= level[child] - here - 1
                model <<= 1
                if rank >= count:
                    rank -= count
                    edge = highs[node] ^ turned
                    model |= 1
                at = here + 1
            found.append(model)
        return found
