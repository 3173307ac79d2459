"""Codes: how conventions write the same numbers."""

from fractions import Fraction

import pytest

from chalkpoint.numbers.formats import FloatFormat, Pattern, parse_format
from chalkpoint.working.conventions import CONVENTIONS, HOUSE, Code
from chalkpoint.working.course import Course

SCHOOL = parse_format("8+4")
EVERY = [Pattern(mantissa, exponent) for mantissa in range(-128, 128) for exponent in range(-8, 8)]


@pytest.mark.parametrize("code", [HOUSE, Code(exponent="excess"), Code(exponent="excess less one")])
def test_reading_and_writing_are_inverse(code: Code) -> None:
    """Every pattern comes back."""
    for pattern in EVERY:
        assert code.write(code.read(pattern, SCHOOL), SCHOOL) == SCHOOL.write(pattern)


def test_the_house_reads_what_stands_there() -> None:
    """Its code changes nothing."""
    assert all(HOUSE.value(pattern, SCHOOL) == SCHOOL.value(pattern) for pattern in EVERY)


@pytest.mark.parametrize(
    ("code", "value"),
    [
        (Code(exponent="excess"), Fraction(3, 4) * Fraction(2) ** (3 - 8)),
        (Code(exponent="excess less one"), Fraction(3, 4) * Fraction(2) ** (3 - 7)),
        (Code(point="after the second bit"), Fraction(12)),
        (Code(point="after the last bit"), Fraction(768)),
        (Code(hidden=True), Fraction(14)),
    ],
)
def test_one_pattern_under_each_code(code: Code, value: Fraction) -> None:
    """0.1100000 0011 means something else under each."""
    assert code.value(SCHOOL.read("01100000 0011"), SCHOOL) == value


@pytest.mark.parametrize("code", [convention.coded() for convention in CONVENTIONS.values()])
@pytest.mark.parametrize("value", ["6.5", "-5.25", "0.4375", "-4", "1"])
def test_what_is_stored_reads_back(code: Code, value: str) -> None:
    """A value that fits is stored without loss under every code."""
    stored = code.store(Fraction(value), SCHOOL, "cut")
    assert stored in {"overflow", "underflow"} or code.value(SCHOOL.read(stored), SCHOOL) == Fraction(value)


IN_EXCESS: FloatFormat = Course(format="8+4 excess-8").float_format


@pytest.mark.parametrize(
    ("exponent", "power"), [("", -5), ("two's complement", 3), ("excess", -5), ("excess less one", -4)]
)
def test_the_same_exponent_bits_in_a_format_that_stores_them_in_excess(exponent: str, power: int) -> None:
    """0011 is 3 in two's complement, 3 - 8 in excess 8 and 3 - 7 in excess 7; each code writes what it reads."""
    pattern = IN_EXCESS.read("01100000 0011")
    code = Code(exponent=exponent)
    assert code.value(pattern, IN_EXCESS) == Fraction(3, 4) * Fraction(2) ** power
    assert code.write(code.read(pattern, IN_EXCESS), IN_EXCESS) == "01100000 0011"


def test_a_course_follows_the_convention_of_its_own_exponent() -> None:
    """It is no other convention where the course has it so."""
    own = {
        spelling: [
            name
            for name, convention in CONVENTIONS.items()
            if "exponent" in convention.code and convention.is_followed(Course(format=spelling))
        ]
        for spelling in ("8+4", "8+4 excess-8", "8+4 excess-7", "8+4 excess-5")
    }
    assert own == {
        "8+4": ["twos-complement-exponent"],
        "8+4 excess-8": ["excess"],
        "8+4 excess-7": ["excess-less-one"],
        "8+4 excess-5": [],
    }


def test_minus_a_power_of_two_in_its_other_form() -> None:
    """-4 begins 1.1 and has an exponent one higher."""
    assert Code(minus="1.1").store(Fraction(-4), SCHOOL, "cut") == "11000000 0011"
    assert HOUSE.store(Fraction(-4), SCHOOL, "cut") == "10000000 0010"


def test_a_value_out_of_range_is_a_word() -> None:
    """Past either end."""
    assert Code(exponent="excess").store(Fraction(1000), SCHOOL, "cut") == "overflow"
    assert Code(exponent="excess").store(Fraction(1, 10000), SCHOOL, "cut") == "underflow"
