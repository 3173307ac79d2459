"""Many questions judged together are judged as each is by itself."""

import pytest

from chalkpoint.setting.asking import BlueprintQuestion
from chalkpoint.setting.drawing import draw_for
from chalkpoint.setting.fairness import judge, judge_all, judge_part_by_part
from chalkpoint.working import tables
from chalkpoint.working.course import Course

FEW = 12  # questions tabled here
CASES = [
    *(
        (operation, "8+4")
        for operation in ("add", "subtract", "multiply", "divide", "normalise", "negate", "encode", "error")
    ),
    ("subtract", "binary16"),
    ("negate", "8"),
    ("add", "Q4.4"),
]


@pytest.fixture(autouse=True)
def table_sooner(monkeypatch: pytest.MonkeyPatch) -> None:
    """Table a handful of questions: what is said is the same, and it is sooner tested."""
    monkeypatch.setattr(tables, "FEW", FEW)


@pytest.mark.parametrize(("operation", "spelling"), CASES)
def test_together_as_alone(operation: str, spelling: str) -> None:
    """Answers of methods, wrong answers, accidents and untested beliefs, in their order."""
    accepts = ("negate-then-align", "exact-then-nearest") if spelling == "8+4" else ()
    course = Course(format=spelling, accepts=accepts)
    questions = list(draw_for(BlueprintQuestion(operation, course), (), 2 * FEW, "9"))
    together = judge_all(questions)
    for question, fairness in zip(questions, together, strict=True):
        alone = judge_part_by_part(question)  # every method and belief in turn, line by line
        assert fairness == judge(question) == alone
        assert list(fairness.wrong) == list(alone.wrong)
        assert list(fairness.answers) == list(alone.answers)


def test_a_mixed_list_keeps_its_order() -> None:
    """Questions of several kinds come back in the order given, few or many of each."""
    course = Course()
    questions = [
        question
        for operation, count in (("add", FEW), ("decode", 3), ("subtract", 2))
        for question in draw_for(BlueprintQuestion(operation, course), (), count, "2")
    ]
    questions = questions[::2] + questions[1::2]
    assert judge_all(questions) == [judge(question) for question in questions]
