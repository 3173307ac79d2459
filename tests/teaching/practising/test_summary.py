"""The summary: what was done in plain text, with no label of a misconception and no name."""

from chalkpoint.teaching.practising.session import (
    Practice,
    begin,
    fill_in,
    hint,
    keep,
    next_one,
    to_write_next,
    write,
)
from chalkpoint.teaching.practising.summary import summary
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.course import Course

COURSE = Course(name="12 Heron")


def right(session: Practice) -> Practice:
    """Return the session with the line at hand written as it should be."""
    line = to_write_next(session)
    assert line is not None
    return write(session, line.expects)


def a_lesson() -> Practice:
    """Return a session with a worked example, a question without help, one with a hint, and one kept wrong."""
    session = next_one(begin("negate", course=COURSE, seed=7))
    while not session.finished:
        session = right(session)
    session = hint(next_one(session))
    while not session.finished:
        session = right(session)
    session = keep(write(next_one(session), "11111110"))
    session = fill_in(session)
    while not session.finished:
        session = right(session)
    return session


def test_it_says_what_was_done() -> None:
    """Counts first, then question by question, then what comes next."""
    text = summary(a_lesson())

    assert "4 questions done, 1 without any help." in text
    assert "Hints on 1 line, as deep as: nudge 1." in text
    assert "1 line filled in." in text
    assert "a worked example" in text
    assert "without any help\n" in text
    assert "hint on negate: nudge" in text
    assert "one to look at again" in text
    assert text.endswith("Next: every line is yours.\n")


def test_it_names_nobody_and_no_belief() -> None:
    """Neither the belief that showed nor the class."""
    text = summary(a_lesson())

    assert not any(name in text for name in BELIEFS)
    assert not any(belief.says in text for belief in BELIEFS.values())
    assert "Heron" not in text


def test_nothing_done_is_said() -> None:
    """A session that has just begun has a summary too."""
    assert "No question done yet." in summary(begin("add", seed=1, level=2))
