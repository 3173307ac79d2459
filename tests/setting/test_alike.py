"""Papers like a question that was found, and homework on a lesson: in every family of formats."""

import pytest

from chalkpoint.finding.find import find
from chalkpoint.setting.alike import blueprint_like, conditions_like, homework_on
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.setting.setter import set_papers
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask

#: What each question is, said by hand: both positive, or the first alone negative; no overflow.
LIKE = [
    ("8", "add", ("5", "9"), {"sign-pattern = ++", "not overflow"}),
    ("8 ones-complement", "subtract", ("-5", "9"), {"sign-pattern = -+", "not overflow"}),
    ("Q5.3", "add", ("1.5", "2.25"), {"sign-pattern = ++", "not overflow"}),
    ("binary16", "subtract", ("-1.5", "2.5"), {"sign-pattern = -+", "not overflow"}),
]


@pytest.mark.parametrize(("fmt", "operation", "operands", "conditions"), LIKE)
def test_thirty_like_one_in_every_family(
    fmt: str, operation: str, operands: tuple[str, ...], conditions: set[str]
) -> None:
    """The conditions are true of the question, and papers can be set from them."""
    question = ask(operation, *operands, course=Course(format=fmt))
    assert set(conditions_like(question, [], 30)) == conditions
    plan = parse_blueprint(blueprint_like(question, [], 2))
    for paper in set_papers(plan, variants=2, seed=7).variants.values():
        assert paper.questions[0].question.operation.name == operation


def test_homework_asks_fresh_questions_of_each_kind_that_was_taught() -> None:
    """Two operations, two questions of each, in the order of the lesson, none of them the lesson's own."""
    taught = [
        ask("subtract", "8.875", "3.6875", course=Course()),
        ask("decode", "10110000 1110", course=Course()),
    ]
    paper = set_papers(parse_blueprint(homework_on("Reading gauges", taught)), variants=1, seed=1).first
    asked = [one.question for one in paper.questions]
    assert [question.operation.name for question in asked] == ["subtract", "subtract", "decode", "decode"]
    assert not {question.patterns for question in taught} & {question.patterns for question in asked}


def test_signs_are_told_of_infinities_too() -> None:
    """Of the 128 patterns of 1+4+3 with a 1 in front, zero and the seven that are no number are not negative."""
    assert find("decode", course=Course(format="1+4+3"), where=["sign-pattern = -"]).count == 120
