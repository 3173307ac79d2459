"""One spelling for each answer."""

from fractions import Fraction

import pytest

from chalkpoint.marking.answer import answers_apart, read_answer
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask

ADD = ask("add", "2.75", "-1.5", course=Course())


@pytest.mark.parametrize(
    "text",
    [
        "0.1010000 0001",
        "01010000 0001",
        "0101 0000 0001",
        "0_1010000|0001",
        "1.25",
        "5/4",
        "1 1/4",
        "010100000001",
    ],
)
def test_spellings_of_one_pattern(text: str) -> None:
    """However it is spelt, it is one pattern."""
    assert read_answer(ADD, text).spelling == "01010000 0001"


@pytest.mark.parametrize(("text", "said"), [("Overflow", "overflow"), ("", ""), ("no idea", "no idea")])
def test_words_and_what_cannot_be_read(text: str, said: str) -> None:
    """Words are words, a blank is a blank, and what cannot be read stands as it is."""
    assert read_answer(ADD, text).spelling == said


def test_a_decimal_comma() -> None:
    """A course with a decimal comma reads and writes one."""
    course = Course(point=",")
    assert read_answer(ask("decode", "0.1010000 0001", course=course), "1,25").spelling == "1,25"


def test_the_exponent_first() -> None:
    """A course with the exponent first spells it first."""
    course = Course(exponent="first")
    assert (
        read_answer(ask("add", "2.75", "-1.5", course=course), "0001 0.1010000").spelling == "0001 01010000"
    )


@pytest.mark.parametrize(("spelling", "manners"), [("hidden", ("in hexadecimal",)), ("shown", ())])
def test_hexadecimal_is_a_manner_only_where_the_course_hides_it(
    spelling: str, manners: tuple[str, ...]
) -> None:
    """2 + 1 = 3 in eight bits, written as 0x03."""
    course = Course(format="8", hexadecimal=spelling)
    found = read_answer(ask("add", "2", "1", course=course), "0x03")
    assert (found.spelling, found.manners) == ("00000011", manners)


@pytest.mark.parametrize(
    ("text", "spelling", "values", "manners"),
    [
        ("25", "00011001", (25,), ("value without its pattern",)),
        ("00011001", "00011001", (), ()),
        ("00011001 (25)", "00011001", (25,), ()),
        ("25 = 00011001", "00011001", (25,), ()),
        ("0x19", "00011001", (), ("in hexadecimal",)),
        ("A9", "10101001", (), ("in hexadecimal",)),
        ("11001", "00011001", (), ("leading zeros left off",)),
        ("0000 0001 1001", "00011001", (), ("zeros added in front",)),
        ("overflow, 300", "overflow", (300,), ()),
        ("300", "300", (300,), ("value without its pattern",)),
    ],
)
def test_a_whole_number_and_its_value_are_told_apart(
    text: str, spelling: str, values: tuple[int, ...], manners: tuple[str, ...]
) -> None:
    """In eight bits: the pattern, the values beside it, and what is in another manner than asked for."""
    read = read_answer(ask("add", "20", "5", course=Course(format="8")), text)
    assert read.readable
    assert (read.spelling, [*map(int, read.values)], read.manners) == (spelling, [*values], manners)


def test_a_mantissa_alone_has_lost_no_zeros() -> None:
    """Five bits of 5+3 are a mantissa, and six have one too many; seven are a pattern without its first 0."""
    question = ask("add", "1.5", "0.75", course=Course(format="5+3"))
    lost = [
        text
        for text in ("01001", "010010", "1001010")
        if "leading zeros left off" in read_answer(question, text).manners
    ]
    assert lost == ["1001010"]


def test_of_two_answers_each_keeps_its_own_text() -> None:
    """The last is read, both are known."""
    found = read_answer(ADD, "0.1010000 0001 or 0.1010001 0001")
    assert found.several == ("01010000 0001", "01010001 0001")
    assert (found.spelling, found.reading and found.reading.text) == ("01010001 0001", "0.1010001 0001")


def test_of_two_answers_in_bits_the_last_is_read() -> None:
    """In a format with a sign and a size too."""
    found = read_answer(ask("add", "1.5", "0.75", course=Course(format="1+4+3")), "0 1000 001 or 0 1000 010")
    assert found.several == ("0 1000 001", "0 1000 010")
    assert found.spelling == "0 1000 010"


def test_a_value_is_known_where_a_value_is_asked_for() -> None:
    """On the line for it a value lacks no pattern."""
    assert read_answer(ADD, "5/4", "decimal").values == (Fraction(5, 4),)
    assert read_answer(ADD, "5/4").values == (Fraction(5, 4),)
    assert read_answer(ADD, "0.1010000 0001").values == ()


@pytest.mark.parametrize(
    ("text", "spelling", "manners"),
    [
        ("0 0 101", "0 0000 101", ("exponent in decimal",)),
        ("0 15 101", "0 1111 101", ("exponent in decimal",)),
        ("0 16 101", "0 16 101", ()),
    ],
)
def test_a_stored_exponent_in_decimal_is_from_0_to_the_last_that_its_field_holds(
    text: str, spelling: str, manners: tuple[str, ...]
) -> None:
    """Four bits hold 0 to 15."""
    found = read_answer(ask("multiply", "0.01", "0.5", course=Course(format="1+4+3")), text)
    assert (found.spelling, found.manners) == (spelling, manners)


@pytest.mark.parametrize(
    ("spelling", "text", "kept"),
    [
        ("1+4+3", "0 100 001", "0 100 001"),
        ("8", "1000 0000 1", "100000001"),
        ("Q5.3", "1000 0000 1", "100000001"),
    ],
)
def test_bits_of_another_length_are_kept_as_they_are(spelling: str, text: str, kept: str) -> None:
    """Fields stay apart; a row is one row."""
    assert read_answer(ask("add", "1", "2", course=Course(format=spelling)), text).spelling == kept


@pytest.mark.parametrize(("text", "said"), [(" 8 + 4 ", "8+4"), ("08+04", "8+4"), ("two bits", "two bits")])
def test_a_format_has_one_spelling(text: str, said: str) -> None:
    """What is no format stays as it was written."""
    question = ask("choose-format", "-10", "40", "0.25", course=Course())
    assert read_answer(question, text).spelling == said


def test_two_of_three_answers_are_taken_apart_too() -> None:
    """Of what storing costs the pattern and the absolute error: the third is not written."""
    cost = ask("error", "4.6", course=Course())
    found = answers_apart(cost, {"answer": "01001001 0011; 0.0375", "fit": "0.1001001"})
    assert found == {"answer": "01001001 0011", "absolute": "0.0375", "fit": "0.1001001"}
