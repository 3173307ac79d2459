"""What pupils write, read."""

import pytest

from chalkpoint.marking.characters import plain_text
from chalkpoint.marking.reading import Reading, read_pattern, read_place
from chalkpoint.marking.rows import shows_bits
from chalkpoint.numbers.formats import FloatFormat, parse_format
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask

SCHOOL = parse_format("8+4")
ADD = ask("add", "2.75", "-1.5", course=Course())


def read(text: str, fmt: FloatFormat = SCHOOL) -> Reading:
    """Return *text* read as a row in *fmt*."""
    return read_pattern(plain_text(text), fmt)


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
    entry = read(text, SCHOOL)
    assert (entry.digits, entry.exponent) == (digits, exponent)


def test_the_exponent_may_come_first() -> None:
    """In a format that writes it so."""
    entry = read("0011 01101000", parse_format("8+4", exponent_first=True))
    assert (entry.digits, entry.exponent) == ("01101000", "0011")


def test_a_digit_in_brackets_is_a_carry() -> None:
    """It leads and is no digit of the row."""
    entry = read("(1)0.1010100", SCHOOL)
    assert (entry.lead, entry.digits) == ("1", "0.1010100")


@pytest.mark.parametrize("text", ["0xD43", "D43", "D43h", "d43"])
def test_hexadecimal(text: str) -> None:
    """It stands for a pattern."""
    entry = read(text, SCHOOL)
    assert (entry.digits, entry.exponent, entry.hexadecimal) == ("11010100", "0011", True)


def test_a_decimal_is_no_hexadecimal() -> None:
    """12 is twelve."""
    assert read("12", SCHOOL).value == 12


@pytest.mark.parametrize("text", ["Overflow", "overflow.", "overflows"])
def test_words(text: str) -> None:
    """Spelt in several ways."""
    (one,) = read_place(ADD, "answer", text)
    assert one.word == "overflow"


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
    assert [one.text for one in read_place(ADD, "answer", text)] == parts


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
