"""The measure of equality, against counting by hand."""

from chalkpoint.setting.fairness import judge
from chalkpoint.setting.measures import Measure, measure
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask
from chalkpoint.working.work import work_question


def test_difficulty_is_the_number_of_beliefs_exposed() -> None:
    """Every belief of the catalogue whose answer is another."""
    question = ask("subtract", "8.875", "3.6875", course=Course())
    fair = judge(question)

    assert measure(work_question(question), fair).difficulty == len(fair.wrong)


def test_equal_means_steps_points_writing_and_difficulty() -> None:
    """Each of the four parts alone makes a difference."""
    usual = Measure(("align", "add"), 5, 100, 20)

    assert usual.like(Measure(("align", "add"), 5, 110, 23))
    assert not usual.like(Measure(("align", "add", "repair"), 5, 100, 20))
    assert not usual.like(Measure(("align", "add"), 4, 100, 20))
    assert not usual.like(Measure(("align", "add"), 5, 120, 20))
    assert not usual.like(Measure(("align", "add"), 5, 100, 24))
