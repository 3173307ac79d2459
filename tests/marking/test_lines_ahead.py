"""Following on: the lines left, by the right rules on whatever stands."""

import pytest

from chalkpoint.marking.judging import judge_question
from chalkpoint.marking.lines_ahead import lines_on
from chalkpoint.numbers.errors import EntryError
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask_line
from chalkpoint.working.work import work_question

COURSE = Course()
LOSSY = ask_line("subtract 8.875, 3.6875", course=COURSE)


@pytest.mark.parametrize(
    "line",
    [
        "subtract 8.875, 3.6875",
        "subtract 0.0011010 0010, 3.5",
        "add 8.875, 8.6875",
        "add 0, 1.5",
        "normalise 0.0010100 0011",
        "negate 0.1010100 0011",
        "multiply 1.5, -2.5",
        "decode 1.0110000 1110",
        "encode -5.25",
        "error 0.1",
    ],
)
def test_from_nothing_it_is_the_working(line: str) -> None:
    """The same lines, told the same way."""
    question = ask_line(line, course=COURSE)
    steps = [step for step in work_question(question).steps if step.rule != "read"]
    left = [onward for onward in lines_on(question, {}) if onward.rule != "answer"]

    assert [(onward.rule, onward.title) for onward in left] == [(step.rule, step.title) for step in steps]


@pytest.mark.parametrize("wrong", ["11100010", "01100011", "11111111", "00000000", "11100011 × 2^3"])
def test_what_follows_from_a_wrong_line_is_follow_through(wrong: str) -> None:
    """Marking a pupil who goes on by the right rules finds the same lines."""
    board = {"align": "00011101", "negate": wrong}
    left = lines_on(LOSSY, board)
    written = board | {onward.rule: onward.expects for onward in left if onward.rule != "answer"}
    judged = judge_question(LOSSY, written, left[-1].expects)

    statuses = {mark.line: mark.status for mark in judged.marks if mark.written}
    assert all(statuses[onward.rule] in {"right", "follow-through"} for onward in left)


def test_a_line_of_another_method_is_followed_by_that_method() -> None:
    """With a guard bit kept, the cut comes at the end."""
    question = ask_line("subtract 8.875, 3.6875", course=COURSE)
    left = lines_on(question, {"align": "0.00111011"})

    assert [onward.rule for onward in left] == ["negate", "add", "normalise", "cut", "answer"]
    assert left[-1].expects == "0.1010011 0011"


def test_after_the_answer_nothing_is_left() -> None:
    """Whatever the answer."""
    assert lines_on(LOSSY, {"answer": "overflow"}) == ()


def test_a_line_the_question_has_not_is_refused() -> None:
    """With what it has."""
    with pytest.raises(EntryError, match="not a line of subtract"):
        lines_on(LOSSY, {"size": "1"})
