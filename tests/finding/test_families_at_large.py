"""Counts in formats too wide to be walked: an estimate, held against counts by another road that knows no rule of ours.

The roads are counting by hand, carries column by column (how many pairs leave each carry), and values in order.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from fractions import Fraction

import pytest

import chalkpoint as cp

FOUR_IN_A_THOUSAND = Fraction(
    288, 196
)  # how much wider an interval is that misses so seldom, than one of 95%


def near(operation: str, fmt: str, where: str, exact: int) -> bool:
    """Tell whether the estimate is as near to the *exact* count as its interval says."""
    found = cp.find(operation, format=fmt, where=[where])
    assert not found.exact
    assert found.interval is not None
    low, high = found.interval
    below, above = found.count - low, high - found.count
    return -below * FOUR_IN_A_THOUSAND <= exact - found.count <= above * FOUR_IN_A_THOUSAND


@pytest.mark.parametrize(
    ("operation", "fmt", "where", "exact"),
    [
        ("add", "16", "overflow", 1 << 30),  # half of the pairs of two positives, and of two negatives
        ("add", "16 ones-complement", "end-around-carry", (1 << 16) * ((1 << 16) - 1) // 2),
        ("subtract", "16 unsigned", "borrow-past-first", (1 << 16) * ((1 << 16) - 1) // 2),
        (
            "add",
            "16 sign-and-magnitude",
            "overflow",
            (1 << 15) * ((1 << 15) - 1),
        ),  # alike in sign, past 15 digits
        ("multiply", "binary16", "special-operand", (1 << 32) - (62 << 10) ** 2),
        ("decode", "1750A-32", "sign-pattern = -", 1 << 31),
        ("encode", "Q8.8", "exact-result", 1 << 16),  # each pattern's own value
    ],
)
def test_counts_by_hand(operation: str, fmt: str, where: str, exact: int) -> None:
    """Where all there is to ask can be counted on paper."""
    assert near(operation, fmt, where, exact)


def test_carries_column_by_column() -> None:
    """Pairs of sixteen digits by how many carries their sum has, a column after another."""
    pairs = Counter({(0, 0): 1})  # by the carry into this column and those there were: how many pairs
    for _ in range(16):
        further: Counter[tuple[int, int]] = Counter()
        for (carry, carries), count in pairs.items():
            for ones, ways in ((0, 1), (1, 2), (2, 1)):
                out = (ones + carry) // 2
                further[out, carries + out] += count * ways
        pairs = further
    exact = sum(count for (_, carries), count in pairs.items() if carries >= 9)
    assert sum(pairs.values()) == 1 << 32
    assert near("add", "Q8.8", "carries >= 9", exact)


def test_sums_past_the_largest_by_values_in_order() -> None:
    """A sum in binary16 overflows from half a place past the largest on, either side: values in units of 2^-24."""
    sizes = [fraction << max(0, stored - 1) for stored in range(31) for fraction in units(stored)]
    values = sorted([*sizes, *(-size for size in sizes)])
    past = (2048 << 29) - (1 << 28)  # 65504 and half of its last place, 16
    over = sum(len(values) - bisect_left(values, past - value) for value in values)
    assert near("add", "binary16", "overflow", 2 * over)


def units(stored: int) -> range:
    """Return the sizes under a stored exponent, in units of their last place."""
    return range(1024) if stored == 0 else range(1024, 2048)
