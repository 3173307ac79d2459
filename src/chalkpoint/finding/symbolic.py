"""Every integer at once: the third carrier a rule runs on.

An `Integer` is a row of bits, each of them a decision diagram over the bits of the question; a
`Condition` is one diagram. They take the operators rules use, and what turns out to be constant
comes back as a plain int or bool, so that a shift by a known distance stays a plain shift.
"""

from __future__ import annotations

from typing import Any, TypeAlias

from chalkpoint.finding.diagram import NO, YES, Edge, Table

__all__ = ["Condition", "Integer", "as_edge", "as_row", "condition", "integer"]

Row: TypeAlias = list[Edge]


def condition(table: Table, edge: Edge) -> Condition | bool:
    """Return the condition *edge*, or a plain bool where it is constant."""
    return bool(edge) if edge in (NO, YES) else Condition(table, edge)


def integer(table: Table, row: Row) -> Integer | int:
    """Return the integer whose two's complement bits are *row*, lowest first, or a plain int."""
    while len(row) > 1 and row[-1] == row[-2]:
        row.pop()
    if all(edge in (NO, YES) for edge in row):
        return sum(edge << place for place, edge in enumerate(row[:-1])) - (row[-1] << (len(row) - 1))
    return Integer(table, row)


def as_edge(truth: Any) -> Edge:
    """Return the edge of a condition or a plain bool."""
    return truth.edge if isinstance(truth, Condition) else int(bool(truth))


def as_row(number: Any) -> Row:
    """Return the bits of an integer, symbolic or plain, lowest first; the last is the sign."""
    if isinstance(number, Integer):
        return number.row
    number = int(number)
    return [number >> place & 1 for place in range(number.bit_length() + 1)]


def _widen(row: Row, width: int) -> Row:
    return row + [row[-1]] * (width - len(row))


class Condition:
    """A condition on the question, as one diagram."""

    __slots__ = ("edge", "table")
    __hash__ = None  # type: ignore[assignment]

    def __init__(self, table: Table, edge: Edge) -> None:
        self.table = table
        self.edge = edge

    def __bool__(self) -> bool:
        raise TypeError("a condition on every question at once is neither true nor false")

    def __and__(self, other: Any) -> Any:
        return condition(self.table, self.table.both(self.edge, as_edge(other)))

    def __or__(self, other: Any) -> Any:
        return condition(self.table, self.table.either(self.edge, as_edge(other)))

    def __xor__(self, other: Any) -> Any:
        return condition(self.table, self.table.differ(self.edge, as_edge(other)))

    def __invert__(self) -> Condition:
        return Condition(self.table, self.edge ^ 1)

    def __eq__(self, other: object) -> Any:
        return condition(self.table, self.table.differ(self.edge, as_edge(other)) ^ 1)

    def __ne__(self, other: object) -> Any:
        return self ^ other

    __rand__, __ror__, __rxor__ = __and__, __or__, __xor__

    def select(self, yes: Any, no: Any) -> Any:
        """Return *yes* where the condition holds and *no* elsewhere, two numbers or two conditions."""
        table, edge = self.table, self.edge
        if isinstance(yes, bool | Condition) and isinstance(no, bool | Condition):
            return condition(table, table.choose(edge, as_edge(yes), as_edge(no)))
        left, right = as_row(yes), as_row(no)
        width = max(len(left), len(right))
        choose = table.choose
        return integer(
            table,
            [choose(edge, f, g) for f, g in zip(_widen(left, width), _widen(right, width), strict=True)],
        )


class Integer:
    """An integer that depends on the question, of any size; its last bit repeats for ever."""

    __slots__ = ("row", "table")
    __hash__ = None  # type: ignore[assignment]

    def __init__(self, table: Table, row: Row) -> None:
        self.table = table
        self.row = row

    def __bool__(self) -> bool:
        raise TypeError("every integer at once is neither zero nor not")

    @property
    def top(self) -> int:
        """The first bit of the question that the number depends on."""
        return min(self.table.level[edge >> 1] for edge in self.row)

    def _sum(self, left: Row, right: Row, carry: Edge) -> Any:
        table = self.table
        differ, choose = table.differ, table.choose
        width = max(len(left), len(right)) + 1
        total = []
        for f, g in zip(_widen(left, width), _widen(right, width), strict=True):
            half = differ(f, g)
            total.append(differ(half, carry))
            carry = choose(half, carry, g)
        return integer(table, total)

    def __add__(self, other: Any) -> Any:
        return self._sum(self.row, as_row(other), NO)

    __radd__ = __add__

    def __sub__(self, other: Any) -> Any:
        return self._sum(self.row, [edge ^ 1 for edge in as_row(other)], YES)

    def __rsub__(self, other: Any) -> Any:
        return self._sum([edge ^ 1 for edge in self.row], as_row(other), YES)

    def __mul__(self, other: int) -> Any:
        """Multiply by a plain number, one shifted copy for each 1 of it."""
        product: Any = 0
        for place in range(abs(other).bit_length()):
            if abs(other) >> place & 1:
                product = (self << place) + product
        return product if other >= 0 else -product

    __rmul__ = __mul__

    def __neg__(self) -> Any:
        return 0 - self

    def __invert__(self) -> Any:
        return Integer(self.table, [edge ^ 1 for edge in self.row])

    def __lshift__(self, places: Any) -> Any:
        if isinstance(places, Integer):
            return self._moved(places, left=True)
        return Integer(self.table, [NO] * places + self.row)

    def __rlshift__(self, other: int) -> Any:
        return Integer(self.table, as_row(other)) << self

    def __rshift__(self, places: Any) -> Any:
        if isinstance(places, Integer):
            return self._moved(places, left=False)
        return integer(self.table, self.row[places:] or self.row[-1:])

    def __rrshift__(self, other: int) -> Any:
        return Integer(self.table, as_row(other)) >> self

    def _moved(self, places: Integer, *, left: bool) -> Any:
        """Shift by a distance that depends on the question, its binary places in turn, largest first.

        The distance is never negative: rules shift by `larger(distance, 0)`.
        """
        number: Any = self
        for place in reversed(range(len(places.row) - 1)):
            step = 1 << place
            moved = number << step if left else number >> step
            wanted = condition(self.table, places.row[place])
            if wanted is True:
                number = moved
            elif wanted is not False:
                number = wanted.select(moved, number)
        return number

    def _by_place(self, other: Any, join: Any) -> Any:
        left, right = self.row, as_row(other)
        width = max(len(left), len(right))
        return integer(
            self.table, [join(f, g) for f, g in zip(_widen(left, width), _widen(right, width), strict=True)]
        )

    def __and__(self, other: Any) -> Any:
        return self._by_place(other, self.table.both)

    def __or__(self, other: Any) -> Any:
        return self._by_place(other, self.table.either)

    def __xor__(self, other: Any) -> Any:
        return self._by_place(other, self.table.differ)

    __rand__, __ror__, __rxor__ = __and__, __or__, __xor__

    def __eq__(self, other: object) -> Any:
        left, right = self.row, as_row(other)
        width = max(len(left), len(right))
        both, differ = self.table.both, self.table.differ
        unlike = [differ(f, g) for f, g in zip(_widen(left, width), _widen(right, width), strict=True)]
        if YES in unlike:
            return False
        # Low digits alone are compared from the lowest up: those of a sum depend on the fewest bits of
        # the question. Whole numbers are compared from the sign down, where most of them part.
        alike = YES
        for edge in unlike if unlike[-1] == NO else reversed(unlike):
            alike = both(alike, edge ^ 1)
            if alike == NO:
                return False
        return condition(self.table, alike)

    def __ne__(self, other: object) -> Any:
        alike = self == other
        return not alike if isinstance(alike, bool) else ~alike

    def _less(self, left: Row, right: Row) -> Any:
        """Return whether *left* is below *right*."""
        table = self.table
        if not left[-1] == right[-1] == NO:
            return condition(table, self._borrow(left, right))
        # Of two numbers from 0 up, a 1 past the end of the shorter may decide by itself.
        width = min(len(left), len(right))
        past = NO
        for edge in reversed(max(left, right, key=len)[width:]):
            past = table.either(past, edge)
            if past == YES:
                return len(left) < len(right)
        less = self._borrow([*left[:width], NO], [*right[:width], NO])
        if len(left) < len(right):
            return condition(table, table.either(past, less))
        return condition(table, table.both(past ^ 1, less))

    def _borrow(self, left: Row, right: Row) -> Edge:
        """Return the borrow out of the sign place of *left* minus *right*."""
        differ, choose = self.table.differ, self.table.choose
        width = max(len(left), len(right))
        left, right = _widen(left, width), _widen(right, width)
        less: Edge = NO
        for f, g in zip(left[:-1], right[:-1], strict=True):
            less = choose(differ(f, g), g, less)
        # The sign place counts negative: there the one that has it is the lower.
        return choose(differ(left[-1], right[-1]), left[-1], less)

    def __lt__(self, other: Any) -> Any:
        return self._less(self.row, as_row(other))

    def __gt__(self, other: Any) -> Any:
        return self._less(as_row(other), self.row)

    def __le__(self, other: Any) -> Any:
        return condition(self.table, as_edge(self > other) ^ 1)

    def __ge__(self, other: Any) -> Any:
        return condition(self.table, as_edge(self < other) ^ 1)
