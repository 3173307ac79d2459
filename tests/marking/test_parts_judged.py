"""Conversions, sums and choices of a format judged and marked line by line, worked out by hand."""

from __future__ import annotations

import pytest

import chalkpoint as cp
from chalkpoint.marking.lines_ahead import lines_on
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask_line

#: The question, its format, its lines with what each shows, and the beliefs at the first wrong one.
JUDGED: tuple[tuple[str, str, tuple[tuple[str, str, str], ...], tuple[str, ...]], ...] = (
    (  # 0.8125 * 2^3 = 6.5 = 1.101 * 2^2
        "convert 01101000 0011, binary16",
        "8+4",
        (
            ("read exponent", "3", "right"),
            ("value", "6.5", "right"),
            ("size", "110.1", "right"),
            ("exponent", "2", "right"),
            ("answer", "0 10001 1010000000", "right"),
        ),
        (),
    ),
    (  # the stored exponent taken for the exponent: 1.75 * 2^8 = 448, past the end of 8+4 at 127
        "convert 0 1000 110, 8+4",
        "1+4+3",
        (
            ("read exponent", "8", "misconception"),
            ("value", "448", "follow-through"),
            ("answer", "overflow", "follow-through"),
        ),
        ("bias-not-removed",),
    ),
    (  # the same belief, seen in the answer alone: the point in front of the first bit halves the value
        "convert 01101000 0011, binary16",
        "8+4",
        (("answer", "0 10000 1010000000", "misconception"),),
        ("point-before-first-bit", "scale-one-short"),
    ),
    (  # 3.5 read rightly, the bias left out where it is stored again: 1.11 * 2^1
        "convert 0.1110000 0010, 1+4+3",
        "8+4",
        (("value", "3.5", "right"), ("answer", "0 0001 110", "misconception")),
        ("bias-omitted",),
    ),
    (  # a value read as 0 has the pattern of zero
        "convert 0 1000 110, 8+4",
        "1+4+3",
        (("value", "0", "off"), ("answer", "00000000 1000", "follow-through")),
        (),
    ),
    (  # zero misread as 1 is 0.1 * 2^1
        "convert 0 0000 000, 8+4",
        "1+4+3",
        (("value", "1", "off"), ("answer", "01000000 0001", "follow-through")),
        (),
    ),
    ("convert 0 1111 000, binary16", "1+4+3", (("answer", "0 11111 0000000000", "right"),), ()),
    ("convert 11010, Q3.4", "5", (("value", "-6", "right"), ("answer", "overflow", "right")), ()),
    (  # 64 + 0.25 is 64 again; 64 + 1 = 65
        "sum 64, 0.25, 1",
        "8+4",
        (
            ("move 2", "0.0000000", "right"),
            ("total 2", "01000000 0111", "right"),
            ("move 3", "0.0000001", "right"),
            ("answer", "01000001 0111", "right"),
        ),
        (),
    ),
    (  # 65 + 1 = 66 follows from a total of 65
        "sum 64, 0.25, 1",
        "8+4",
        (("total 2", "01000001 0111", "off"), ("answer", "01000010 0111", "follow-through")),
        (),
    ),
    ("sum 64, 64, 1", "8+4", (("total 2", "overflow", "right"), ("answer", "overflow", "right")), ()),
    ("sum 1, 2, 3", "5", (("total 2", "00100", "off"), ("answer", "00111", "follow-through")), ()),
    (  # 1.1 * 2^0 + 1.0 * 2^1 = 1.11 * 2^1; + 1.1 * 2^1 = 11.01 * 2^1 = 1.101 * 2^2
        "sum 1.5, 2, 3",
        "1+4+3",
        (
            ("total 2", "0 1000 110", "right"),
            ("combine 3", "11.01", "right"),
            ("answer", "0 1001 101", "right"),
        ),
        (),
    ),
    (  # hidden 1s left out of every addition: 0.1 + 0 * 2 = 0.1, then 0.1 * 2^1 again: 1.1 * 2^-1 + ...
        "sum 1.5, 3, 3",
        "1+4+3",
        (("unpack 2", "0.100 x 2^0; 0.100 x 2^1", "misconception"),),
        ("hidden-one-missing",),
    ),
    (  # the far end, 40, lies below 2^6: neighbours are 2^(5-m+1) apart there, so m = 9; 2^7 > 40 takes 4 bits
        "choose-format -10, 40, 0.25",
        "8+4",
        (("mantissa", "9", "right"), ("exponent", "4 bits", "right"), ("answer", "9+4", "right")),
        (),
    ),
    (
        "choose-format -10, 40, 0.25",
        "8+4",
        (("mantissa", "8", "misconception"), ("exponent", "4", "right"), ("answer", "8+4", "follow-through")),
        ("mantissa-sign-uncounted",),
    ),
)


@pytest.mark.parametrize(("question", "spelling", "lines", "beliefs"), JUDGED)
def test_each_line_is_judged_from_the_pupils_own_line_before_it(
    question: str, spelling: str, lines: tuple[tuple[str, str, str], ...], beliefs: tuple[str, ...]
) -> None:
    """Every line has its status, and what gives the first wrong one is named."""
    written = {name: text for name, text, _ in lines}
    said = cp.judge(question, written, format=spelling)
    assert {mark.line: mark.status for mark in said.marks if mark.written} == {
        name: status for name, _, status in lines
    }
    assert said.among == beliefs
    assert said.right == all(status == "right" for _, _, status in lines)


#: A question, its format, what is written, and the marks for it, of how many.
MARKED: tuple[tuple[str, list[str], str, dict[str, str], int, int], ...] = (
    ("convert", ["01101000 0011", "binary16"], "8+4", {"answer": "0 10001 1010000000"}, 4, 4),
    (  # 3.25 for 6.5, and all that follows from it: one mark lost
        "convert",
        ["01101000 0011", "binary16"],
        "8+4",
        {"value": "3.25", "size": "11.01", "exponent": "1", "answer": "0 10000 1010000000"},
        3,
        4,
    ),
    ("sum", ["64", "0.25", "1"], "8+4", {"total 2": "01000001 0111", "answer": "01000010 0111"}, 4, 5),
    ("sum", ["1", "2", "3"], "5", {"total 2": "00100", "answer": "00111"}, 2, 3),
    ("choose-format", ["-10", "40", "0.25"], "8+4", {"mantissa": "8", "answer": "8+4"}, 2, 3),
    # whole numbers: 30 inverted and no 1 added, 70 + that, and its value
    ("subtract", ["70", "30"], "8", {"negate": "11100001", "answer": "00100111", "decimal": "39"}, 2, 3),
    ("decode", ["10010011"], "8", {"weigh": "128+16+2+1", "answer": "147"}, 1, 2),
    ("encode", ["-99"], "8", {"size": "1100111", "answer": "10011001"}, 1, 2),  # 103, then its opposite
    ("negate", ["00010100"], "8", {"invert": "11101010", "answer": "11101011"}, 1, 2),
    ("multiply", ["3", "-2"], "8", {"product": "111", "answer": "11111001"}, 1, 2),  # 7, then its opposite
    ("divide", ["13", "-4"], "8", {"quotient": "11", "answer": "11111101", "remainder": "00000001"}, 3, 3),
    # ones' complement: 3 taken for 2, whose opposite is 11111101; 7 - 2 = 5
    ("subtract", ["7", "3"], "8 ones-complement", {"negate": "11111101", "answer": "00000101"}, 1, 3),
    # IEEE: the stored exponent for the exponent, 1.625 * 2^8; the hidden 1 left out, 0.625 * 2
    ("decode", ["0 1000 101"], "1+4+3", {"exponent": "8", "answer": "416"}, 2, 3),
    ("decode", ["0 1000 101"], "1+4+3", {"exponent": "1", "size": "0.625", "answer": "1.25"}, 2, 3),
    ("range", [], "1+4+3", {"largest positive": "0 1110 111", "smallest normal": "0 0001 000"}, 2, 5),
    ("add", ["0 1111 000", "1"], "1+4+3", {"answer": "infinity"}, 1, 1),
    # another stored value than the nearest, and the error of that
    ("error", ["1.3"], "1+4+3", {"answer": "0 0111 011", "absolute": "0.075", "relative": "3/52"}, 2, 3),
    ("subtract", ["6.5", "1.25"], "8+4 excess-8", {"negate": "1.1101011", "answer": "0.1010011 1011"}, 3, 5),
)


@pytest.mark.parametrize(("operation", "operands", "spelling", "lines", "marks", "most"), MARKED)
def test_marks_follow_through_on_papers_of_every_family(
    operation: str, operands: list[str], spelling: str, lines: dict[str, str], marks: int, most: int
) -> None:
    """An error is charged once, where it was made."""
    paper = {
        "schema": "chalkpoint.papers/1",
        "course": {"format": spelling},
        "papers": [{"questions": [{"operation": operation, "operands": operands}]}],
    }
    rows = [["student", "question", "line", "written"]]
    rows += [["H01", "1", line, text] for line, text in lines.items()]
    (pupil,) = cp.mark(paper, rows)["students"]
    assert (pupil["marks"], pupil["of"]) == (marks, most)


def test_what_is_left_to_write() -> None:
    """From a wrong total the lines go on: 4 + 3 = 7."""
    asked = ask_line("sum 1, 2, 3", course=Course(format="5"))
    assert [(line.rule, line.expects) for line in lines_on(asked, {"total 2": "00100"})] == [
        ("add 3", "00111")
    ]
    asked = ask_line("convert 01101000 0011, binary16", course=Course())
    assert [line.rule for line in lines_on(asked, {"value": "6.5"})] == [
        "sign",
        "size",
        "exponent",
        "round",
        "answer",
    ]


def test_an_error_is_wrong_where_one_of_its_answers_is() -> None:
    """1.3 is stored as 1.25: the difference is 0.05, and not 0.5."""
    assert cp.judge("error 1.3", {"absolute": "0.05"}, "0 0111 010", format="1+4+3").right
    assert not cp.judge("error 1.3", {"absolute": "0.5"}, "0 0111 010", format="1+4+3").right
