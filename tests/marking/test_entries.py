"""What pupils write, read."""

import pytest

from chalkpoint.marking.entries import parse_entry, shows_bits, split_answers
from chalkpoint.numbers.formats import parse_format

SCHOOL = parse_format("8+4")


@pytest.mark.parametrize(
    ("text", "digits", "exponent"),
    [
        ("0.1101000 0011", "0.1101000", "0011"),
        ("0.110 1000 0011", "0.1101000", "0011"),
        ("011010000011", "01101000", "0011"),
        ("0110_1000", "01101000", ""),
        ("0.1101000 × 2^-3", "0.1101000", "-3"),
        ("0.1101000 x 2\u207b\u00b3", "0.1101000", "-3"),
        ("0.1101000, E = 3", "0.1101000", "3"),
        ("100111111 0011", "100111111", "0011"),
    ],
)
def test_mantissa_and_exponent_are_told_apart(text: str, digits: str, exponent: str) -> None:
    """By spaces, lengths, powers and labels."""
    entry = parse_entry(text, SCHOOL)
    assert (entry.digits, entry.exponent) == (digits, exponent)


def test_the_exponent_may_come_first() -> None:
    """In a format that writes it so."""
    entry = parse_entry("0011 01101000", parse_format("8+4", exponent_first=True))
    assert (entry.digits, entry.exponent) == ("01101000", "0011")


def test_a_digit_in_brackets_is_a_carry() -> None:
    """It leads and is no digit of the row."""
    entry = parse_entry("(1)0.1010100", SCHOOL)
    assert (entry.lead, entry.digits) == ("1", "0.1010100")


@pytest.mark.parametrize("text", ["0xD43", "D43", "D43h", "d43"])
def test_hexadecimal(text: str) -> None:
    """It stands for a pattern."""
    entry = parse_entry(text, SCHOOL)
    assert (entry.digits, entry.exponent, entry.hexadecimal) == ("11010100", "0011", True)


def test_a_decimal_is_no_hexadecimal() -> None:
    """12 is twelve."""
    assert parse_entry("12", SCHOOL).value == 12


@pytest.mark.parametrize("text", ["Overflow", "overflow.", "overflows"])
def test_words(text: str) -> None:
    """Spelt in several ways."""
    assert parse_entry(text, SCHOOL).word == "overflow"


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("overflow; 1000 1001", ["overflow", "1000 1001"]),
        ("overflow, 10001001", ["overflow", "10001001"]),
        ("10001001 (overflow)", ["10001001", "overflow"]),
        ("0.1010100 0011", ["0.1010100 0011"]),
    ],
)
def test_a_verdict_and_a_pattern_are_two(text: str, parts: list[str]) -> None:
    """Whichever comes first."""
    assert split_answers(text) == parts


@pytest.mark.parametrize(
    ("written", "shown"),
    [
        ("11011000", True),
        ("1.1011", True),
        ("111.1011", True),
        ("11011", True),
        ("1111011000", True),
        ("1.1010", False),
        ("0.1011", False),
    ],
)
def test_a_row_in_working(written: str, shown: bool) -> None:
    """Sign copies and zeros may be added or left out."""
    assert shows_bits(written, "11011000") is shown
