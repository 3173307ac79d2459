"""Counts in formats too wide to be walked, held against counts by another road that knows no rule of ours.

The roads are counting by hand, carries column by column (how many pairs leave each carry), and values in order.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from fractions import Fraction
from itertools import pairwise

import pytest

import chalkpoint as cp
from chalkpoint.finding.columns import CountedByColumns, columns_answer
from chalkpoint.finding.estimate import Estimate
from chalkpoint.finding.familyspace import FamilySpace
from chalkpoint.numbers.named import fixed_format

FOUR_IN_A_THOUSAND = Fraction(
    288, 196
)  # how much wider an interval is that misses so seldom, than one of 95%


def near(operation: str, fmt: str, where: str, exact: int) -> bool:
    """Tell whether the count is *exact*, or an estimate as near to that as its interval says."""
    found = cp.find(operation, format=fmt, where=[where])
    if found.exact:
        return found.count == exact
    assert found.interval is not None
    low, high = found.interval
    below, above = found.count - low, high - found.count
    return -below * FOUR_IN_A_THOUSAND <= exact - found.count <= above * FOUR_IN_A_THOUSAND


@pytest.mark.parametrize(
    ("operation", "fmt", "where", "exact"),
    [
        ("add", "16", "overflow", 1 << 30),  # half of the pairs of two positives, and of two negatives
        ("add", "16", "result-zero", (1 << 16) - 1),  # each number and its opposite, but for the lowest
        ("subtract", "Q8.8", "result-zero", 1 << 16),  # each number from itself
        ("add", "32 unsigned", "carry-out", (1 << 31) * ((1 << 32) - 1)),
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


@pytest.mark.parametrize(
    ("operation", "fmt"),
    [("add", "4"), ("subtract", "Q3.1"), ("add", "4 unsigned"), ("subtract", "4 unsigned")],
)
def test_columns_count_what_looking_at_every_pair_counts(operation: str, fmt: str) -> None:
    """Each condition that columns answer, alone and with another, in rows so short that all pairs are looked at too."""
    asked = [
        "sparse <= 3",
        "sign-pattern = +-",
        "operand-zero",
        "overflow",
        "not exact-result",
        "result-zero",
    ]
    asked += [
        "carry-into-sign",
        "carry-out",
        "carries >= 2",
        "carry-chain = 2",
        "borrows = 2",
        "borrow-past-first",
    ]
    counted = 0
    for one, other in pairwise(asked):
        try:
            looked_at = cp.find(operation, format=fmt, where=[one, other])
        except ValueError:  # carries have no meaning where something is borrowed, nor the other way about
            continue
        if columns_answer(operation, looked_at.course.number_format, looked_at.terms):
            drawn = Estimate(FamilySpace(operation, looked_at.course), looked_at.terms, lambda given: given)
            rows = fixed_format(looked_at.course.number_format)
            assert CountedByColumns(operation, rows, drawn).count == looked_at.count
            counted += 1
    assert counted >= 3
