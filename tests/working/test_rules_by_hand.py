"""Single rules on pages worked by hand: odd shifts, the second operand, rounding on either side of a half."""

from fractions import Fraction

import pytest

import chalkpoint as cp
from chalkpoint.numbers.formats import parse_format
from chalkpoint.numbers.named import fixed_format, format_called, size_format
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.beliefs.negating import inverted_size
from chalkpoint.working.floating import (
    carry_out,
    cut_to_nearest,
    cut_to_nearest_away,
    cut_to_width,
    judge_range,
    kept_at_lowest,
    normalise_to_lowest,
)
from chalkpoint.working.multiplying import multiply
from chalkpoint.working.page import IN_RANGE, OVERFLOW, UNDERFLOW, Page
from chalkpoint.working.procedures import answer_by, right_method
from chalkpoint.working.question import ask
from chalkpoint.working.sizes import SizePage, combine, normalise_operands
from chalkpoint.working.storing import StorePage, give_sign, write_size


@pytest.mark.parametrize(
    ("total", "to_even", "away"),
    # of 4 parts each: 92.25, 92.5, 92.75, 93.5, and the same below zero
    [
        (369, 92, 92),
        (370, 92, 93),
        (371, 93, 93),
        (374, 94, 94),
        (-369, -92, -92),
        (-370, -92, -93),
        (-371, -93, -93),
    ],
)
def test_a_mantissa_is_rounded_to_the_nearest(total: int, to_even: int, away: int) -> None:
    """Two places past the mantissa: below a half it stays, above it goes up, at a half as the course says."""
    page, fmt = Page(0, 0, 0, 0, total=total, extra=2), parse_format("8+4")
    assert cut_to_nearest(page, fmt).total == to_even
    assert cut_to_nearest_away(page, fmt).total == away


def test_either_size_is_normalised() -> None:
    """11 in five places with exponent 1 moves two places to the lowest exponent, -1: as the first or the second."""
    fmt = size_format(format_called("1+3+4 stored-one"))
    first = normalise_operands(SizePage(0, 0, 0, first=3, first_exponent=1), fmt)
    second = normalise_operands(SizePage(0, 0, 0, second=3, second_exponent=1), fmt)
    assert (first.first, first.first_exponent) == (second.second, second.second_exponent) == (12, -1)


@pytest.mark.parametrize(
    ("operands", "answer"),
    [
        (("7.5", "2.5"), "00011.000"),
        (("1", "3"), "00000.010"),
        (("-1", "3"), "11111.110"),
        (("7", "-2"), "11100.100"),
    ],
)
def test_a_fixed_point_number_is_divided(operands: tuple[str, str], answer: str) -> None:
    """The dividend has as many places more as the format: 3; 1/3 cut to 1/4, either sign; -3.5."""
    assert cp.work("divide", *operands, format="Q5.3").result.bits == answer.replace(".", "")


def test_a_size_that_never_ends_has_a_place_past_its_point() -> None:
    """333.333 in 5+3 does not fit by far: 101001101.0 is written all the same."""
    page = write_size(StorePage(Fraction(1000, 3)), cp.Course(format="5+3"))
    assert (page.number, page.places, page.ends) == (0b1010011010, 1, False)


@pytest.mark.parametrize("operands", [("2.5", "1.25"), ("1.25", "2.5")])
def test_a_place_too_far_where_the_exponents_are_one_apart(operands: tuple[str, str]) -> None:
    """0.101 with exponent 1 is moved two places: 0.101 + 0.00101 = 0.11001 with exponent 2, whichever is first."""
    question = ask("add", *operands, course=cp.Course())
    method = BELIEFS["align-off-by-one"].method_for("add", right_method("add", question.course))
    assert method is not None
    assert answer_by(method, question) == "01100100 0010"


def test_four_places_past_the_cut_are_written_of_a_tail_that_never_ends() -> None:
    """0.1 = 0.8 x 2^-3: in 5+3 its last place is the 7th after the point, so 11 are written: 204.8 of 2048."""
    page = write_size(StorePage(Fraction(1, 10)), cp.Course(format="5+3"))
    assert (page.number, page.places, page.ends) == (204, 11, False)


@pytest.mark.parametrize(
    ("value", "number", "stored"),
    [
        (Fraction(1, 2), 3, Fraction(3, 4)),
        (Fraction(-1, 2), 3, Fraction(-3, 4)),
        (Fraction(-1, 2), -3, Fraction(-3, 4)),
        (Fraction(0), 3, Fraction(3, 4)),
    ],
)
def test_digits_of_a_size_have_the_sign_of_what_was_asked(
    value: Fraction, number: int, stored: Fraction
) -> None:
    """11 in two places is 3/4, of a negative value -3/4; digits that have their sign already keep it."""
    page = StorePage(value).with_digits(number, 2)
    assert (page.value, page.asked) == (stored, value)


def test_a_carry_leaves_the_sign_column_of_seven_digits_and_one_spare() -> None:
    """In 7+4 with a place kept past the last the rows have 8 digits: 96 + 80 = 176 carries nothing out, -1 - 1 does."""
    fmt = parse_format("7+4")
    assert not carry_out(Page(96, 0, 80, 0, extra=1), fmt)
    assert carry_out(Page(-1, 0, -1, 0, extra=1), fmt)


@pytest.mark.parametrize(
    ("first", "second", "total", "overflowed"),
    [(104, -91, -9464, False), (-128, -128, 16384, True), (-128, 127, -16256, False)],
)
def test_only_minus_one_by_minus_one_is_a_product_past_the_mantissa(
    first: int, second: int, total: int, overflowed: bool
) -> None:
    """Of 8 digits each the product has 7 places more: 1 = 16384 of 16384 does not fit, -1 x 127/128 does."""
    page = multiply(Page(first, 0, second, 0), parse_format("8+4"))
    assert (page.total, page.extra, page.overflowed) == (total, 7, overflowed)


def test_exponents_may_be_counted_from_another_than_0() -> None:
    """-3 counted from -4 is -7: of two places only one is left to the lowest, -8; -5 is one place below it."""
    fmt = parse_format("8+4")
    moved = normalise_to_lowest(Page(0, 0, 0, 0, total=13, exponent=-3, datum=-4), fmt)
    assert (moved.total, moved.exponent) == (26, -4)
    kept = kept_at_lowest(cut_to_width)(Page(0, 0, 0, 0, total=26, exponent=-5, datum=-4), fmt)
    assert (kept.total, kept.exponent) == (13, -4)


def test_a_difference_of_one_unit_has_its_sign_apart() -> None:
    """8 - 9 is a size of 1 with the sign 1, and 9 - 8 one with the sign 0."""
    fmt = size_format(format_called("1+4+3"))
    below = combine(SizePage(0, 0, 0, 1, 0, 0, first=8, second=9), fmt)
    above = combine(SizePage(0, 0, 0, 1, 0, 0, first=9, second=8), fmt)
    assert (below.sign, below.total, above.sign, above.total) == (1, 1, 0, 1)


@pytest.mark.parametrize(("overflow", "written"), [("word", "overflow"), ("largest", "01111111 0111")])
def test_a_value_past_the_range_is_the_word_or_the_largest(overflow: str, written: str) -> None:
    """1000 is past 127: the course says what is written."""
    result = cp.work("encode", "1000", course=cp.Course(overflow=overflow)).result
    assert (result.bits or result.outcome) == written


def test_zero_costs_an_absolute_error_and_no_relative_one() -> None:
    """Nothing can be divided by 0."""
    working = cp.work("error", "0")
    assert [step.rule for step in working.steps] == ["zero", "absolute"]


@pytest.mark.parametrize(
    ("exponent", "outcome"), [(-5, UNDERFLOW), (-4, IN_RANGE), (11, IN_RANGE), (12, OVERFLOW)]
)
def test_the_range_is_judged_on_what_exponents_are_counted_from(exponent: int, outcome: int) -> None:
    """Counted from -4: -9 is below the lowest, -8 is it; 7 is the highest, and 8 past it."""
    page = Page(0, 0, 0, 0, total=64, exponent=exponent, datum=-4)
    assert judge_range(page, parse_format("8+4")).outcome == outcome


@pytest.mark.parametrize(
    ("value", "ends", "number"),
    [("3/4", True, 6), ("4/5", False, 6), ("-3/4", True, -6), ("-4/5", False, -7)],
)
def test_only_a_negative_value_is_negated(value: str, ends: bool, number: int) -> None:
    """0.110: inverted and one added, or inverted only where the digits never end."""
    page = StorePage(Fraction(value), number=6, places=3, ends=ends)
    assert give_sign(page, cp.Course()).number == number


def test_a_size_is_inverted_with_every_bit() -> None:
    """3 is 00000011, and 252 is 11111100; a number that is not negative is written as it is."""
    fmt = fixed_format(format_called("8"))
    assert (inverted_size(-3, fmt), inverted_size(3, fmt)) == (252, 3)
