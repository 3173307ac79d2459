"""Many integers in one stroke: an integer of which every bit is known for many questions at once.

An `Integer` is a row of bits, and a `Condition` is one bit. What a bit is, its algebra knows alone
(`Bits`): a decision diagram over every question there is (``finding/diagram.py``), or lanes, one
question a place of a plain integer (``numbers/lanes.py``). Both classes take the operators that rules
use; what turns out alike for every question comes back as a plain int or bool, so that a shift by a
known distance stays a plain shift.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol, TypeAlias

from chalkpoint.numbers.carriers import Number, Truth, opposite, where

__all__ = ["Bit", "Bits", "Condition", "Integer", "as_bit", "as_row", "condition", "integer"]

Bit: TypeAlias = int


class Bits(Protocol):
    """An algebra of bits, each of which may differ from question to question.

    Equal bits are equal numbers, and `no` and `yes` are the bits that are alike for every question.
    """

    @property
    def no(self) -> Bit:
        """The bit that is 0 everywhere."""

    @property
    def yes(self) -> Bit:
        """The bit that is 1 everywhere."""

    def both(self, f: Bit, g: Bit, /) -> Bit:
        """Return f and g."""

    def either(self, f: Bit, g: Bit, /) -> Bit:
        """Return f or g."""

    def differ(self, f: Bit, g: Bit, /) -> Bit:
        """Return f or g but not both."""

    def choose(self, c: Bit, f: Bit, g: Bit, /) -> Bit:
        """Return f where c, else g."""

    def opposite(self, f: Bit, /) -> Bit:
        """Return 1 where f is 0."""


Row: TypeAlias = list[Bit]


def condition(bits: Bits, bit: Bit) -> Condition | bool:
    """Return the condition that *bit* is, or a plain bool where it is alike everywhere.

    >>> from chalkpoint.numbers.lanes import Lanes
    >>> condition(Lanes(2), 0b11), condition(Lanes(2), 0)
    (True, False)
    """
    if bit == bits.no:
        return False
    return True if bit == bits.yes else Condition(bits, bit)


def integer(bits: Bits, row: Row) -> Integer | int:
    """Return the integer whose two's complement bits are *row*, lowest first, or a plain int.

    >>> from chalkpoint.numbers.lanes import Lanes
    >>> integer(Lanes(2), [0b11, 0, 0])
    1
    """
    while len(row) > 1 and row[-1] == row[-2]:
        row.pop()
    no, yes = bits.no, bits.yes
    for bit in row:
        if bit not in (no, yes):
            return Integer(bits, row)
    return sum((bit != no) << place for place, bit in enumerate(row[:-1])) - (
        (row[-1] != no) << (len(row) - 1)
    )


def as_bit(bits: Bits, truth: Truth) -> Bit:
    """Return a condition, or a plain bool, as a bit.

    >>> from chalkpoint.numbers.lanes import Lanes
    >>> bin(as_bit(Lanes(3), True))
    '0b111'
    """
    if isinstance(truth, Condition):
        return truth.bit
    return bits.yes if truth else bits.no


def as_row(bits: Bits, number: Number) -> Row:
    """Return the bits of an integer, one of many or plain, lowest first; the last is the sign.

    >>> from chalkpoint.numbers.lanes import Lanes
    >>> as_row(Lanes(2), 2)
    [0, 3, 0]
    """
    if isinstance(number, Integer):
        return number.row
    number = int(number)
    no, yes = bits.no, bits.yes
    return [yes if number >> place & 1 else no for place in range(number.bit_length() + 1)]


def _widen(row: Row, width: int) -> Row:
    return row + [row[-1]] * (width - len(row))


class Condition:
    """A condition on the question, as one bit."""

    __slots__ = ("bit", "bits")
    __hash__ = None  # type: ignore[assignment]

    def __init__(self, bits: Bits, bit: Bit) -> None:
        self.bits = bits
        self.bit = bit

    def __bool__(self) -> bool:
        raise TypeError("a condition on every question at once is neither true nor false")

    def __and__(self, other: Truth) -> Truth:
        return condition(self.bits, self.bits.both(self.bit, as_bit(self.bits, other)))

    def __or__(self, other: Truth) -> Truth:
        return condition(self.bits, self.bits.either(self.bit, as_bit(self.bits, other)))

    def __xor__(self, other: Truth) -> Truth:
        return condition(self.bits, self.bits.differ(self.bit, as_bit(self.bits, other)))

    def __invert__(self) -> Condition:
        return Condition(self.bits, self.bits.opposite(self.bit))

    def __eq__(self, other: object) -> Truth:
        return condition(self.bits, self.bits.opposite(self.bits.differ(self.bit, as_bit(self.bits, other))))

    def __ne__(self, other: object) -> Truth:
        return self ^ other

    __rand__, __ror__, __rxor__ = __and__, __or__, __xor__

    def select(self, yes: Number, no: Number) -> Number:
        """Return *yes* where the condition holds and *no* elsewhere, two numbers or two conditions."""
        bits, bit = self.bits, self.bit
        if isinstance(yes, bool | Condition) and isinstance(no, bool | Condition):
            return condition(bits, bits.choose(bit, as_bit(bits, yes), as_bit(bits, no)))
        left, right = as_row(bits, yes), as_row(bits, no)
        width = max(len(left), len(right))
        choose = bits.choose
        return integer(
            bits,
            [choose(bit, f, g) for f, g in zip(_widen(left, width), _widen(right, width), strict=True)],
        )


class Integer:
    """An integer that depends on the question, of any size; its last bit repeats for ever."""

    __slots__ = ("bits", "row")
    __hash__ = None  # type: ignore[assignment]

    def __init__(self, bits: Bits, row: Row) -> None:
        self.bits = bits
        self.row = row

    def __bool__(self) -> bool:
        raise TypeError("every integer at once is neither zero nor not")

    def max(self) -> int:
        """Return a number that none of these is above."""
        return (1 << (len(self.row) - 1)) - 1

    def _opposites(self, row: Row) -> Row:
        opposite = self.bits.opposite
        return [opposite(bit) for bit in row]

    def _sum(self, left: Row, right: Row, carry: Bit) -> Number:
        bits = self.bits
        differ, choose = bits.differ, bits.choose
        width = max(len(left), len(right)) + 1
        total = []
        for f, g in zip(_widen(left, width), _widen(right, width), strict=True):
            half = differ(f, g)
            total.append(differ(half, carry))
            carry = choose(half, carry, g)
        return integer(bits, total)

    def __add__(self, other: Number) -> Number:
        return self._sum(self.row, as_row(self.bits, other), self.bits.no)

    __radd__ = __add__

    def __sub__(self, other: Number) -> Number:
        return self._sum(self.row, self._opposites(as_row(self.bits, other)), self.bits.yes)

    def __rsub__(self, other: Number) -> Number:
        return self._sum(self._opposites(self.row), as_row(self.bits, other), self.bits.yes)

    def __mul__(self, other: Number) -> Number:
        """Multiply: one shifted copy for each 1 of the other number, whose sign place counts negative."""
        if not isinstance(other, Integer):
            return self._times(other)
        product: Number = 0
        *places, sign = other.row
        for place, bit in enumerate(places):
            product = product + (self._where(bit) << place)
        return product - (self._where(sign) << len(places))

    def _times(self, other: int) -> Number:
        product: Number = 0
        for place in range(abs(other).bit_length()):
            if abs(other) >> place & 1:
                product = (self << place) + product
        return product if other >= 0 else -product

    def _where(self, bit: Bit) -> Number:
        """Return this number where *bit* is 1, else 0."""
        both = self.bits.both
        return integer(self.bits, [both(bit, own) for own in self.row])

    def __floordiv__(self, other: Number) -> Number:
        """Divide by numbers above 0, toward minus infinity; where one is not, the quotient is any number."""
        differ, (*digits, sign) = self.bits.differ, self.row
        divisor = as_row(self.bits, other)
        # The quotient of -1 - n is -1 less that of n, so the digits of a negative are turned on both sides.
        quotient: Row = []
        rest: Row = [self.bits.no]
        for digit in reversed(digits):
            rest, enough = self._taken([differ(digit, sign), *rest], divisor)
            quotient.insert(0, differ(enough, sign))
        return integer(self.bits, [*quotient, sign])

    def __rfloordiv__(self, other: int) -> Number:
        return Integer(self.bits, as_row(self.bits, other)) // self

    def _taken(self, rest: Row, divisor: Row) -> tuple[Row, Bit]:
        """Return *rest* less the divisor where that is no less than 0, and where it is; both are from 0 up."""
        differ, choose = self.bits.differ, self.bits.choose
        width = max(len(rest), len(divisor))
        rest, divisor = _widen(rest, width), _widen(divisor, width)
        left, borrow = [], self.bits.no
        for f, g in zip(rest, divisor, strict=True):
            unlike = differ(f, g)
            left.append(differ(unlike, borrow))
            borrow = choose(unlike, g, borrow)
        kept = [choose(borrow, f, g) for f, g in zip(rest, left, strict=True)]
        return kept[: len(divisor)], self.bits.opposite(borrow)

    __rmul__ = __mul__

    def __neg__(self) -> Number:
        return 0 - self

    def __abs__(self) -> Number:
        return where(self < 0, -self, self)

    def __str__(self) -> str:
        raise TypeError("many numbers at once cannot be written in digits")

    def __invert__(self) -> Number:
        return Integer(self.bits, self._opposites(self.row))

    def __lshift__(self, places: Number) -> Number:
        if isinstance(places, Integer):
            return self._moved(places, left=True)
        return Integer(self.bits, [self.bits.no] * places + self.row)

    def __rlshift__(self, other: int) -> Number:
        return Integer(self.bits, as_row(self.bits, other)) << self

    def __rshift__(self, places: Number) -> Number:
        if isinstance(places, Integer):
            return self._moved(places, left=False)
        return integer(self.bits, self.row[places:] or self.row[-1:])

    def __rrshift__(self, other: int) -> Number:
        return Integer(self.bits, as_row(self.bits, other)) >> self

    def _moved(self, places: Integer, *, left: bool) -> Number:
        """Shift by a distance that depends on the question, its binary places in turn, largest first.

        The distance is never negative: rules shift by `larger(distance, 0)`.
        """
        number: Number = self
        for place in reversed(range(len(places.row) - 1)):
            step = 1 << place
            moved = number << step if left else number >> step
            wanted = condition(self.bits, places.row[place])
            if wanted is True:
                number = moved
            elif wanted is not False:
                number = wanted.select(moved, number)
        return number

    def _by_place(self, other: Number, join: Callable[[Bit, Bit], Bit]) -> Number:
        left, right = self.row, as_row(self.bits, other)
        width = max(len(left), len(right))
        return integer(
            self.bits, [join(f, g) for f, g in zip(_widen(left, width), _widen(right, width), strict=True)]
        )

    def __and__(self, other: Number) -> Number:
        return self._by_place(other, self.bits.both)

    def __or__(self, other: Number) -> Number:
        return self._by_place(other, self.bits.either)

    def __xor__(self, other: Number) -> Number:
        return self._by_place(other, self.bits.differ)

    __rand__, __ror__, __rxor__ = __and__, __or__, __xor__

    def __eq__(self, other: object) -> Truth:
        left, right = self.row, as_row(self.bits, other)
        width = max(len(left), len(right))
        both, differ, opposite = self.bits.both, self.bits.differ, self.bits.opposite
        unlike = [differ(f, g) for f, g in zip(_widen(left, width), _widen(right, width), strict=True)]
        if self.bits.yes in unlike:
            return False
        # Low digits alone are compared from the lowest up: those of a sum depend on the fewest bits of
        # the question. Whole numbers are compared from the sign down, where most of them part.
        alike = self.bits.yes
        for bit in unlike if unlike[-1] == self.bits.no else reversed(unlike):
            alike = both(alike, opposite(bit))
            if alike == self.bits.no:
                return False
        return condition(self.bits, alike)

    def __ne__(self, other: object) -> Truth:
        alike = self == other
        return not alike if isinstance(alike, bool) else ~alike

    def _less(self, left: Row, right: Row) -> Truth:
        """Return whether *left* is below *right*."""
        bits = self.bits
        if not left[-1] == right[-1] == bits.no:
            return condition(bits, self._borrow(left, right))
        # Of two numbers from 0 up, a 1 past the end of the shorter may decide by itself.
        width = min(len(left), len(right))
        past = bits.no
        for bit in reversed(max(left, right, key=len)[width:]):
            past = bits.either(past, bit)
            if past == bits.yes:
                return len(left) < len(right)
        less = self._borrow([*left[:width], bits.no], [*right[:width], bits.no])
        if len(left) < len(right):
            return condition(bits, bits.either(past, less))
        return condition(bits, bits.both(bits.opposite(past), less))

    def _borrow(self, left: Row, right: Row) -> Bit:
        """Return the borrow out of the sign place of *left* minus *right*."""
        differ, choose = self.bits.differ, self.bits.choose
        width = max(len(left), len(right))
        left, right = _widen(left, width), _widen(right, width)
        less: Bit = self.bits.no
        for f, g in zip(left[:-1], right[:-1], strict=True):
            less = choose(differ(f, g), g, less)
        # The sign place counts negative: there the one that has it is the lower.
        return choose(differ(left[-1], right[-1]), left[-1], less)

    def __lt__(self, other: Number) -> Truth:
        return self._less(self.row, as_row(self.bits, other))

    def __gt__(self, other: Number) -> Truth:
        return self._less(as_row(self.bits, other), self.row)

    def __le__(self, other: Number) -> Truth:
        return opposite(self > other)

    def __ge__(self, other: Number) -> Truth:
        return opposite(self < other)
