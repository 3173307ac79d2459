"""What every way writes for a whole set, in lanes, is what it writes for each question."""

import pytest

from chalkpoint.finding.find import find
from chalkpoint.marking import predictions
from chalkpoint.marking.diagnosis import Diagnoser
from chalkpoint.marking.predictions import SCRIPT, Predictions
from chalkpoint.marking.ways import is_workable, predict, ways_for
from chalkpoint.working import tables
from chalkpoint.working.course import Course

COURSE = Course(accepts=("negate-then-align",))


@pytest.fixture(autouse=True)
def table_sooner(monkeypatch: pytest.MonkeyPatch) -> None:
    """Table a handful of questions: what is said is the same, and it is sooner tested."""
    monkeypatch.setattr(tables, "FEW", SCRIPT)
    monkeypatch.setattr(predictions, "FEW", SCRIPT)


@pytest.mark.parametrize("operation", ["add", "subtract", "multiply", "divide", "normalise", "negate"])
def test_a_table_says_what_each_question_does(operation: str) -> None:
    """Every answer and who gives it, pairs of beliefs and other conventions among them, in one order."""
    questions = [found.question for found in find(operation, course=COURSE).draw(2 * SCRIPT, 3)]
    questions = [question for question in questions if is_workable(question)]
    ways = ways_for(COURSE, frozenset({operation}))
    predicted = Predictions(questions, ways)
    given = [predicted.answers(question) for question in questions]
    for question, answers in zip(questions[SCRIPT:], given[SCRIPT:], strict=True):
        assert answers is not None
        assert list(answers.items()) == list(predict(question, ways).items())


def test_the_first_few_are_worked_one_by_one_and_the_rest_from_the_table() -> None:
    """A whole set is tabled only where more than a few of its questions are answered."""
    questions = tuple(found.question for found in find("subtract", course=COURSE).draw(SCRIPT + 10, 4))
    ways = ways_for(COURSE, frozenset({"subtract"}), pairs=False)
    predicted = Predictions(questions, ways)
    given = [predicted.answers(question) for question in questions]
    assert given[:SCRIPT] == [None] * SCRIPT
    assert given[SCRIPT:] == [predict(question, ways) for question in questions[SCRIPT:]]


def test_few_questions_and_stored_values_are_never_tabled() -> None:
    """Values being stored are fractions, which lanes do not hold."""
    stored = [found.question for found in find("encode", course=COURSE).draw(2 * SCRIPT, 4)]
    predicted = Predictions(stored, ways_for(COURSE, frozenset({"encode"})))
    assert {predicted.answers(question) is None for question in stored} == {True}


def test_a_diagnoser_that_expects_a_set_says_the_same() -> None:
    """Expecting questions changes how they are worked, never what is said of them."""
    questions = tuple(found.question for found in find("subtract", course=COURSE).draw(2 * SCRIPT, 6))
    ready, plain = (Diagnoser(COURSE, frozenset({"subtract"})) for _ in range(2))
    ready.expect(questions)
    for question in questions:
        assert ready.item(question).answers == plain.item(question).answers


def test_without_pairs_the_tables_of_a_wider_diagnoser_are_read() -> None:
    """What single beliefs write is the beginning of what they and their pairs write, in one order."""
    questions = tuple(found.question for found in find("subtract", course=COURSE).draw(2 * SCRIPT, 6))
    wider = Diagnoser(COURSE, frozenset({"subtract"}))
    ready, plain = (Diagnoser(COURSE, frozenset({"subtract"}), pairs=False) for _ in range(2))
    wider.expect(questions)
    ready.expect(questions, wider)
    assert wider.ways[: len(ready.ways)] == tuple(plain.ways)
    for question in questions:
        assert list(ready.item(question).answers.items()) == list(plain.item(question).answers.items())
