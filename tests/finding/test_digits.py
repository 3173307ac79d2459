"""A second, independent count at 24+8: columns added by a little machine that knows no rule of ours.

The machine goes through the columns of an addition from the right, keeping the carry, and multiplies
the ways a column can be filled. It shares nothing with the rules, the diagrams or the carriers.
"""

from collections import Counter
from collections.abc import Callable
from itertools import product
from math import comb

import pytest

import chalkpoint as cp

MANTISSA, EXPONENT = 24, 8


def free_bits(place: int) -> bool:
    """Tell whether a normalised mantissa's bit at a place is free once its sign is known."""
    return place < MANTISSA - 2


def column_ways(shift: int, first_sign: int, second_sign: int) -> Counter[tuple[int, int, int, int]]:
    """Count the ways to fill the columns, by (carry into the sign column, carry out, last sum bit, sum's sign)."""

    def digits(place: int, sign: int) -> tuple[int, ...]:
        if free_bits(place):
            return (0, 1)
        return (1 - sign,) if place == MANTISSA - 2 else (sign,)

    states: Counter[tuple[int, int]] = Counter({(0, -1): 1})
    for column in range(MANTISSA - 1):
        following: Counter[tuple[int, int]] = Counter()
        for (carry, last), ways in states.items():
            for a, b in product(digits(column, first_sign), digits(column + shift, second_sign)):
                total = a + b + carry
                following[total >> 1, total & 1 if column == 0 else last] += ways
        states = following
    ended: Counter[tuple[int, int, int, int]] = Counter()
    for (carry, last), ways in states.items():
        total = first_sign + second_sign + carry
        ended[carry, total >> 1, last, total & 1] += ways
    return ended


def count(wanted: Callable[[int, int, int, int], bool], lost: Callable[[int, int, int], int]) -> int:
    """Count additions by what *wanted* says of the columns, times the ways *lost* gives for the digits shifted off."""
    found = 0
    for distance in range(1 << EXPONENT):
        exponents = (1 << EXPONENT) - distance
        sides = 1 if distance == 0 else 2
        for signs in product((0, 1), repeat=2):
            ways = sum(number for state, number in column_ways(distance, *signs).items() if wanted(*state))
            found += sides * exponents * ways * lost(distance, signs[1], MANTISSA - 2)
    return found


def all_lost(distance: int, sign: int, free: int) -> int:
    """Return the ways to fill the free digits that are shifted off."""
    return 1 << min(distance, free)


def two_lost(distance: int, sign: int, free: int) -> int:
    """Return the ways to fill the digits shifted off with exactly two 1s among them."""
    gone = min(distance, free)
    fixed = (1 - sign if distance >= MANTISSA - 1 else 0) + sign * max(distance - (MANTISSA - 1), 0)
    return comb(gone, 2 - fixed) if 0 <= 2 - fixed <= gone else 0


@pytest.mark.parametrize(
    ("where", "wanted", "lost"),
    [
        (["mantissa-overflow"], lambda into, out, last, sign: into != out, all_lost),
        (["carry-dropped"], lambda into, out, last, sign: into == out == 1, all_lost),
        (["overflow-without-carry"], lambda into, out, last, sign: (into, out) == (1, 0), all_lost),
        (["repair-loses-bit"], lambda into, out, last, sign: into != out and last == 1, all_lost),
        (["lost-ones = 2"], lambda *state: True, two_lost),
        (["lost-ones = 2", "carry-dropped"], lambda into, out, last, sign: into == out == 1, two_lost),
    ],
    ids=lambda part: " and ".join(part) if isinstance(part, list) else None,
)
def test_additions_of_24_8_are_counted_alike(
    where: list[str],
    wanted: Callable[[int, int, int, int], bool],
    lost: Callable[[int, int, int], int],
) -> None:
    """The atlas and the machine give one count of all 2**62 additions."""
    assert cp.find("add", format="24+8", where=where).count == count(wanted, lost)
