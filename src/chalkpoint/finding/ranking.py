"""Counting what a diagram says yes to, and finding the one of a given rank.

Ranks follow the order of the bits: a question whose bits read as a smaller number comes first. All
counts are exact integers.
"""

from __future__ import annotations

from typing import TypeAlias

from chalkpoint.finding.diagram import Edge, Table

__all__ = ["Ranked"]

# A node on the way to a question: its level, the questions below it, where 0 leads and how many
# questions that has, where 1 leads.
Step: TypeAlias = tuple[int, int, Edge, int, Edge]


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

    __slots__ = ("_below", "_steps", "count", "edge", "table")

    def __init__(self, table: Table, edge: Edge) -> None:
        self.table = table
        self.edge = edge
        # For a node: how many rows of the bits from its own level down lead from it to yes.
        self._below: dict[int, int] = {}
        self._steps: dict[Edge, Step] = {}
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
        steps, variables = self._steps, self.table.variables
        edge, model, at = self.edge, 0, 0
        while True:
            step = steps.get(edge) or self._step(edge)
            level, size, low, count, high = step
            if level != at:  # bits nobody asks for: every row of them, times what lies below
                free, rank = divmod(rank, size)
                model = model << (level - at) | free
                if level == variables:
                    return model
            if rank < count:
                edge = low
                model <<= 1
            else:
                edge = high
                model = model << 1 | 1
                rank -= count
            at = level + 1
            if at == variables:
                return model

    def rank(self, model: int) -> int:
        """Return how many rows of bits that it says yes to come before *model*, which is one of them.

        >>> table = Table(3)
        >>> ranked = Ranked(table, table.either(table.bit(0), table.bit(2)))
        >>> [ranked.rank(model) for model in (1, 3, 4, 5, 6, 7)]
        [0, 1, 2, 3, 4, 5]
        """
        variables = self.table.variables
        edge, rank, at = self.edge, 0, 0
        while True:
            level, size, low, count, high = self._steps.get(edge) or self._step(edge)
            rank += (model >> (variables - level) & ((1 << (level - at)) - 1)) * size
            if level == variables:
                return rank
            if model >> (variables - 1 - level) & 1:
                edge, rank = high, rank + count
            else:
                edge = low
            at = level + 1
            if at == variables:
                return rank

    def _step(self, edge: Edge) -> Step:
        """Return what is needed to go on from *edge*, worked out once."""
        table, node, turned = self.table, edge >> 1, edge & 1
        level, low, high = table.level[node], table.low[node] ^ turned, table.high[node] ^ turned
        count = self.below(low) << max(table.level[low >> 1] - level - 1, 0)
        step = self._steps[edge] = level, self.below(edge), low, count, high
        return step
