"""A teacher's decisions change a mark and keep what stood there."""

from pathlib import Path

import pytest

from chalkpoint.marking.marks import mark_question
from chalkpoint.marking.overrides import (
    Decision,
    Ruling,
    check_decisions,
    decide_points,
    read_decisions,
)
from chalkpoint.numbers.errors import EntryError
from heron import one_question, papers_of

SUBTRACT = one_question("subtract", "6.5", "1.25")
POINTS = mark_question(SUBTRACT, {"align": "0.0010101", "negate": "1.1101100"}).points


def test_a_decision_keeps_the_original() -> None:
    """The mark given stands beside the one before it, with both reasons."""
    decided = decide_points(POINTS, "Odo", 1, {("Odo", 1, "align"): Decision(1, "shift seen")})[0]
    assert (decided.given, decided.was, decided.for_teacher) == (1, 0, False)
    assert decided.why.startswith("The teacher decided: shift seen. Before: ")


def test_other_points_are_left_alone() -> None:
    """A decision on one line of one pupil changes no other."""
    decided = decide_points(POINTS, "Odo", 1, {("Wren", 1, "align"): Decision(1, "")})
    assert decided == POINTS


def test_more_than_there_is_is_refused() -> None:
    """No decision gives more marks than a line has."""
    with pytest.raises(EntryError, match="5 marks for Odo, question 1, align; it has 1"):
        decide_points(POINTS, "Odo", 1, {("Odo", 1, "align"): Decision(5, "")})


def test_the_file_is_read(tmp_path: Path) -> None:
    """The columns are student, question, line, marks, reason."""
    path = tmp_path / "overrides.csv"
    path.write_text("student,question,line,marks,reason\nOdo,1,align,1,shift seen\n", encoding="utf-8")
    assert read_decisions(path)[0] == {("Odo", 1, "align"): Decision(1, "shift seen")}


def test_a_bad_row_is_named(tmp_path: Path) -> None:
    """A row that cannot be taken is named with what is accepted."""
    path = tmp_path / "overrides.csv"
    path.write_text("student,question,line,marks,reason\nOdo,1,align,some,\n", encoding="utf-8")
    with pytest.raises(EntryError, match="row 2: marks is 'some'; write a whole number"):
        read_decisions(path)


@pytest.mark.parametrize(
    ("question", "line", "marks", "said"),
    [
        (9, "align", 1, "there is no such question; they are 1 to 1"),
        (1, "polish", 1, "there is no such line"),
        (1, "align", 4, "4 marks; it has 1"),
    ],
)
def test_a_decision_that_has_no_place_is_refused_at_once(
    question: int, line: str, marks: int, said: str
) -> None:
    """A question or line nobody was asked, or too many marks, is refused before anything is marked."""
    papers = papers_of(("subtract", "6.5", "1.25"))
    with pytest.raises(EntryError, match=said):
        check_decisions({("Odo", question, line): Decision(marks, "")}, papers)


def test_a_row_not_decided_yet_is_passed_over(tmp_path: Path) -> None:
    """A group without a ruling and a line without marks are as if they were not there."""
    path = tmp_path / "decisions.csv"
    path.write_text(
        "group,ruling,student,question,line,marks,reason\n"
        "exponent in decimal,,,,,,\n,,Odo,1,align,,\nfields in the other order,ACCEPT,,,,,as in our book\n",
        encoding="utf-8",
    )
    assert read_decisions(path) == (
        {},
        {"fields in the other order": Ruling(accepted=True, reason="as in our book")},
    )


def test_a_ruling_that_is_none_is_named(tmp_path: Path) -> None:
    """With its row and the two that are taken."""
    path = tmp_path / "decisions.csv"
    path.write_text("group,ruling\nexponent in decimal,yes\n", encoding="utf-8")
    with pytest.raises(EntryError, match="row 2: ruling is 'yes'; write accept or let it stand"):
        read_decisions(path)
