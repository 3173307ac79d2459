"""A table of methods says, for each question and method, what that method writes by itself."""

import pytest

from chalkpoint.setting.asking import BlueprintQuestion
from chalkpoint.setting.drawing import draw_for
from chalkpoint.working import tables
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import (
    answer_by,
    declaration_of,
    has_methods,
    lines_written,
    run,
)
from chalkpoint.working.question import OPERATIONS, Question, ask
from chalkpoint.working.tables import MethodTable
from every_way import ways

FEW = 12  # questions tabled here
CASES = [
    (operation, spelling)
    for spelling in ("6+4", "1+4+3", "6", "Q4.2")
    for operation in OPERATIONS
    if has_methods(operation, Course(format=spelling))
    # A format has one range, and a hidden bit leaves nothing to normalise.
    and (operation, spelling) not in {("range", spelling), ("normalise", "1+4+3")}
]


@pytest.fixture(autouse=True)
def table_sooner(monkeypatch: pytest.MonkeyPatch) -> None:
    """Table a handful of questions: what is said is the same, and it is sooner tested."""
    monkeypatch.setattr(tables, "FEW", FEW)


def drawn(operation: str, spelling: str) -> list[Question]:
    """Return some questions: enough for lanes, where they fit."""
    return list(draw_for(BlueprintQuestion(operation, Course(format=spelling)), (), FEW, "5"))


@pytest.mark.parametrize(("operation", "spelling"), CASES)
def test_each_method_answers_as_by_itself(operation: str, spelling: str) -> None:
    """Answers and right lines of every method and belief, in every family of formats."""
    questions = drawn(operation, spelling)
    methods = list(ways(operation, questions[0].course).values())
    table = MethodTable(questions, methods)
    for at, question in enumerate(questions):
        assert table.by_method(at) == [answer_by(method, question) for method in methods]
        right, *lines = [lines_written(run(method, question), question) for method in methods]
        clean = {number for number in range(len(methods)) if table.clean(at) >> number & 1}
        same = {number for number, one in enumerate(lines, start=1) if one == right}
        assert clean - {0} == {number for number in same if methods[number].lines == methods[0].lines}


def test_a_division_by_zero_is_worked_by_itself() -> None:
    """Not all lines apply to it, so it never goes in lanes with others."""
    course = Course(format="6+4", overflow="largest")
    questions = [ask("divide", "1", text, course=course) for text in ("0", *map(str, range(1, FEW)))]
    methods = list(ways("divide", course).values())
    table = MethodTable(questions, methods)
    assert not table.in_lanes
    assert table.by_method(0) == [answer_by(method, questions[0]) for method in methods]
    assert MethodTable(questions[1:] * 2, methods).in_lanes
    assert declaration_of(questions[0]).suit(methods[0], questions[0]) is not methods[0]
