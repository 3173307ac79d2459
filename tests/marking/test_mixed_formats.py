"""A paper may ask in several formats: it is marked and diagnosed whole, whichever of them comes first."""

import pytest

from chalkpoint.marking.asking import diagnose
from chalkpoint.marking.classes import mark
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask

#: Question, its format, and the answer worked by hand.
ASKED = [
    ("add", ("78", "9"), "8", "01010111"),  # 64 + 16 + 7
    ("subtract", ("6.5", "1.25"), "8+4", "0.1010100 0011"),  # 5.25 is 0.65625 times 8
    ("add", ("1.5", "-2.25"), "Q5.3", "11111010"),  # -1 + 1/4
    ("normalise", ("0.0010110 0101",), "8+4", "0.1011000 0011"),  # two places left
    ("decode", ("0 10001 1010000000",), "binary16", "6.5"),  # 1.625 times 4
    ("negate", ("0110",), "4 ones-complement", "1001"),  # every bit inverted
]


@pytest.mark.parametrize("first", range(len(ASKED)), ids=[f"{name} in {fmt}" for name, _, fmt, _ in ASKED])
def test_right_answers_in_every_format_earn_every_mark(first: int) -> None:
    """Nothing is refused, nothing is lost, and nobody is accused."""
    asked = ASKED[first:] + ASKED[:first]
    questions = [{"operation": name, "operands": list(given), "format": fmt} for name, given, fmt, _ in asked]
    paper = {"schema": "chalkpoint.papers/1", "papers": [{"questions": questions}]}
    answers = [answer for *_, answer in asked]
    inverted = ["0.1010011 0011" if answer == "0.1010100 0011" else answer for answer in answers]
    heads = ["student", *map(str, range(1, len(asked) + 1))]
    right, wrong = mark(paper, [heads, ["H01", *answers], ["H02", *inverted]])["students"]
    assert right["marks"] == right["of"]
    assert not right["beliefs"]
    assert wrong["marks"] < wrong["of"]
    assert [belief["misconception"] for belief in wrong["beliefs"] if belief["named"]] == []


def test_the_questions_that_would_decide_are_in_the_formats_that_were_asked() -> None:
    """An encode in Q4.4 by inverting only: whatever is asked next of it is in Q4.4, not in the paper's first format."""
    eight = Course(format="8 ones-complement")
    fixed = Course(format="Q4.4")
    said = diagnose(
        [
            (ask("subtract", "5", "9", course=eight), "11111011"),
            (ask("encode", "-5/16", course=fixed), "11111010"),
        ]
    )
    assert [finding.misconception for finding in said.findings] == ["invert-only"]
    assert not said.named
    asked = said.to_dict()["next_questions"]
    assert asked
    assert {(one["operation"], one["format"]) for one in asked} == {("encode", "Q4.4")}
