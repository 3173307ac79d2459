"""Lanes: many questions in one stroke, each of them a place of every plain integer.

Bit number i of a bit here is what it is for question number i, so that ``&``, ``|`` and ``^`` of two
plain integers work all questions at once, exactly (bit slicing; Biham 1997, Knuth, TAOCP 7.1.3). A
set of questions, such as those where a condition holds, is a *mask*: the same integer.
"""

from __future__ import annotations

import operator
from array import array
from collections.abc import Iterable, Sequence
from itertools import compress
from typing import Any, TypeVar

from chalkpoint.numbers.carriers import Number, Truth
from chalkpoint.numbers.symbolic import Bit, Condition, Integer, as_bit, as_row, condition, integer

__all__ = ["Lanes", "nth_of", "positions"]

WORD = 64  # bits of one number of an `array`
DIGITS = [bytes(49 if byte >> place & 1 else 48 for byte in range(256)) for place in range(8)]
ZERO_OR_ONE = bytes(byte & 1 for byte in range(256))


Page = TypeVar(
    "Page", bound=Any
)  # a tuple with named fields, each a number, a truth or something alike everywhere


class Lanes:
    """The bits of *count* questions, an algebra for `symbolic.Integer`.

    >>> lanes = Lanes(3)
    >>> sums = lanes.pack([1, 2, 3]) + lanes.pack([10, -20, 30])
    >>> lanes.unpack(sums), positions(lanes.mask(sums < 0))
    ([11, -18, 33], [1])
    """

    __slots__ = ("count", "yes")

    no: Bit = 0
    both = staticmethod(operator.and_)
    either = staticmethod(operator.or_)
    differ = staticmethod(operator.xor)

    def __init__(self, count: int) -> None:
        self.count = count
        self.yes: Bit = (1 << count) - 1

    @staticmethod
    def choose(c: Bit, f: Bit, g: Bit, /) -> Bit:
        """Return f where c, else g."""
        return g ^ (c & (f ^ g))

    def opposite(self, f: Bit, /) -> Bit:
        """Return 1 where f is 0."""
        return f ^ self.yes

    def pack(self, values: Sequence[int]) -> Number:
        """Return the integer that is each of *values* for its question; a plain int where all are alike."""
        if not values:
            return 0
        width = max(max(values).bit_length(), min(values).bit_length()) + 1
        row: list[Bit] = []
        for low in range(0, width, WORD):
            words = array("Q", [(value >> low) & ((1 << WORD) - 1) for value in values]).tobytes()
            for byte in range(min(WORD, width - low + 7) // 8):
                digits = words[byte :: WORD // 8][::-1]
                row += [int(digits.translate(table), 2) for table in DIGITS]
        return integer(self, row[:width])

    def gather(self, pages: Sequence[Page]) -> Page:
        """Return *pages*, tuples of one kind and one a question, as one page that holds all their numbers.

        What is neither a number nor a truth must be alike on every page.
        """
        columns = zip(*pages, strict=True)
        page: Page = pages[0]._make(self._column(column) for column in columns)
        return page

    def _column(self, column: tuple[Number | Truth, ...]) -> Number:
        if isinstance(column[0], bool):
            return self.pack_truths(column)
        return self.pack(column) if isinstance(column[0], int) else column[0]

    def pack_truths(self, truths: Iterable[bool]) -> Condition | bool:
        """Return the condition that holds for the questions for which *truths* says so."""
        digits = bytes(49 if truth else 48 for truth in truths)[::-1]
        return condition(self, int(digits or b"0", 2))

    def counting(self, start: int = 0) -> Number:
        """Return the number of each question, the first of them *start*.

        >>> Lanes(4).unpack(Lanes(4).counting(6))
        [6, 7, 8, 9]
        """
        end = start + self.count
        row = []
        for place in range(max(end - 1, 0).bit_length()):
            width = 2 << place
            plane = ((1 << (1 << place)) - 1) << (1 << place)
            while width < end:
                plane |= plane << width
                width *= 2
            row.append(plane >> start & self.yes)
        return integer(self, [*row, self.no])

    def unpack(self, number: Number) -> list[int]:
        """Return *number*, an integer or a condition, for each question."""
        if isinstance(number, Condition):
            return list(_each(number.bit, self.count))
        if not isinstance(number, Integer):
            return [int(number)] * self.count
        row = number.row
        values = self._words(row[:WORD])
        for low in range(WORD, len(row), WORD):
            values = [
                value % (1 << low) | word << low
                for value, word in zip(values, self._words(row[low : low + WORD]), strict=True)
            ]
        return values

    def _words(self, row: list[Bit]) -> list[int]:
        """Return the integers of *row*, 64 places of it at most."""
        row += row[-1:] * (-len(row) % 8)
        words = bytearray(self.count * (WORD // 8))
        column = b""
        for byte in range(WORD // 8):
            if 8 * byte < len(row):
                whole = 0
                for place, bit in enumerate(row[8 * byte : 8 * byte + 8]):
                    whole |= int.from_bytes(_each(bit, self.count), "little") << place
                column = whole.to_bytes(self.count, "little")
            elif 8 * byte == len(row):
                column = bytes(255 * digit for digit in _each(row[-1], self.count))
            words[byte :: WORD // 8] = column
        values = array("q")
        values.frombytes(words)
        return values.tolist()

    def mask(self, truth: Truth) -> int:
        """Return the questions for which *truth*, a condition or a plain bool, holds."""
        return as_bit(self, truth)

    def truth(self, mask: int) -> Condition | bool:
        """Return the condition that holds for the questions of *mask*."""
        return condition(self, mask & self.yes)

    def at(self, number: Number, question: int) -> int:
        """Return *number*, an integer or a condition, for one question."""
        if isinstance(number, Condition):
            return number.bit >> question & 1
        if not isinstance(number, Integer):
            return int(number)
        *row, sign = as_row(self, number)
        return sum((bit >> question & 1) << place for place, bit in enumerate(row)) - (
            (sign >> question & 1) << len(row)
        )


def _each(mask: int, count: int) -> bytes:
    """Return a byte for each of *count* questions, 1 for those of *mask*."""
    digits = format(mask, f"0{count}b") if count else ""
    return digits.encode().translate(ZERO_OR_ONE)[::-1]


def positions(mask: int) -> list[int]:
    """Return the numbers of the questions of *mask*, ascending.

    >>> positions(0b10010)
    [1, 4]
    """
    count = mask.bit_length()
    return list(compress(range(count), _each(mask, count)))


def nth_of(mask: int, number: int) -> int:
    """Return the question numbered *number*, from 0, among those of *mask*.

    >>> nth_of(0b10010, 1)
    4
    """
    at, width = 0, mask.bit_length()
    while width > 1:
        half = width // 2
        low = mask & ((1 << half) - 1)
        within = low.bit_count()
        if number < within:
            mask, width = low, half
        else:
            mask, width, number, at = mask >> half, width - half, number - within, at + half
    return at
