"""Counts of digits in a row of bits, written like rules: on one integer, an array, or every one at once."""

from __future__ import annotations

from chalkpoint.numbers.carriers import Number, where

__all__ = ["longest_run", "ones", "reads_the_same", "trailing_zeros"]


def ones(x: Number, bits: int) -> Number:
    """Return how many of the low *bits* bits of *x* are 1.

    >>> ones(0b0110100, 7), ones(-1, 4)
    (3, 4)
    """
    if type(x) is int:
        return (x & ((1 << bits) - 1)).bit_count()
    if bits == 1:
        return x & 1
    half = bits // 2
    return ones(x, half) + ones(x >> half, bits - half)


def trailing_zeros(x: Number, most: int) -> Number:
    """Return how many 0s stand at the end of *x*, counting no more than *most*.

    >>> trailing_zeros(0b0110100, 7), trailing_zeros(0, 7)
    (2, 7)
    """
    if type(x) is int:
        return min(most, (x & -x).bit_length() - 1) if x else most
    count = 0
    # What is past *most* stops the count there.
    x = x | (1 << most)
    step = 1 << most.bit_length()
    while step := step >> 1:
        empty = x & ((1 << step) - 1) == 0
        count = count + where(empty, step, 0)
        x = where(empty, x >> step, x)
    return count


def longest_run(x: Number, bits: int) -> Number:
    """Return the length of the longest run of 1s in the low *bits* bits of *x*.

    >>> longest_run(0b110111, 6)
    3
    """
    row = x & ((1 << bits) - 1)
    longest = 0
    for _ in range(bits):
        longest = longest + where(row == 0, 0, 1)
        row = row & (row >> 1)
    return longest


def reads_the_same(x: Number, bits: int) -> Number:
    """Return whether the low *bits* bits of *x* are the same read backwards.

    >>> reads_the_same(0b0110, 4), reads_the_same(0b0111, 4)
    (True, False)
    """
    same = True
    for place in range(bits // 2):
        same = same & ((x >> place) & 1 == (x >> (bits - 1 - place)) & 1)
    return same
