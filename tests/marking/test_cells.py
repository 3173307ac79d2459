"""Cells: zeros given back where there is one way to, and named where there are two."""

import datetime as dt

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from chalkpoint.marking.cells import LONGEST, cell_text, tame, untame
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


@pytest.mark.parametrize(
    "cell",
    [dt.datetime(2026, 4, 3), dt.time(3, 4), float("inf"), float("nan"), ["1"], {}],  # noqa: DTZ001 - as sheets keep them
)
def test_what_is_no_answer_is_named(cell: object) -> None:
    """A sheet program makes a date of 3/4: it is left for the teacher, never guessed at."""
    read, trouble = cell_text(cell, ADD, "answer", "row 2, column E")
    assert read == ""
    assert trouble is not None
    assert "type it as text" in str(trouble)


@pytest.mark.parametrize("cell", ["1" * (LONGEST + 1), 10**LONGEST, 10**4000, 1e300])
def test_what_is_longer_than_any_answer_is_named(cell: object) -> None:
    """It would stop every later marking of the class; what is as long as allowed is read."""
    read, trouble = cell_text(cell, ADD, "answer", "row 2, column E")
    assert read == ""
    assert trouble is not None
    assert f"up to {LONGEST} are read" in str(trouble)
    assert len(str(trouble)) < LONGEST
    assert cell_text("1" * LONGEST, ADD, "answer", "row 2, column E") == ("1" * LONGEST, None)


@given(st.text(alphabet="'=+-@\t\r12.a", max_size=6))
@example("'=Odo()")
@example("-5.25")
@example("'-5.25")
def test_a_tamed_cell_reads_back_as_it_was(text: str) -> None:
    """However many apostrophes it has of its own; and it begins like no formula, unless it is a number."""
    tamed = tame(text)
    assert untame(tamed) == text
    assert tamed[:1] not in {"=", "@", "\t", "\r"}
    assert tamed in {text, f"'{text}"}


@pytest.mark.parametrize("text", ["-5.25", "-5,25", "+3", "-", "0.1010", "H01"])
def test_a_number_is_left_alone(text: str) -> None:
    """A sheet program reads it as a number and runs nothing."""
    assert tame(text) == text


@pytest.mark.parametrize("text", ["-1/4", "=1+1", "+cmd|x", "@x", "-2+3"])
def test_what_would_be_run_is_read_back_where_answers_are(text: str) -> None:
    """As it was written, apostrophe and all."""
    assert tame(text) == f"'{text}"
    assert cell_text(tame(text), DECODE, "answer", "row 2, column B")[0] == text
