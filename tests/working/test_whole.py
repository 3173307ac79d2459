"""Whole numbers and fixed point against Python's own integers."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

import chalkpoint as cp
from chalkpoint.working.page import Page
from chalkpoint.working.whole import round_nearest, round_nearest_away

APPLIED: dict[str, Callable[[int, int], int]] = {
    "add": lambda first, second: first + second,
    "subtract": lambda first, second: first - second,
    "multiply": lambda first, second: first * second,
    "divide": lambda first, second: int(Fraction(first, second)),
}
FOUR_BITS = {"4": range(-8, 8), "4 unsigned": range(16)}


@pytest.mark.parametrize("spelling", FOUR_BITS)
@pytest.mark.parametrize("operation", APPLIED)
def test_every_pair_of_four_bits(operation: str, spelling: str) -> None:
    """The answer is Python's, or the word overflow where no four bits hold it."""
    held = FOUR_BITS[spelling]
    course = cp.Course(format=spelling)
    write = course.fixed_format.field.write
    for first in held:
        for second in held:
            if operation == "divide" and second == 0:
                continue
            working = cp.work(operation, write(first), write(second), course=course)
            wanted = APPLIED[operation](first, second)
            assert working.result.value == (wanted if wanted in held else None)
            assert working.result.outcome == (
                "overflow" if wanted not in held else "in range" if wanted else "zero"
            )
            assert all(step.says and step.spoken for step in working.steps)


@given(st.integers(-128, 127), st.integers(-128, 127).filter(bool))
def test_quotient_and_remainder_make_the_dividend(first: int, second: int) -> None:
    """Quotient × divisor + remainder is the dividend, and the remainder has its sign."""
    working = cp.work("divide", first, second, format="8")
    if working.result.outcome == "overflow":
        assert (first, second) == (-128, -1)
        return
    quotient, remainder = (working.result.values[name][1] for name in ("quotient", "remainder"))

    assert quotient * second + remainder == first
    assert abs(remainder) < abs(second)
    assert remainder == 0 or (remainder < 0) == (first < 0)


@given(
    st.integers(-128, 127),
    st.integers(-128, 127),
    st.sampled_from(["cut", "cut size", "nearest", "nearest away"]),
)
def test_fixed_point_products_are_brought_in_once(first: int, second: int, rounding: str) -> None:
    """A product has twice the places, and is brought to the format's by the course's rounding."""
    course = cp.Course(format="Q5.3", rounding=rounding)
    working = cp.work("multiply", Fraction(first, 8), Fraction(second, 8), course=course)
    rule = working.check.by_rule

    assert working.result.bits == rule


@pytest.mark.parametrize(
    ("operands", "said"),
    [
        (
            ("89", "-26"),
            "A carry leaves the sign place and is dropped. A positive and a negative cannot overflow.",
        ),
        (
            ("89", "48"),
            "Two positives have given a negative: overflow. It is the signs that tell, not the carry.",
        ),
        (("-100", "-100"), "Two negatives have given a positive: overflow."),
        (("-3", "-4"), "Two negatives have given a negative, so the sum fits."),
    ],
)
def test_carry_and_overflow_are_told_apart(operands: tuple[str, str], said: str) -> None:
    """In two's complement the signs tell overflow; a carry out of the sign place is dropped."""
    assert said in cp.work("add", *operands, format="8").steps[-1].detail


def test_an_unsigned_carry_is_overflow() -> None:
    """Without signs the carry out of the first column is the overflow itself."""
    working = cp.work("add", "200", "100", format="8 unsigned")

    assert working.result.outcome == "overflow"
    assert "A carry leaves the first column" in working.steps[-1].detail


@pytest.mark.parametrize(
    ("spelling", "answer"),
    [
        ("8", "11001100"),
        ("8 sign-and-magnitude", "10110100"),
        ("8 ones-complement", "11001011"),
        ("8 excess-127", "01001011"),
    ],
)
def test_each_code_negates_52_by_its_own_rule(spelling: str, answer: str) -> None:
    """Invert and add one, flip the sign, invert only, or subtract from twice the excess."""
    working = cp.work("negate", 52, format=spelling)

    assert working.result.bits == answer
    assert working.result.value == -52


def test_a_saturating_course_writes_the_end() -> None:
    """With overflow = "largest" the end of the range stands for what lies past it."""
    course = cp.Course(format="8", overflow="largest")

    assert cp.work("add", "100", "100", course=course).result.value == 127
    assert cp.work("negate", "-128", course=course).result.value == 127
    assert cp.work("encode", "-500", course=course).check.verdict == "overflow"


@pytest.mark.parametrize(
    ("operation", "operands", "spelling", "said"),
    [
        (
            "divide",
            ("1", "2"),
            "8 excess-127",
            "is not worked in excess: there numbers are added and subtracted only",
        ),
        ("divide", ("5", "0"), "8", "5 ÷ 0 has no answer; divide by a number other than 0"),
        ("negate", ("5",), "8 unsigned", "holds no negative numbers"),
        (
            "normalise",
            ("5",),
            "8",
            "'normalise' is not worked in 8: numbers without an exponent have one form only",
        ),
        ("negate", ("200",), "8", "200 is outside 8, which holds \u2212128 to 127; give a value in between"),
    ],
)
def test_what_makes_no_sense_is_refused(
    operation: str, operands: tuple[str, ...], spelling: str, said: str
) -> None:
    """One sentence says what is wrong and what would be taken."""
    with pytest.raises(cp.EntryError) as refusal:
        cp.work(operation, *operands, format=spelling)
    assert said in str(refusal.value)


@pytest.mark.parametrize(
    ("total", "to_even", "away"),
    [(7, 4, 4), (5, 2, 3), (-5, -2, -3), (-7, -4, -4), (6, 3, 3), (-6, -3, -3)],
)
def test_halves_are_rounded_as_the_course_says(total: int, to_even: int, away: int) -> None:
    """3.5, 2.5, -2.5, -3.5, 3 and -3, kept with one place more than the format has."""
    fmt = cp.Course(format="8").fixed_format
    page = Page(0, 0, 0, 0, total=total, extra=1)
    assert round_nearest(page, fmt) == Page(0, 0, 0, 0, total=to_even)
    assert round_nearest_away(page, fmt) == Page(0, 0, 0, 0, total=away)


def test_a_divisor_past_the_range_may_have_no_low_bits() -> None:
    """64 in Q4.4 ends in eight 0s: the answer is overflow, and nothing is divided by 0."""
    assert cp.work("divide", "371", "64", format="Q4.4").outcome == "overflow"
