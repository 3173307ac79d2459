"""What a step came to, by hand, at the edges: rows that are 0, quotients with 0s in them, exponents that are equal."""

import pytest

import chalkpoint as cp
from chalkpoint.numbers.formats import parse_format
from chalkpoint.working.facts import addition, alignment, division


@pytest.mark.parametrize(
    ("first", "second", "signs", "zeros"),
    [
        (5, 0, "000", 1),
        (0, 5, "000", 1),
        (0, -3, "011", 1),
        (-3, 0, "101", 1),
        (0, 0, "000", 2),
        (5, -5, "010", 0),
    ],
)
def test_rows_that_are_zero_are_counted_and_have_the_sign_bit_0(
    first: int, second: int, signs: str, zeros: int
) -> None:
    """Zero is neither below 0 nor left out."""
    found = addition(first, second, 8)
    assert (found.signs, found.zeros) == (signs, zeros)


def test_a_quotient_takes_the_divisor_away_at_each_of_its_ones() -> None:
    """34 / 3 = 1011 in binary and 1 left: 34 - 24 = 10, 10 - 6 = 4, 4 - 3 = 1."""
    assert division(34, 3).takes == ((3, 10), (1, 4), (0, 1))
    assert division(13, 3).takes == ((2, 1),)
    assert division(2, 3).takes == ()


def test_equal_exponents_copy_no_sign_bit() -> None:
    """Nothing moves, so nothing is filled."""
    step = cp.work("add", "01101000 0011", "01011011 0011").steps[1]
    found = alignment(step, parse_format("8+4"))
    assert (found.apart, found.copies, found.lost, found.moved) == (0, 0, "", "")
