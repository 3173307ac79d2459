"""A forest: the diagrams of one stored thing, in compact arrays, as they lie on disk.

Nodes are numbered from 1, children before parents; node 0 is the end. Edges are as in `diagram`.
"""

from __future__ import annotations

import struct
from collections.abc import Sequence
from dataclasses import dataclass

from chalkpoint.finding.diagram import Edge, Table

__all__ = ["Forest", "harvest"]

HEADER = struct.Struct("<II")


@dataclass(frozen=True)
class Forest:
    """Nodes of some diagrams, and the edges at their tops.

    >>> table = Table(2)
    >>> forest = harvest(table, [table.both(table.bit(0), table.bit(1))])
    >>> len(forest.level), Forest.from_bytes(forest.to_bytes())[0] == forest
    (2, True)
    """

    level: list[int]
    low: list[Edge]
    high: list[Edge]
    roots: list[Edge]

    def plant(self, table: Table) -> list[Edge]:
        """Put the nodes into *table* and return the tops there."""
        move = table.adopt(self.level, self.low, self.high)
        return [edge + move if edge > 1 else edge for edge in self.roots]

    def to_bytes(self) -> bytes:
        """Return the forest as bytes, the same on every machine."""
        edges = struct.pack(f"<{2 * len(self.low)}I", *self.low, *self.high)
        roots = struct.pack(f"<{len(self.roots)}I", *self.roots)
        return HEADER.pack(len(self.level), len(self.roots)) + bytes(self.level) + edges + roots

    @classmethod
    def from_bytes(cls, data: bytes, at: int = 0) -> tuple[Forest, int]:
        """Return the forest that starts *at* a place in *data*, and where it ends."""
        nodes, roots = HEADER.unpack_from(data, at)
        at += HEADER.size
        level = list(data[at : at + nodes])
        at += nodes
        numbers = struct.unpack_from(f"<{2 * nodes + roots}I", data, at)
        forest = cls(
            level, list(numbers[:nodes]), list(numbers[nodes : 2 * nodes]), list(numbers[2 * nodes :])
        )
        return forest, at + 4 * (2 * nodes + roots)


def harvest(table: Table, roots: Sequence[Edge]) -> Forest:
    """Return the nodes of *table* that *roots* reach, and no others."""
    level, low, high = table.level, table.low, table.high
    reached = set()
    waiting = [root >> 1 for root in roots]
    while waiting:
        node = waiting.pop()
        if node and node not in reached:
            reached.add(node)
            waiting.append(low[node] >> 1)
            waiting.append(high[node] >> 1)
    # A node is made after its children, so the order of the table is an order children first.
    kept = sorted(reached)
    new = dict(zip([0, *kept], range(0, 2 * len(kept) + 1, 2), strict=True))

    def moved(edge: Edge) -> Edge:
        return new[edge >> 1] | (edge & 1)

    return Forest(
        [level[node] for node in kept],
        [moved(low[node]) for node in kept],
        [moved(high[node]) for node in kept],
        [moved(root) for root in roots],
    )
