"""Groups: what is decided once for a class, and the marks either ruling gives."""

from chalkpoint.marking.classes import mark
from chalkpoint.marking.groups import Group, Member, decisions_for, groups_of, remembered
from chalkpoint.marking.marks import mark_question
from chalkpoint.marking.overrides import decide_points
from chalkpoint.setting.paperfile import papers_from
from chalkpoint.setting.papers import with_habits
from chalkpoint.working.course import Course, course_from
from heron import one_question

PAPER = {
    "schema": "chalkpoint.papers/1",
    "papers": [{"questions": [{"operation": "subtract", "operands": ["6.5", "1.25"]}]}],
}


def test_a_manner_is_one_group_however_many_write_so() -> None:
    """Its pupils, their answers, and both totals; most at stake first."""
    rows = [["student", "1"], *([f"H{at:02}", "0.1010100 3"] for at in range(1, 9)), ["H09", "5.25"]]
    groups = {group.name: group for group in groups_of(mark(PAPER, rows)["students"])}
    decimal = groups["exponent in decimal"]
    assert len(decimal.pupils) == 8
    assert {(one.marks, one.could) for one in decimal.members} == {(5, 6)}
    assert decimal.to_dict()["at_stake"] == 8
    assert [(one.marks, one.could) for one in groups["value without its pattern"].members] == [(1, 6)]


def test_what_can_be_ruled_together_and_its_marks_either_way() -> None:
    """A manner and a slip can, with the marks of the question where they are the same; what cannot be read cannot."""
    rows = [
        ["student", "1"],
        ["H01", "0.1010100 3"],
        ["H02", "0.1010100 3"],
        ["H03", "0.1010100 0010"],
        ["H04", "?x"],
    ]
    groups = {group.name: group for group in groups_of(mark(PAPER, rows)["students"])}
    assert groups["exponent in decimal"].scores == (5, 6, 6)
    assert groups["exponent in decimal"].example == "0.1010100 3"
    assert {name for name, group in groups.items() if not group.is_ruled_together} == {"cannot be read"}


def test_a_ruling_that_lets_it_stand_takes_nothing_away() -> None:
    """A line that has one mark of two and waits for the other keeps the one."""
    member = Member("H01", 1, "0.10101 0011", (("answer", 1, 2),), 5, 6, 6)
    group = Group("manner", "trailing zeros left off", [member])
    assert [decision.marks for decision in decisions_for(group, taken=False).values()] == [1]


def test_a_belief_is_a_group_too() -> None:
    """With the answers that show it; nothing of theirs waits."""
    lines = {"align": "0.0010100", "negate": "1.1101011", "answer": "0.1010011 0011"}
    rows = [{"student": "H01", "question": 1, "line": line, "written": text} for line, text in lines.items()]
    (group,) = groups_of(mark(PAPER, rows)["students"])
    assert (group.kind, group.name, group.at_stake) == ("belief", "invert-only", 0)


def test_a_ruling_is_remembered_with_the_course() -> None:
    """Taken, it earns full marks and waits no more; refused, it earns none and waits no more; one undoes the other."""
    course = remembered(
        remembered(Course(), "exponent in decimal", taken=False), "exponent in decimal", taken=True
    )
    assert (course.takes, course.refuses) == (("exponent in decimal",), ())
    assert course_from(course.to_dict()) == course
    for key, marks in (("takes", 6), ("refuses", 5)):
        asked = one_question("subtract", "6.5", "1.25", **{key: ["exponent in decimal"]})
        marked = mark_question(asked, {"answer": "0.1010100 3"})
        assert (marked.marks, marked.waiting) == (marks, ())


def test_papers_already_set_are_marked_with_the_habit() -> None:
    """A ruling made while marking changes no paper, and every pupil's marks."""
    papers = papers_from(PAPER)
    course = remembered(papers.course, "exponent in decimal", taken=True)
    for ruled, marks in ((papers, 5), (with_habits(papers, course), 6)):
        assert mark_question(ruled.first.questions[0], {"answer": "0.1010100 3"}).marks == marks


def test_any_other_ruling_is_a_decision_for_each_answer() -> None:
    """As if each had been decided by hand."""
    rows = [["student", "1"], ["H01", "0.1010100 0010"]]
    (group,) = (one for one in groups_of(mark(PAPER, rows)["students"]) if one.kind == "doubt")
    decisions = decisions_for(group, taken=True)
    marked = mark_question(one_question("subtract", "6.5", "1.25"), {"answer": "0.1010100 0010"})
    decided = decide_points(marked.points, "H01", 1, decisions)
    assert sum(point.given for point in decided) == marked.most == 4
    assert not any(point.for_teacher for point in decided)
