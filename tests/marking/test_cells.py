"""Cells: zeros given back where there is one way to, and named where there are two."""

import pytest

from chalkpoint.marking.cells import cell_text
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask

ADD = ask("add", "2.75", "-1.5", course=Course())
DECODE = ask("decode", "1.0110000 1110", course=Course())
WIDE = ask("add", "2.75", "-1.5", course=Course(format="8+8"))


@pytest.mark.parametrize(
    ("cell", "line", "text"),
    [
        (11, "exponent", "0011"),
        (10100, "add", "00010100"),
        (0.1101, "add", "0.1101000"),
        (10100000001, "answer", "010100000001"),
        (11010000, "align", "11010000"),
    ],
)
def test_zeros_come_back(cell: float, line: str, text: str) -> None:
    """A number on a row of bits gets back the zeros a sheet program took, and it is said."""
    read, trouble = cell_text(cell, ADD, line, "row 2, column E")
    assert read == text
    assert trouble is None or trouble.repaired


@pytest.mark.parametrize(("cell", "line"), [(101, "answer"), (11, "answer")])
def test_what_may_be_a_value_is_left(cell: int, line: str) -> None:
    """A short number in the answer's place may be a value: it is left as it is and named."""
    read, trouble = cell_text(cell, ADD, line, "row 2, column E")
    assert read == str(cell)
    assert trouble is not None
    assert not trouble.repaired


def test_an_exponent_that_may_be_decimal_is_left() -> None:
    """In eight bits 10 may be ten or two: left and named."""
    read, trouble = cell_text(10, WIDE, "exponent", "row 2, column E")
    assert (read, trouble is not None and not trouble.repaired) == ("10", True)


def test_a_value_is_a_value() -> None:
    """A decoded number is a number, and nothing is repaired."""
    assert cell_text(-0.15625, DECODE, "answer", "row 2, column E") == ("-0.15625", None)
    assert cell_text(11, DECODE, "answer", "row 2, column E") == ("11", None)


def test_text_is_left_alone() -> None:
    """What is typed as text is never changed."""
    assert cell_text(" 0011 ", ADD, "exponent", "row 2, column E") == ("0011", None)


def test_an_error_of_the_sheet_is_no_answer() -> None:
    """A sheet program's error is named with its place and left out."""
    text, trouble = cell_text("#REF!", ADD, "answer", "row 7, column C")
    assert text == ""
    assert str(trouble).startswith("row 7, column C: '#REF!'")
