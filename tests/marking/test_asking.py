"""The next question tells apart what the answers so far leave open."""

from chalkpoint.marking.asking import diagnose, expected_falls, question_pool
from chalkpoint.marking.ways import Way
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask
from heron import answers_by, papers_of


def test_undecided_gets_a_question() -> None:
    """One telling answer leaves a belief likely and gets a question that would decide."""
    said = diagnose(answers_by(papers_of(), "invert-only")[:1])
    assert said.next_questions


def test_the_question_asked_separates() -> None:
    """The first question gives the likely belief another answer than the right way."""
    said = diagnose(answers_by(papers_of(), "invert-only")[:1])
    even = {Way(): 0.5, Way("", ("invert-only",)): 0.5}
    assert expected_falls(said.next_questions[:1], even) == [1]


def test_decided_gets_none() -> None:
    """Nothing is asked where nothing is open."""
    assert not diagnose(answers_by(papers_of())).next_questions


def test_a_question_that_cannot_tell_is_worth_nothing() -> None:
    """A sum without a negation does not tell a way of negating."""
    even = {Way(): 0.5, Way("", ("invert-only",)): 0.5}
    assert expected_falls([ask("add", "2.5", "0.75", course=Course())], even) == [0]


def test_the_pool_is_the_same_every_time() -> None:
    """The same course has the same questions to choose among."""
    first = question_pool(Course(), frozenset({"subtract"}))
    question_pool.cache_clear()
    again = question_pool(Course(), frozenset({"subtract"}))
    assert [one.operands for one in first] == [one.operands for one in again]
