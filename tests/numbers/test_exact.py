"""Exact values: every spelling read, every value written so that it can be read again."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import (
    is_dyadic,
    parse_value,
    powers_of_two,
    write_decimal,
    write_exact,
    write_percent,
    write_value,
)

values = st.fractions(-(10**6), 10**6, max_denominator=10**6)
dyadic = st.builds(
    lambda number, power: number * Fraction(2) ** power, st.integers(-(2**70), 2**70), st.integers(-400, 400)
)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("-5.25", Fraction(-21, 4)),
        ("\u22125.25", Fraction(-21, 4)),
        ("+.5", Fraction(1, 2)),
        ("5.", Fraction(5)),
        ("79/128", Fraction(79, 128)),
        ("-79 / 128", Fraction(-79, 128)),
        ("1 3/8", Fraction(11, 8)),
        ("-1 3/8", Fraction(-11, 8)),
        ("0", Fraction(0)),
        (" 1000 ", Fraction(1000)),
    ],
)
def test_every_spelling_of_a_value_is_read(text: str, value: Fraction) -> None:
    """Decimals, fractions and mixed numbers, with either minus, are read exactly."""
    assert parse_value(text) == value


def test_a_course_may_use_the_decimal_comma() -> None:
    """With a decimal comma, a comma is the mark."""
    assert parse_value("-5,25", point=",") == Fraction(-21, 4)


@pytest.mark.parametrize(
    "text", ["", "five", "1.2.3", "5,25", "1e", "0x10", "1/2/3", "1 3", "--5", "3/", "\u0665"]
)
def test_what_is_no_number_is_refused_with_an_example(text: str) -> None:
    """A refusal quotes the entry and shows what is taken."""
    with pytest.raises(EntryError, match=r"is not a number; write one such as -5\.25, -79/128 or 1 3/8"):
        parse_value(text)


@pytest.mark.parametrize("text", ["1/0", "1 3/0", "1/00"])
def test_division_by_zero_is_refused(text: str) -> None:
    """A denominator of zero is refused in words."""
    with pytest.raises(EntryError, match="divides by zero"):
        parse_value(text)


@given(values)
def test_a_written_value_reads_back(x: Fraction) -> None:
    """Decimals and fractions written for a person are read back as the same value."""
    assert parse_value(write_value(x)) == x


@given(values)
def test_a_finite_decimal_is_exact_or_absent(x: Fraction) -> None:
    """A decimal is given only where it ends, and then it is the value (decimal module as second road)."""
    decimal = write_decimal(x)

    assert (decimal is None) == (10**40 * x.numerator % x.denominator != 0)
    assert decimal is None or Fraction(decimal) == x


@given(dyadic)
def test_powers_of_two_add_up(x: Fraction) -> None:
    """The terms of a long value add up to it, each with an odd number in front."""
    terms = powers_of_two(x)

    assert sum(number * Fraction(2) ** power for number, power in terms) == x
    assert all(number % 2 for number, _ in terms)


@given(dyadic)
def test_an_exact_value_reads_back(x: Fraction) -> None:
    """What is written for a program is an exact sum of powers of two, a fraction or an integer."""
    text = write_exact(x)
    total = Fraction(0)
    for term in text.replace("-", "+-").replace("^+-", "^-").split("+"):
        number, _, power = term.partition("*2^")
        total += Fraction(number or 0) * Fraction(2) ** int(power or 0)

    assert total == x


def test_a_value_of_thousands_of_digits_is_written_in_powers_of_two() -> None:
    """The largest number of 64+16 fits a line."""
    largest = (1 - Fraction(1, 2**63)) * Fraction(2) ** 32767

    assert write_value(largest) == "9223372036854775807 × 2^32704"
    assert write_exact(largest) == "9223372036854775807*2^32704"


@pytest.mark.parametrize(
    ("x", "text"),
    [
        (Fraction(0), "0%"),
        (Fraction(1), "100%"),
        (Fraction(1, 8), "12.5%"),
        (Fraction(3, 368), "about 0.815%"),
        (Fraction(1, 83), "about 1.2%"),
        (Fraction(59, 4091), "about 1.44%"),
        (Fraction(1, 10**12), "less than 0.000001%"),
        (Fraction(7, 3), "about 233%"),
    ],
)
def test_percentages_say_when_they_are_rounded(x: Fraction, text: str) -> None:
    """Three significant digits, and "about" where that is not the whole of it."""
    assert write_percent(x) == text


def test_what_ends_in_binary() -> None:
    """A value ends in binary exactly when its denominator is a power of two."""
    assert [is_dyadic(Fraction(1, divisor)) for divisor in (1, 2, 3, 4, 5, 64, 96)] == [
        divisor in {1, 2, 4, 64} for divisor in (1, 2, 3, 4, 5, 64, 96)
    ]


def test_a_ratio_of_very_long_numbers_is_written_and_read_back() -> None:
    """Such as the relative error of a sum of binary128 numbers whose exponents are far apart."""
    x = Fraction(3**200, 2**20000 + 1)

    assert parse_value(write_exact(x)) == x
    assert len(write_value(x)) < 400
