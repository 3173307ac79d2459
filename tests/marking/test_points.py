"""Each mark of a question by itself: given or not, why, and what is left to the teacher, all written down by hand."""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from chalkpoint.marking.marks import mark_question
from chalkpoint.setting.paperfile import papers_from
from chalkpoint.setting.papers import Asked
from heron import one_question

CASES = tomllib.loads((Path(__file__).parent / "points.toml").read_text(encoding="utf-8"))["case"]
KEYS = {"why", "ask", "format", "written"}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["why"][:40])
def test_every_mark_comes_to_what_it_should(case: dict[str, Any]) -> None:
    """Its status, its marks, and where it waits the marks it could have and its group."""
    asked = one_question(*case["ask"], format=case.get("format", "8+4"))
    marked = {mark.name: mark for mark in mark_question(asked, case["written"]).points}
    for name in case.keys() - KEYS:
        mark, (status, given, *waits) = marked[name], case[name]
        could, group = waits or (None, "")
        assert (mark.status, mark.given, mark.could) == (status, given, could), (name, mark.why)
        assert mark.for_teacher == bool(waits), name
        assert mark.group.startswith(group), name


def test_a_wrong_line_is_named() -> None:
    """Which line of a shown working is wrong: named right, it earns its mark; what it should be is the teacher's."""
    scheme = [{"rule": "answer", "kind": "B", "marks": 2, "expects": "negate"}]
    asked = asked_with(scheme, "subtract", "6.5", "1.25", kind="mistake")
    right, wrong = (mark_question(asked, {"answer": f"the {line} line"}) for line in ("Negate", "add"))
    assert [(mark.given, mark.status, mark.most) for mark in right.points] == [(2, "right", 2)]
    assert [(mark.given, mark.status, mark.most, mark.group) for mark in wrong.points] == [
        (0, "off", 2, "a mistake named")
    ]


def test_a_division_by_zero_is_marked_by_its_answer() -> None:
    """On 1750A it comes to the largest number; a line beside it is the teacher's, an answer that says nothing too."""
    scheme = [
        {"rule": "answer", "kind": "A", "marks": 1, "expects": "011111111111111111111111 01111111"},
        {"rule": "quotient", "kind": "M", "marks": 1, "expects": "none"},
    ]
    asked = asked_with(scheme, "divide", "6", "0", format="1750A-32")
    largest = f"0{'1' * 23} 01111111"
    for written, answer, first in (
        ({"answer": largest}, (1, "right", ""), ""),
        ({"answer": f"0{'1' * 23} 01111110"}, (0, "off", ""), "answer"),
        ({"answer": "see over"}, (0, "off", "cannot be read"), "answer"),
        ({"quotient": "6/0"}, (0, "absent", ""), "answer"),
    ):
        marked = mark_question(asked, written)
        mark, line = marked.points
        assert (mark.given, mark.status, mark.group) == answer
        assert marked.first_wrong == first
        assert line.group == ("a line that is not judged by itself" if "quotient" in written else "")


@pytest.mark.parametrize(
    ("question", "letters"),
    [
        (("subtract", "6.5", "1.25"), ["M1", "M1 ft", "M1 ft", "A1 ft", "A1 ft", "A1 ft"]),
        (("normalise", "11110010 0010"), ["B1", "B1 ft dep"]),
        (("error", "4.6"), ["M1", "A1 ft", "A1 ft dep"]),
    ],
)
def test_marks_as_a_scheme_writes_them(question: tuple[str, ...], letters: list[str]) -> None:
    """What they are for, how many, whether they follow through, and whether they depend on another."""
    assert [mark.letter for mark in one_question(*question).points] == letters


def test_a_repair_is_expected_with_its_extra_place() -> None:
    """3.25 + 2.75 at one exponent: 0.1101 + 0.1011 is 01.1000, and the place in front counts."""
    (add,) = (mark for mark in one_question("add", "3.25", "2.75").points if mark.rule == "add")
    assert add.expects == "01.1000000"


@pytest.mark.parametrize(
    ("question", "wrong", "right"),
    [
        (("convert", "-5.25", "Q5.3"), {"value": "1.5", "answer": "11010110"}, "11010110"),
        (("sum", "64", "0.25", "1"), {"move 2": "0.1111111", "answer": "01000001 0111"}, "01000001 0111"),
    ],
)
def test_a_pupil_leaves_no_trace_on_the_next(
    question: tuple[str, ...], wrong: dict[str, str], right: str
) -> None:
    """Where the question may have been misread, it is put for that pupil only."""
    asked = one_question(*question)
    mark_question(asked, wrong)
    assert mark_question(asked, {"answer": right}).marks == asked.marks


def asked_with(scheme: list[dict[str, Any]], operation: str, *operands: str, **entry: Any) -> Asked:
    """Return a question with a scheme of its own, as a paper written by hand has it."""
    question = {"operation": operation, "operands": operands, "scheme": scheme} | entry
    table = {"schema": "chalkpoint.papers/1", "papers": [{"questions": [question]}]}
    return papers_from(table).first.questions[0]
