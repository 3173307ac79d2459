"""A class: the same results however the work is shared, as a stream."""

import json

import pytest

from chalkpoint.marking.answers import scripts
from chalkpoint.marking.classes import mark, mark_scripts
from chalkpoint.marking.overrides import Decision
from chalkpoint.numbers.errors import EntryError
from heron import papers_of, table_by

PAPERS = papers_of()
PUPILS = {
    "Fenn": (),
    "Odo": ("invert-only",),
    "Wren": ("sub-adds",),
    "Corin": ("norm-skipped",),
}


def entries(workers: int = 1) -> list[dict[str, object]]:
    """Return the class marked."""
    return list(mark_scripts(PAPERS, scripts(table_by(PAPERS, PUPILS), PAPERS), workers=workers))


def test_two_processes_give_the_same() -> None:
    """Sharing the work changes nothing, to the byte."""
    assert json.dumps(entries(2)) == json.dumps(entries(1))


def test_each_holder_is_named() -> None:
    """Each pupil's belief is named, and the one without has none."""
    named = [
        {name for belief in entry["beliefs"] if belief["named"] for name in belief["among"]}  # type: ignore[attr-defined]
        for entry in entries()
    ]
    assert named[0] == set()
    assert [held[0] in found for held, found in zip(list(PUPILS.values())[1:], named[1:], strict=True)] == [
        True
    ] * 3


def test_marks_add_up() -> None:
    """A pupil's marks are the sum of the questions', and those of their points."""
    for entry in entries():
        questions = entry["questions"]
        assert entry["marks"] == sum(one["marks"] for one in questions)  # type: ignore[attr-defined]
        for one in questions:  # type: ignore[attr-defined]
            assert one["marks"] == sum(point["marks"] for point in one["points"])
            assert one["of"] == sum(point["of"] for point in one["points"])


def test_a_decision_reaches_its_pupil_alone() -> None:
    """A teacher's decision changes one pupil, though others wrote the same."""
    rows = [["student", "1"], ["Odo", "0.1"], ["Wren", "0.1"]]
    papers = papers_of(("subtract", "6.5", "1.25"))
    decisions = {("Wren", 1, "negate"): Decision(1, "said aloud")}
    odo, wren = mark_scripts(papers, scripts(rows, papers), decisions=decisions)
    assert (odo["marks"], wren["marks"]) == (0, 1)


def test_nothing_handed_in_concludes_nothing() -> None:
    """A pupil without a single answer is absent and diagnosed with nothing."""
    papers = papers_of(("subtract", "6.5", "1.25"))
    (entry,) = mark_scripts(papers, scripts([["student", "1"], ["Nerys", ""]], papers))
    assert entry["absent"]
    assert entry["beliefs"] == []


def test_no_workers_are_refused() -> None:
    """Nobody cannot mark."""
    with pytest.raises(EntryError, match="0 workers cannot mark"):
        list(mark_scripts(PAPERS, [], workers=0))


def test_the_schema_of_marks() -> None:
    """The object has the promised keys."""
    paper = {
        "schema": "chalkpoint.papers/1",
        "papers": [{"questions": [{"operation": "add", "operands": ["1", "2"]}]}],
    }
    marked = mark(paper, [["student", "1"], ["Odo", "overflow"]])
    (student,) = marked["students"]
    assert marked["schema"] == "chalkpoint.marks/1"
    assert {"student", "marks", "of", "questions", "beliefs", "next_questions"} <= set(student)
    (question,) = student["questions"]
    assert {"question", "marks", "of", "first_wrong", "points"} <= set(question)
    assert {"rule", "marks", "of", "status", "why", "for_teacher"} <= set(question["points"][0])
