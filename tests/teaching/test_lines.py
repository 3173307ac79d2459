"""Lines read: spelt alike where they say the same, valued in decimal, refused where nothing can be read."""

import pytest

from chalkpoint.marking.judging import judge_question
from chalkpoint.marking.lines_ahead import lines_on
from chalkpoint.numbers.errors import EntryError
from chalkpoint.teaching.lines import read_line
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask_line

COURSE = Course()
LOSSY = ask_line("subtract 8.875, 3.6875", course=COURSE)
EVERY = [
    "subtract 8.875, 3.6875",
    "subtract 0.0011010 0010, 3.5",
    "add 8.875, 8.6875",
    "normalise 0.0010100 0011",
    "negate 0.1010100 0011",
    "multiply 1.5, -2.5",
    "decode 1.0110000 1110",
    "encode -5.25",
    "encode 0.1",
    "error 0.1",
]


@pytest.mark.parametrize(
    "text", ["00011101", "0.0011101", " 0001 1101 ", "0001_1101", "00.0011101", "000.0011101", "0.0011101."]
)
def test_spellings_of_one_row_are_one_line(text: str) -> None:
    """Spaces, the point, and copies of the sign make no difference."""
    read = read_line(LOSSY, "align", text, own="0.0011101 × 2^4")

    assert (read.spelling, read.value) == ("0.0011101", "3.625")


@pytest.mark.parametrize("text", ["00011101 × 2^4", "0.0011101 x 2^4", "00011101 0100", "0.0011101 E=4"])
def test_an_exponent_that_is_written_is_part_of_the_line(text: str) -> None:
    """It may be a power, a number or the bits of the field."""
    assert read_line(LOSSY, "align", text, own="0.0011101 × 2^4").spelling == "0.0011101 × 2^4"


def test_a_wrong_exponent_is_another_line_with_another_value() -> None:
    """It is worth what is written."""
    read = read_line(LOSSY, "align", "0.0011101 × 2^2", own="0.0011101 × 2^4")

    assert (read.spelling, read.value) == ("0.0011101 × 2^2", "0.90625")


@pytest.mark.parametrize("text", ["01010100 0011", "0.1010100|0011", "(01010100 0011)", "010101000011"])
def test_answers_are_patterns_however_they_are_written(text: str) -> None:
    """With bars, a point or neither."""
    read = read_line(LOSSY, "answer", text)

    assert (read.spelling, read.value) == ("0.1010100 0011", "5.25")


@pytest.mark.parametrize("text", ["5.25", "5 1/4"])
def test_a_value_is_not_taken_for_its_pattern(text: str) -> None:
    """The pupil is asked for the pattern, which is what the line is about."""
    with pytest.raises(EntryError, match="is a value, which shows no pattern; write a pattern, such as"):
        read_line(LOSSY, "answer", text)


def test_an_answer_with_a_digit_too_many_is_kept_as_it_stands() -> None:
    """What does not fit is what a class wants to see; it has no value."""
    read = read_line(LOSSY, "answer", "100101010 0100")

    assert (read.spelling, read.value) == ("100101010 0100", "")


def test_words_are_lines_too() -> None:
    """Without a value."""
    assert read_line(LOSSY, "answer", " Overflow. ").spelling == "overflow"


@pytest.mark.parametrize("line", EVERY)
def test_every_right_line_reads_back_as_itself_and_is_right(line: str) -> None:
    """What the rules write can be read, has one spelling, and is still right in it."""
    question, board = ask_line(line, course=COURSE), dict[str, str]()
    for onward in lines_on(question, {}):
        read = read_line(question, onward.rule, onward.expects, own=onward.expects)
        again = read_line(question, onward.rule, read.spelling, own=onward.expects)
        assert again == read
        if onward.rule == "answer":
            assert judge_question(question, board, read.spelling).right
            break
        board[onward.rule] = read.spelling
        mark = judge_question(question, board, "").line(onward.rule)
        assert mark is not None
        assert mark.status == "right"


@pytest.mark.parametrize(
    ("rule", "text", "said"),
    [
        ("align", "no idea", "'no idea' cannot be read as this line; write a row of 0s and 1s, such as 0."),
        ("answer", "??", "write a pattern, such as"),
        ("align", "0" * 200, "is 200 characters long"),
    ],
)
def test_what_cannot_be_read_is_refused_without_giving_it_away(rule: str, text: str, said: str) -> None:
    """One sentence: the value, the rule, and what would be accepted."""
    with pytest.raises(EntryError) as refused:
        read_line(LOSSY, rule, text, own="0.0011101 × 2^4")

    assert said in str(refused.value)
    assert "0011101" not in str(refused.value)


def test_a_value_is_asked_for_where_a_value_is_wanted() -> None:
    """In the course's own decimal mark."""
    question = ask_line("decode 1.0110000 1110", course=Course(point=","))
    with pytest.raises(EntryError, match="such as −5,25"):
        read_line(question, "answer", "?")
