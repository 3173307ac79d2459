"""What a step came to, by hand, at the edges: rows that are 0, quotients with 0s in them, exponents that are equal."""

from fractions import Fraction

import pytest

import chalkpoint as cp
from chalkpoint.numbers.formats import parse_format
from chalkpoint.working.facts import (
    Cut,
    addition,
    alignment,
    cut,
    division,
    ending,
    exponents,
    normalising,
    reading,
)
from chalkpoint.working.losing import past_mantissa
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
        (5, -1, "010", 0),
        (-1, 5, "100", 0),
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
    assert not found.worth


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


@pytest.mark.parametrize(
    ("first", "second", "signed", "carried", "carry_out", "overflowed"),
    [
        (-1, 1, True, "11111110", True, False),  # every column carries, and one carry leaves
        (-128, 127, True, "00000000", False, False),
        (64, 64, True, "10000000", False, True),
        (3, 4, False, "00000000", False, False),
        (200, 55, False, "00000000", False, False),  # 255 is the last that fits
        (200, 56, False, "11110000", True, True),
    ],
)
def test_carries_and_overflow_by_hand(
    first: int, second: int, signed: bool, carried: str, carry_out: bool, overflowed: bool
) -> None:
    """A carry that leaves is overflow only where no place is a sign."""
    found = addition(first, second, 8, signed=signed)
    assert (found.carried, found.carry_out, found.overflowed) == (carried, carry_out, overflowed)


@pytest.mark.parametrize(
    ("first", "second", "zero", "apart", "copies", "left"),
    [
        ("8.875", "3.6875", "", 2, 2, 29),  # 0.1110110 moved two places is 0.0011101
        ("-64", "0.5", "", 6, 6, 1),  # -64 is 1.0000000 * 2^6, and 0.1000000 * 2^0 becomes 0.0000001
        ("64", "0.375", "", 8, 8, 0),
        ("0", "5.25", "first", 11, 0, 0),  # zero has the lowest exponent, -8
        ("5.25", "0", "second", 11, 0, 0),
        ("11111111 0011", "01000000 0000", "", 3, 3, 8),  # -1 in the last place is no zero
    ],
)
def test_matching_exponents_by_hand(
    first: str, second: str, zero: str, apart: int, copies: int, left: int
) -> None:
    """How far, how many copies of the sign bit, and what is left of the row that moved."""
    working = cp.work("add", first, second, course=cp.Course(operands="as written"))
    step = next(step for step in working.steps if step.rule == "align")
    found = alignment(step, parse_format("8+4"))
    assert (found.zero, found.apart, found.copies, found.left) == (zero, apart, copies, left)


@pytest.mark.parametrize(
    ("moved", "sign"), [("01000000 0000", 0), ("10000000 0000", 1), ("11111111 0000", 1)]
)
def test_what_fills_the_places_is_the_sign_of_the_row_that_moves(moved: str, sign: int) -> None:
    """Below zero it is a 1, be it by one unit of the last place only."""
    working = cp.work("add", moved, "01000000 0011", course=cp.Course(operands="as written"))
    step = next(step for step in working.steps if step.rule == "align")
    assert alignment(step, parse_format("8+4")).sign == sign


@pytest.mark.parametrize(
    ("second", "places", "alike"),
    [("-3.5", 1, 2), ("-5.25", 2, 3), ("-5.75", 3, 4), ("-6.25", 4, 5), ("-6.375", 5, 6)],
)
def test_one_digit_more_is_alike_than_places_are_moved(second: str, places: int, alike: int) -> None:
    """6.5 - 5.25 = 1.25 = 0.0010100 * 2^3: three are alike and two moved, and so on."""
    working = cp.work("add", "6.5", second)
    step = next(step for step in working.steps if step.rule == "normalise")
    assert normalising(step)[:2] == (places, alike)


def test_a_product_of_no_zero_has_exponents_that_mean_something() -> None:
    """Neither mantissa is 0, one of them is below."""
    assert exponents(Page(104, 3, -96, 2, exponent=5)).zero == ""
    assert exponents(Page(-104, 3, 96, 2, exponent=5)).zero == ""
    assert exponents(Page(0, -8, 96, 2, exponent=-6)).zero == "first"


@pytest.mark.parametrize(
    ("first", "second", "signs"),
    [(96, 48, "001"), (3, 4, "000"), (-3, 7, "100"), (-96, -96, "110"), (40, 24, "000")],
)
def test_the_sign_bit_of_a_sum_is_the_first_of_the_rows_own_width(
    first: int, second: int, signs: str
) -> None:
    """96 + 48 = 144 = 10010000 in 8 digits; -192 leaves 01000000; 64 = 01000000 is positive."""
    assert addition(first, second, 8).signs == signs


def test_a_digit_in_the_extra_sign_place_is_one_copy_less() -> None:
    """1 - (-1): turned into +1.0 the second has nine digits, and two places further 0.01000000: one copy, not two."""
    working = cp.work("subtract", "01000000 0011", "10000000 0001", method="negate-then-align")
    (step,) = (step for step in working.steps if step.rule == "align")
    found = alignment(step, parse_format("8+4"))
    assert (found.moved, found.apart, found.beyond, found.copies) == ("second", 2, True, 1)


@pytest.mark.parametrize(
    ("extra", "overflowed", "spare", "digits"),
    [
        (3, False, True, "01"),  # 011, the last of them the spare place
        (3, True, True, "011"),  # which a repair filled
        (3, False, False, "011"),
        (1, False, True, "1"),
    ],
)
def test_digits_past_the_mantissa(extra: int, overflowed: bool, spare: bool, digits: str) -> None:
    """Of 1011."""
    page = Page(0, 0, 0, 0, total=0b1011, extra=extra, overflowed=overflowed)
    assert past_mantissa(page, spare=spare) == digits


def test_a_row_moved_past_its_end_has_no_more_copies_than_digits() -> None:
    """15 places: of 8 digits and one guard bit all nine are copies of the sign bit."""
    working = cp.work("add", "01000000 0111", "01000000 1000", method="one-guard-bit")
    (step,) = (step for step in working.steps if step.rule == "align")
    found = alignment(step, parse_format("8+4"))
    assert (found.apart, found.copies, found.guard, found.left) == (15, 9, 1, 0)


@pytest.mark.parametrize(
    ("first", "second", "zero", "negative"),
    [("127", "127", False, False), ("-127", "-127", False, True), ("6.5", "-6.5", True, False)],
)
def test_the_end_of_a_working_is_zero_or_below_or_neither(
    first: str, second: str, zero: bool, negative: bool
) -> None:
    """254 and -254 are past the range, 0 is not: each has its own sentence."""
    working = cp.work("add", first, second, course=cp.Course(overflow="largest"))
    (step,) = (step for step in working.steps if step.rule == "range")
    found = ending(step, parse_format("8+4"))
    assert (found.zero, found.negative) == (zero, negative)


def test_seven_digits_and_one_guard_bit_are_eight_copies() -> None:
    """-1 moved 15 places in 7+4."""
    working = cp.work("add", "0100000 0111", "1000000 1000", format="7+4", method="one-guard-bit")
    (step,) = (step for step in working.steps if step.rule == "align")
    found = alignment(step, parse_format("7+4"))
    assert (found.apart, found.sign, found.copies, found.left) == (15, 1, 8, -1)
