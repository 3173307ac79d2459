"""Practice of what is made of parts: a conversion, a sum, the choice of a format, and the ends of a range."""

import pytest

from chalkpoint.teaching.live.room import close_round, go_on, open_room, open_round, to_write
from chalkpoint.teaching.live.tally import tally
from chalkpoint.teaching.practising.levels import top_level
from chalkpoint.teaching.practising.session import begin, hint, next_one, question_in, to_write_next, write
from chalkpoint.working.course import Course

MADE = ("convert", "sum", "choose-format", "range")
SPELLINGS = ("8+4", "8+4 excess-8", "8 ones-complement", "Q5.3", "1+4+3")


@pytest.mark.parametrize("operation", MADE)
@pytest.mark.parametrize("spelling", SPELLINGS)
def test_what_is_expected_on_every_line_is_taken_for_right(operation: str, spelling: str) -> None:
    """From the first line to the answer, all of them the pupil's own."""
    course = Course(format=spelling)
    session = begin(operation, course=course, seed=3, level=top_level(operation, course))
    written = []
    while not session.finished:
        line = to_write_next(session)
        assert line is not None
        written.append(line.rule)
        session = write(session, line.expects)
        assert session.draft is None, (line, session.said)
    assert len(written) >= 2
    assert session.tally.unaided
    assert next_one(session).question != session.question or (operation == "range" and spelling != "8+4")


def test_a_conversion_goes_where_it_is_told_to() -> None:
    """Into the format given, and else into one near by."""
    assert begin("convert", seed=1, to="binary16").question.endswith(", binary16")
    assert begin("convert", seed=1).question.endswith(", 10+6")


def test_each_range_is_that_of_another_format() -> None:
    """A format has one, and its largest positive is all 1s behind the 0: by hand for 8+4."""
    session = begin("range", seed=2)
    first = question_in(session).format
    assert question_in(next_one(session)).format != first
    lines = to_write(open_room(["range 8+4"]))
    assert [(line.rule, line.expects) for line in lines] == [
        ("largest positive", "0.1111111 0111"),
        ("smallest positive", "0.1000000 1000"),
        ("largest negative", "1.0111111 1000"),
        ("most negative", "1.0000000 0111"),
    ]


def test_a_belief_about_an_end_is_met_with_its_own_question() -> None:
    """Whoever writes a 1 in every place is asked what sign that has."""
    session = begin("range", seed=2, level=4)
    fmt = question_in(session).float_format
    session = write(session, "1" * fmt.mantissa_bits + " " + "1" * fmt.exponent_bits)
    assert session.said is not None
    assert "sign of all ones" in session.said.says
    assert session.shown == ("largest-all-ones",)


def test_a_class_writes_the_ends_one_after_another() -> None:
    """Each is a line of its own, judged and told; the next round is the next end."""
    room = open_round(open_room(["range"]))
    seen = tally(room, {1: "0.1111111 0111", 2: "11111111 1111"}, marked=True)
    assert [(line.written, line.kind) for line in seen.lines] == [
        ("0.1111111 0111", "right"),
        ("1.1111111 1111", "misconception"),
    ]
    after = open_round(go_on(close_round(room)))
    assert after.round is not None
    assert after.round.rule == "smallest positive"


def test_a_hint_on_a_line_of_a_part_is_that_of_the_part() -> None:
    """Moving the third term is aligning; the bits of a mantissa are chosen, not read."""
    moved = hint(begin("sum", seed=3, level=7)).said
    assert moved is not None
    assert moved.says.startswith("Which number moves")
    chosen = hint(begin("choose-format", seed=3, level=2)).said
    assert chosen is not None
    assert "How many steps" in chosen.says
