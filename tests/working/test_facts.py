"""What a step came to, by hand, at the edges: rows that are 0, quotients with 0s in them, exponents that are equal."""

from fractions import Fraction

import pytest

import chalkpoint as cp
from chalkpoint.numbers.formats import parse_format
from chalkpoint.working.facts import Cut, addition, alignment, cut, division, reading
from chalkpoint.working.page import Page


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


def test_the_end_of_the_range_written_for_an_overflow_costs_all_that_is_past_it() -> None:
    """127 + 127 = 254, and the largest of 8+4 is 127: 127 is lost, on the last line."""
    working = cp.work("add", "127", "127", course=cp.Course(overflow="largest"))
    assert working.result.value == 127
    assert [(loss.rule, loss.bits, loss.worth) for loss in working.losses] == [("range", "", Fraction(127))]


def test_a_guard_bit_behind_nothing_is_a_0_that_is_cut() -> None:
    """6.5 - 6.5 = 0 with one guard bit: the cut takes that one 0, worth nothing."""
    working = cp.work("subtract", "6.5", "6.5", course=cp.Course(method="one-guard-bit"))
    step = next(step for step in working.steps if step.rule == "cut")
    assert cut(step, parse_format("8+4"), spare=False) == Cut(8, "0", Fraction(0))


@pytest.mark.parametrize(
    ("first", "second", "loose"),
    [(64, -65, ()), (63, -65, ("first",)), (64, -64, ("second",)), (127, -128, ()), (0, 1, ("second",))],
)
def test_loose_is_whose_first_two_bits_are_alike(first: int, second: int, loose: tuple[str, ...]) -> None:
    """0.1000000 and 1.0111111 are in normal form; 0.0111111 and 1.1000000 are not, and zero is neither."""
    assert reading(Page(first, 0, second, 0), 8).loose == loose
