"""One spelling for each answer."""

import pytest

from chalkpoint.marking.answer import read_answer
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
