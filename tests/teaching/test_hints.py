"""Hints: the first two never give the line away, in any operation."""

import pytest

from chalkpoint.marking.lines_ahead import lines_on
from chalkpoint.teaching.hints import hints_for
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask_line

COURSE = Course()


@pytest.mark.parametrize(
    "line",
    [
        "subtract 8.875, 3.6875",
        "add 8.875, 8.6875",
        "normalise 0.0010100 0011",
        "negate 0.1010100 0011",
        "multiply 1.5, -2.5",
        "decode 1.0110000 1110",
        "decode 0.1010000 0101",
        "encode -5.25",
        "error 0.1",
    ],
)
def test_nudge_and_rule_do_not_give_the_line(line: str) -> None:
    """Neither its digits nor its number, as words of their own."""
    question = ask_line(line, course=COURSE)
    for onward in lines_on(question, {}):
        given = onward.expects.partition(" ×")[0].removeprefix("exponent ")
        nudge, rule, show = hints_for(question, onward)
        words = f"{nudge} {rule}".replace(".", " ").replace(",", " ").split()
        assert given.rstrip("…").replace(".", " ") not in " ".join(words) or len(given) == 1
        assert nudge
        assert rule
        assert show


def test_what_was_written_chooses_the_nudge() -> None:
    """The belief's own question, where one belief gave the line."""
    question = ask_line("subtract 8.875, 3.6875", course=COURSE)
    negate = lines_on(question, {"align": "00011101"})[0]

    assert hints_for(question, negate, ["invert-only"])[0] == "Add your answer to the original: is it zero?"
    assert hints_for(question, negate, ["invert-only", "sign-bit-only"])[0] == hints_for(question, negate)[0]


def test_the_rule_of_a_number_is_told_up_to_its_colon() -> None:
    """The sentence goes on to work it out."""
    question = ask_line("decode 1.0110000 1110", course=COURSE)
    exponent, mantissa, *_ = lines_on(question, {})

    assert hints_for(question, exponent)[1] == "Its leading bit is 1, so it is negative."
    assert hints_for(question, mantissa)[1] == "The leading bit weighs −1, then 1/2, 1/4 and so on."
