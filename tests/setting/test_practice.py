"""Practice: small formats first, one new difficulty at a time; starters of five minutes."""

import pytest

from brackwater import COURSE, PRACTICE, papers
from chalkpoint.setting.asking import BlueprintQuestion
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.setting.practice import LADDERS, STARTER_SECONDS, ladder, seconds_for
from chalkpoint.setting.setter import set_papers
from chalkpoint.setting.sources import FOUND_OPERATIONS, draw
from chalkpoint.working.course import Course
from chalkpoint.working.work import work_question


def test_every_operation_has_a_ladder() -> None:
    """Whatever a blueprint asks can be practised."""
    assert set(LADDERS) == set(FOUND_OPERATIONS)


@pytest.mark.parametrize("operation", FOUND_OPERATIONS)
def test_every_level_has_questions_and_the_small_formats_come_first(operation: str) -> None:
    """No level of any ladder is empty, and the class's own format comes after 5+3."""
    levels = ladder(BlueprintQuestion(operation, Course()))
    formats = [level.course.format for _, level in levels]

    assert formats == sorted(formats)
    assert formats[-1] == "8+4"
    for _, level in levels:
        assert draw(operation, level.course, level.where, 2, "ladder")


def test_one_thing_is_new_on_each_level() -> None:
    """Neighbouring levels of a ladder never bring the same news."""
    for levels in LADDERS.values():
        news = [level.new for level in levels]
        assert len(set(news)) == len(news)


def test_a_sheet_climbs_the_ladder() -> None:
    """Each question says its level, and what is new on it."""
    sheet = papers(PRACTICE).papers[0]
    climbed = [item.level for item in sheet.questions if item.question.operation.name == "subtract"]

    assert climbed[0] == "Level 1: one number is moved one place"
    assert climbed[-1].startswith("Level 7: ")


def test_the_teacher_s_own_traits_are_asked_for_in_the_class_s_format() -> None:
    """Small formats keep the ladder's own traits."""
    asked = BlueprintQuestion("subtract", Course(), ("absorbed",))
    wheres = {level.course.format: level.where for _, level in ladder(asked)}

    assert wheres["8+4"] == ("absorbed",)
    assert wheres["5+3"] != ("absorbed",)


def test_a_starter_fits_in_five_minutes_for_everybody() -> None:
    """As many questions as the slowest variant has time for, one at least."""
    text = f'title = "Start"\npurpose = "starter"\n{COURSE}[[question]]\noperation = "normalise"\ncount = 8\n'
    starters = set_papers(parse_blueprint(text), variants=3, seed=2)
    lengths = {len(paper.questions) for paper in starters}
    slowest = max(sum(seconds_for(item.candidate) for item in paper.questions) for paper in starters)

    assert len(lengths) == 1
    assert 1 < lengths.pop() < 8
    assert slowest <= STARTER_SECONDS


@pytest.mark.parametrize("operation", ["add", "subtract"])
def test_the_first_question_is_worth_doing(operation: str) -> None:
    """Positive numbers of one exponent after the other, an answer other than zero, and nothing else that happens."""
    level = LADDERS[operation][0]
    found = draw(operation, Course(format="5+3"), level.where, 20, "first")
    assert len(found) == 20
    for question in found:
        first, second = question.values
        assert 0 < second != first > 0
        exponents = {pattern.exponent for pattern in question.patterns}
        assert len(exponents) == 2
        assert min(exponents) >= 0
        working = work_question(question)
        assert [step.rule for step in working.steps] == [
            "read",
            "align",
            *(["negate"] if operation == "subtract" else []),
            "add",
        ]
        assert working.result.value == (first + second if operation == "add" else first - second) != 0
