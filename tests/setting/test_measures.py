"""The measure of equality, against counting by hand."""

from chalkpoint.setting.fairness import judge, judge_in_turn
from chalkpoint.setting.measures import Measure
from chalkpoint.setting.met import Met, met_in
from chalkpoint.setting.papers import Candidate
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask
from chalkpoint.working.work import work, work_question


def test_difficulty_is_the_number_of_beliefs_exposed() -> None:
    """Every belief of the catalogue whose answer is another."""
    question = ask("subtract", "8.875", "3.6875", course=Course())
    candidate = Candidate(question, work_question(question), next(judge_in_turn([question])))

    assert candidate.measure.difficulty == len(judge(question).wrong)
    assert candidate.kind == (("read", "align", "negate", "add", "normalise"), 6)


def test_equal_means_steps_points_writing_and_difficulty() -> None:
    """Each of the five parts alone makes a difference."""
    usual = Measure(("align", "add"), 5, 100, 20)

    assert usual.like(Measure(("align", "add"), 5, 110, 23))
    assert not usual.like(Measure(("align", "add", "repair"), 5, 100, 20))
    assert not usual.like(Measure(("align", "add"), 4, 100, 20))
    assert not usual.like(Measure(("align", "add"), 5, 120, 20))
    assert not usual.like(Measure(("align", "add"), 5, 100, 24))
    assert not usual.like(Measure(("align", "add"), 5, 100, 20, Met(carries=1)))


def test_what_a_pupil_meets_is_counted_on_the_rows() -> None:
    """Added by hand: 10001110 carried over 0.1000111 and 1.1100011, three 1s in one column, then one place left."""
    assert met_in(work("subtract", "8.875", "3.6875"), alone=False) == Met(
        4, 3, 1, "second", -1, minus_one=False, alone=False
    )
    # 0.1000000 and -1.0, both exponent 0: no carry at all, -0.5 is moved one place left
    assert met_in(work("add", "0.1000000 0000", "1.0000000 0000"), alone=True) == Met(
        0, 0, 0, "neither", -1, minus_one=True, alone=True
    )
    # 0.1100000 twice: two carries in a row, the first into a column of two 1s; 01.1000000 is moved one place right
    assert met_in(work("add", "0.1100000 0001", "0.1100000 0001"), alone=True) == Met(
        2, 2, 1, "neither", 1, minus_one=False, alone=True
    )
