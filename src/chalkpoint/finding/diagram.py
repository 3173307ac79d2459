"""Decision diagrams: every yes-or-no question about a row of bits, each stored once.

A diagram asks for one bit after another, in a fixed order, and ends in yes or no. Equal parts are
shared, so a diagram for 2**62 questions may have a few hundred nodes (reduced ordered binary
decision diagrams with complement edges; Bryant 1986, Brace, Rudell & Bryant 1990).

An *edge* is a number: twice a node's place in the table, plus 1 where yes and no are exchanged.
Node 0 is the end, so edge 0 is "no" and edge 1 is "yes"; ``edge ^ 1`` is the opposite of ``edge``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, TypeAlias

from chalkpoint.numbers.symbolic import Bit

__all__ = ["NO", "YES", "Edge", "Table", "TooLargeError"]

Edge: TypeAlias = Bit
NO: Edge = 0
YES: Edge = 1

KEY = 28  # bits an edge takes in the key of a memory: 2**27 nodes
MOST_NODES = 1 << 24


class TooLargeError(Exception):
    """A diagram has outgrown the nodes it was allowed."""


class Table:
    """The nodes of the diagrams over *variables* bits, and the operations that make them.

    level, low, high  for each node: the bit it asks for, and where 0 and 1 lead (low is never opposite)
    both(f, g)        f and g
    differ(f, g)      f or g but not both
    choose(c, f, g)   f where c, else g

    >>> table = Table(3)
    >>> first, last = table.bit(0), table.bit(2)
    >>> table.both(first, last) == table.both(last, first) != NO
    True
    >>> table.both(first, first ^ 1) == NO
    True

    Raises TooLargeError past *most* nodes.
    """

    __slots__ = ("_memories", "both", "choose", "differ", "high", "level", "low", "make", "variables")

    no: Edge = NO
    yes: Edge = YES

    def __init__(self, variables: int, most: int = MOST_NODES) -> None:
        self.variables = variables
        # The end lies below the last bit; it leads to itself.
        self.level: list[int] = [variables]
        self.low: list[Edge] = [NO]
        self.high: list[Edge] = [NO]
        self._memories: list[dict[Any, Edge]] = [{}, {}, {}, {}]
        known, both, differ, choose = self._memories
        self.make = _maker(self.level, self.low, self.high, known, most)
        self.both = _both(self.level, self.low, self.high, both, self.make)
        self.differ = _differ(self.level, self.low, self.high, differ, self.make)
        self.choose = _choose(self, choose)

    def bit(self, number: int) -> Edge:
        """Return the diagram that is the bit *number* itself."""
        return self.make(number, NO, YES)

    def top(self, edges: Iterable[Edge]) -> int:
        """Return the first bit that some of *edges* depend on."""
        return min(self.level[edge >> 1] for edge in edges)

    def opposite(self, f: Edge) -> Edge:
        """Return yes where f is no."""
        return f ^ 1

    def either(self, f: Edge, g: Edge) -> Edge:
        """Return f or g."""
        return self.both(f ^ 1, g ^ 1) ^ 1

    def all(self, edges: Iterable[Edge]) -> Edge:
        """Return whether every one of *edges* holds."""
        held = YES
        for edge in edges:
            held = self.both(held, edge)
        return held

    def forget(self) -> None:
        """Give the memory back at once; the table cannot be used after this.

        An operation that calls itself would keep its table alive until the next collection.
        """
        for memory in self._memories:
            memory.clear()
        for nodes in (self.level, self.low, self.high):
            nodes.clear()

    def adopt(self, level: list[int], low: list[Edge], high: list[Edge]) -> Edge:
        """Append the nodes of a forest (all but its end); return what to add to each of its edges.

        They are not compared with the nodes already here: later operations may make a part twice,
        which costs a little and changes no answer.
        """
        move = 2 * (len(self.level) - 1)
        self.level += level
        self.low += [edge + move if edge > 1 else edge for edge in low]
        self.high += [edge + move if edge > 1 else edge for edge in high]
        return move


# The operations are functions made for one table: names bound once are found fastest, and these
# few lines are where all the time goes.

Maker: TypeAlias = Callable[[int, Edge, Edge], Edge]
Joiner: TypeAlias = Callable[[Edge, Edge], Edge]


def _maker(
    level: list[int], low: list[Edge], high: list[Edge], known: dict[tuple[int, Edge, Edge], Edge], most: int
) -> Maker:
    find = known.get

    def make(bit: int, zero: Edge, one: Edge) -> Edge:
        if zero == one:
            return zero
        turned = zero & 1
        key = (bit, zero ^ turned, one ^ turned)
        edge = find(key)
        if edge is None:
            edge = len(level) << 1
            if len(level) > most:
                raise TooLargeError
            known[key] = edge
            level.append(bit)
            low.append(key[1])
            high.append(key[2])
        return edge ^ turned

    return make


def _both(
    level: list[int], low: list[Edge], high: list[Edge], memory: dict[int, Edge], make: Maker
) -> Joiner:
    find = memory.get

    def both(f: Edge, g: Edge) -> Edge:
        if f > g:
            f, g = g, f
        if f == NO or f == g ^ 1:
            return NO
        if f in (YES, g):
            return g
        key = f << KEY | g
        edge = find(key)
        if edge is None:
            i, j = f >> 1, g >> 1
            at, other = level[i], level[j]
            f0 = f1 = f
            g0 = g1 = g
            if at <= other:
                turned = f & 1
                f0, f1 = low[i] ^ turned, high[i] ^ turned
            if other <= at:
                turned = g & 1
                g0, g1 = low[j] ^ turned, high[j] ^ turned
                at = other
            memory[key] = edge = make(at, both(f0, g0), both(f1, g1))
        return edge

    return both


def _differ(
    level: list[int], low: list[Edge], high: list[Edge], memory: dict[int, Edge], make: Maker
) -> Joiner:
    find = memory.get

    def differ(f: Edge, g: Edge) -> Edge:
        turned = (f ^ g) & 1
        f &= -2
        g &= -2
        if f > g:
            f, g = g, f
        if f == g:
            return turned
        if f == NO:
            return g ^ turned
        key = f << KEY | g
        edge = find(key)
        if edge is None:
            i, j = f >> 1, g >> 1
            at, other = level[i], level[j]
            f0 = f1 = f
            g0 = g1 = g
            if at <= other:
                f0, f1 = low[i], high[i]
            if other <= at:
                g0, g1 = low[j], high[j]
                at = other
            memory[key] = edge = make(at, differ(f0, g0), differ(f1, g1))
        return edge ^ turned

    return differ


def _choose(  # noqa: C901 - the cases of one table, written out because here the time goes
    table: Table, memory: dict[tuple[Edge, Edge, Edge], Edge]
) -> Callable[[Edge, Edge, Edge], Edge]:
    level, low, high = table.level, table.low, table.high
    make, both, differ = table.make, table.both, table.differ
    find = memory.get

    def choose(c: Edge, f: Edge, g: Edge) -> Edge:  # noqa: C901 - as above
        if c & 1:
            c, f, g = c ^ 1, g, f
        if c == NO or f == g:
            return g
        if f == YES:
            return both(c ^ 1, g ^ 1) ^ 1
        if g == NO:
            return both(c, f)
        if f == NO:
            return both(c ^ 1, g)
        if g == YES:
            return both(c, f ^ 1) ^ 1
        if f == g ^ 1:
            return differ(c, g)
        key = (c, f, g)
        edge = find(key)
        if edge is None:
            i, j, k = c >> 1, f >> 1, g >> 1
            at, second, third = level[i], level[j], level[k]
            c0 = c1 = c
            f0 = f1 = f
            g0 = g1 = g
            at = min(at, second)
            at = min(at, third)
            if level[i] == at:
                c0, c1 = low[i], high[i]
            if second == at:
                turned = f & 1
                f0, f1 = low[j] ^ turned, high[j] ^ turned
            if third == at:
                turned = g & 1
                g0, g1 = low[k] ^ turned, high[k] ^ turned
            memory[key] = edge = make(at, choose(c0, f0, g0), choose(c1, f1, g1))
        return edge

    return choose
