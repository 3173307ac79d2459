"""Fading levels: what is shown on each, in words too, with traits that grow."""

import pytest

from chalkpoint.marking.lines_ahead import lines_on
from chalkpoint.teaching.practising.fresh import fresh_question
from chalkpoint.teaching.practising.levels import PRACTISED, given_lines, level_words, top_level, traits_for
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask_line
from chalkpoint.working.work import work_question

COURSE = Course()
LINES = lines_on(ask_line("subtract 8.875, 3.6875", course=COURSE), {})


def test_one_line_more_is_own_on_each_level() -> None:
    """The answer is written by whoever writes the last line."""
    given = [[line.rule for line in given_lines(LINES, level, 3)] for level in range(4)]

    assert given == [
        ["align", "negate", "add", "normalise", "answer"],
        ["align", "negate", "add"],
        ["align", "negate"],
        [],
    ]


def test_every_level_has_its_words() -> None:
    """No two levels of one operation read alike."""
    for operation in PRACTISED:
        top = top_level(operation, COURSE)
        assert len({level_words(level, top) for level in range(top + 1)}) == top + 1


@pytest.mark.parametrize("spelling", ["8+4", "5+3", "4+3"])
def test_every_levels_traits_have_questions(spelling: str) -> None:
    """In small formats too, where not every rung of the ladder has any."""
    course = Course(format=spelling)
    for operation in PRACTISED:
        top = top_level(operation, course)
        for level in range(top + 1):
            asked = fresh_question(course, operation, traits_for(operation, course, level, top), "1")
            assert work_question(ask_line(asked, course=course)).steps, (operation, level)


def test_traits_grow_with_the_level() -> None:
    """From none that loses a bit to lost bits."""
    first, last = (traits_for("subtract", COURSE, level, 3) for level in (0, 3))

    assert "not align-loses-bits" in first
    assert "lost-ones >= 1" in last
