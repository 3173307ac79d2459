"""Fresh questions: with their traits, not asked twice, and counter-examples on which a belief goes wrong."""

import pytest

from chalkpoint.teaching.board import question_on
from chalkpoint.teaching.practising.fresh import counter_example, fresh_question, line_of
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import answer_by, right_method

COURSE = Course()


@pytest.mark.parametrize(
    ("operation", "belief"),
    [
        ("subtract", "invert-only"),
        ("subtract", "carry-kept"),
        ("add", "align-skip"),
        ("normalise", "norm-mantissa-only"),
        ("decode", "exp-unsigned"),
        ("encode", "exp-sign-flipped"),
    ],
)
def test_a_counter_example_is_one(operation: str, belief: str) -> None:
    """The belief's own working gives another answer."""
    question = question_on(COURSE, counter_example(COURSE, operation, [belief], (), "7 1"))
    right = right_method(operation, COURSE)
    faulty = BELIEFS[belief].method_for(operation, right)

    assert faulty is not None
    assert answer_by(faulty, question) != answer_by(right, question)


def test_traits_give_way_where_they_exclude_the_belief() -> None:
    """Nothing is aligned where the exponents are equal, so another question is looked for."""
    line = counter_example(COURSE, "subtract", ["align-skip"], ["align-shift = 0"], "7 1")
    (_, first), (_, second) = question_on(COURSE, line).patterns

    assert first != second


def test_no_question_is_asked_twice() -> None:
    """While there are others."""
    asked: list[str] = []
    for _ in range(10):
        asked.append(fresh_question(COURSE, "negate", (), "7 1", asked))

    assert len(set(asked)) == 10


def test_a_request_that_nothing_meets_gives_a_question_all_the_same() -> None:
    """A pupil who practises is never left without one."""
    assert fresh_question(COURSE, "subtract", ["align-shift = 0", "lost-ones >= 1"], "7 1")


@pytest.mark.parametrize("point", [".", ","])
@pytest.mark.parametrize("operation", ["subtract", "decode", "encode", "error"])
def test_a_question_reads_back_from_its_line(operation: str, point: str) -> None:
    """Whatever the decimal mark."""
    course = Course(point=point)
    line = fresh_question(course, operation, (), "3 1")

    assert line_of(question_on(course, line)) == line
