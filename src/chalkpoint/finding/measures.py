"""Counts of digits in a row of bits, written like rules: on one integer, on many in lanes, or on every one at once."""

from __future__ import annotations

from chalkpoint.finding.diagram import Table
from chalkpoint.numbers.carriers import Number, Truth, where
from chalkpoint.numbers.symbolic import Integer

__all__ = ["has_run", "ones", "ones_at_least", "ones_of", "reads_the_same"]


def ones(x: Number, bits: int) -> Number:
    """Return how many of the low *bits* bits of *x* are 1.

    >>> ones(0b0110100, 7), ones(-1, 4)
    (3, 4)
    """
    if type(x) is int:
        return (x & ((1 << bits) - 1)).bit_count()
    return ones_of((x, bits))


def ones_of(*parts: tuple[Number, int]) -> Number:
    """Return how many 1s several numbers have together, each in its low bits.

    >>> ones_of((0b0110100, 7), (-1, 4))
    7
    """
    count = 0
    for digit in _digits(parts):
        count = count + digit
    return count


def ones_at_least(least: int, *parts: tuple[Number, int]) -> Truth:
    """Return whether several numbers have *least* 1s or more together, each in its low bits.

    >>> ones_at_least(7, (0b0110100, 7), (-1, 4)), ones_at_least(8, (0b0110100, 7), (-1, 4))
    (True, False)
    """
    # met[n]: whether the digits so far have n 1s or more
    met: list[Truth] = [True] + [False] * least
    for digit in _digits(parts):
        for n in range(least, 0, -1):
            met[n] = where(digit == 1, met[n - 1], met[n])
    return met[least]


def _digits(parts: tuple[tuple[Number, int], ...]) -> list[Number]:
    digits = [(x >> place) & 1 for x, bits in parts for place in range(bits)]
    # Diagrams stay small when the bit asked for last is counted first.
    digits.sort(key=_depth)
    return digits


def _depth(digit: Number) -> int:
    if isinstance(digit, Integer) and isinstance(digit.bits, Table):
        return -digit.bits.top(digit.row)
    return 0


def has_run(x: Number, length: int) -> Truth:
    """Return whether *x*, which is not negative, has *length* 1s in a row.

    >>> has_run(0b110111, 3), has_run(0b110111, 4)
    (True, False)
    """
    have = 1
    while have < length:
        step = min(have, length - have)
        x = x & (x >> step)
        have += step
    return x != 0 if length > 0 else x == x  # noqa: PLR0124 - on many numbers this is True everywhere


def reads_the_same(x: Number, bits: int) -> Truth:
    """Return whether the low *bits* bits of *x* are the same read backwards.

    >>> reads_the_same(0b0110, 4), reads_the_same(0b0111, 4)
    (True, False)
    """
    same: Truth = True
    for place in range(bits // 2):
        same = same & ((x >> place) & 1 == (x >> (bits - 1 - place)) & 1)
    return same
