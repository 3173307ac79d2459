"""What people type: one table of what is meant, and proof that nothing at all gets past with a traceback."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

import chalkpoint as cp
from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.numbers.listed import list_formats
from chalkpoint.working.course import Course
from chalkpoint.working.question import OPERATIONS, ask, ask_line

COMMA = Course(point=",")
PATTERNS = ["01000111 0100", "01110110 0010"]  # 8.875 and 3.6875


@pytest.mark.parametrize("dash", "-\u2212\u2010\u2011\u2012\u2013\u2014\u2015\ufe63\uff0d")
def test_any_dash_is_a_minus(dash: str) -> None:
    """Before a number, and between two."""
    assert ask("encode", f"{dash}5.25", course=Course()).value == Fraction(-21, 4)
    assert ask("subtract", f"8.875 {dash} 3.6875", course=Course()).given == (
        Fraction(71, 8),
        Fraction(59, 16),
    )


@pytest.mark.parametrize(
    "typed",
    [
        ["8.875", "3.6875"],
        ["8.875 - 3.6875"],
        ["8.875", "-", "3.6875"],
        ["8.875-3.6875"],
        ["8.875,3.6875"],
        ["8.875, 3.6875"],
        ["8.875,", "3.6875"],
        ["8.875; 3.6875"],
        ["\ufeff8.875", "3.6875"],
        ["\uff18.\uff18\uff17\uff15", "\uff13\uff0e\uff16\uff18\uff17\uff15"],
        ["8.875\u00a0\u2013\u00a03.6875"],
        ["01000111 0100 - 01110110 0010"],
        ["01000111 0100,01110110 0010"],
        ["01000111", "0100", "-", "01110110", "0010"],
        ["71/8", "59/16"],
        ["8 7/8", "3 11/16"],
        ["8", "7/8", "-", "3", "11/16"],
    ],
)
def test_two_operands_however_they_are_typed(typed: list[str]) -> None:
    """On the command line, in one field of a page, in a blueprint: the same question."""
    assert ask("subtract", *typed, course=Course()).operands == PATTERNS


@pytest.mark.parametrize(
    "line", ["8.875 - 3.6875", "8.875, 3.6875", "8.875,3.6875", "8.875 3.6875", "8.875 \u2212 3.6875"]
)
def test_two_operands_on_one_line(line: str) -> None:
    """As marking and lessons read a question."""
    assert ask_line(f"subtract {line}", course=Course()).operands == PATTERNS


def test_a_negative_second_operand_keeps_its_minus() -> None:
    """A sign between the operands is one thing, a sign before a number another."""
    assert ask("subtract", "1.5 - -2", course=Course()).given == (Fraction(3, 2), Fraction(-2))
    assert ask("subtract", "1.5", "-", "-2", course=Course()).given == (Fraction(3, 2), Fraction(-2))
    assert ask("subtract", "1.5", "-2", course=Course()).given == (Fraction(3, 2), Fraction(-2))
    assert ask("add", "-", "1.5", "2", course=Course()).given == (Fraction(-3, 2), Fraction(2))


def test_a_sum_may_be_typed_with_its_signs() -> None:
    """All terms on one line."""
    assert ask("sum", "64 + -0.25 + -64", course=Course()).values == (
        Fraction(64),
        Fraction(-1, 4),
        Fraction(-64),
    )


def test_a_sign_of_another_operation_is_asked_about() -> None:
    """It is not dropped."""
    with pytest.raises(
        EntryError, match="'8 \\+ 3' has \\+ between its operands, and subtract puts \u2212 there"
    ):
        ask("subtract", "8 + 3", course=Course())


def test_a_decimal_comma_is_explained() -> None:
    """With what to write, and how a course takes it."""
    with pytest.raises(EntryError, match=r"'5,25' as value has a decimal comma.*write 5.25, or set point = "):
        ask("encode", "5,25", course=Course())
    with pytest.raises(EntryError, match="'5,25' as operand has a decimal comma"):
        ask("add", "5,25", "1,5", course=Course())
    assert ask("encode", "5,25", course=COMMA).value == Fraction(21, 4)


@pytest.mark.parametrize(
    "typed", [["8,875", "3,6875"], ["8,875; 3,6875"], ["8,875, 3,6875"], ["8,875 - 3,6875"]]
)
def test_operands_where_commas_are_decimal(typed: list[str]) -> None:
    """A comma without a space behind it belongs to a number."""
    assert ask("subtract", *typed, course=COMMA).given == (Fraction(71, 8), Fraction(59, 16))


@pytest.mark.parametrize(
    ("typed", "spelling", "meant"),
    [
        ("0100 01000111", "8+4", "01000111 0100"),
        ("1001 0 101", "1+4+3", "0 1001 101"),
        ("011 01100", "5+3", "01100 011"),
    ],
)
def test_fields_in_another_order_are_asked_about(typed: str, spelling: str, meant: str) -> None:
    """The sentence says what would be taken."""
    with pytest.raises(EntryError, match=f"were they exchanged\\? Then write '{meant}'"):
        ask("decode", typed, course=Course(format=spelling))


# === Bits or a decimal ===


@pytest.mark.parametrize(
    ("typed", "spelling", "value", "note"),
    [
        ("0.111", "8+4", Fraction(111, 1000), "0.111 is read as a decimal; 0b0.111 would be binary."),
        ("10.01", "8+4", Fraction(1001, 100), "10.01 is read as a decimal; 0b10.01 would be binary."),
        ("-10.01", "8+4", Fraction(-1001, 100), ""),  # bits have no sign
        ("0.110", "Q1.3", Fraction(11, 100), "0.110 is read as a decimal; 0b0.110 would be binary."),
        ("10", "8", Fraction(10), "10 is read as a decimal; 0b10 would be binary."),
        ("1000", "4", None, "1000 is read as bits; 0d1000 would be the decimal."),
        ("0b0.111", "8+4", Fraction(7, 8), ""),
        ("0b10.01", "8+4", Fraction(9, 4), ""),
        ("-0b10.01", "8+4", Fraction(-9, 4), ""),
        ("0b0.110", "Q1.3", None, ""),
        ("0d0.110", "Q1.3", Fraction(11, 100), ""),
        ("0d10.01", "8+4", Fraction(1001, 100), ""),
        ("0d10000", "24+8", Fraction(10000), ""),
        ("0b01000111 0100", "8+4", None, ""),
        ("01000111 0100", "8+4", None, ""),
        ("0110", "4", None, ""),
        ("0.1", "8+4", Fraction(1, 10), ""),
        ("6.5", "8+4", Fraction(13, 2), ""),
        ("0", "8+4", Fraction(0), ""),
    ],
)
def test_what_could_be_bits_or_a_decimal_is_never_taken_in_silence(
    typed: str, spelling: str, value: Fraction | None, note: str
) -> None:
    """The reading is said, and 0b or 0d forces either."""
    question = ask("negate", typed, course=Course(format=spelling))

    assert question.given == (value,)
    assert question.notes == ((note,) if note else ())


def test_the_value_of_a_binary_number() -> None:
    """Where an operation takes values, 0b is a number in binary."""
    assert ask("encode", "0b10.01", course=Course()).value == Fraction(9, 4)
    assert ask("encode", "10.01", course=Course()).notes == (
        "10.01 is read as a decimal; 0b10.01 would be binary.",
    )


# === Names ===


def test_names_are_as_many_as_operands_at_most() -> None:
    """A comma too many names nothing; a name too many is refused; one left out keeps its usual name."""
    assert ask("add", "1", "2", course=Course(), names=("gauge", "datum", "")).names == ("gauge", "datum")
    assert ask("add", "1", "2", course=Course(), names=("", "datum")).names == ("first", "datum")
    assert ask("sum", "1", "2", "3", course=Course(), names=("tide",)).names == ("tide", "second", "term 3")
    with pytest.raises(EntryError, match=r"3 names \(a, b, c\) are given for 2 operands"):
        ask("add", "1", "2", course=Course(), names=("a", "b", "c"))


# === The door ===

TYPED = st.text(
    st.sampled_from("0123456789.,-+/*x bde#\u2212\u2013\ufeff\uff11\u00b2\u00bd;_'\"^infa\u221e\u0663")
    | st.characters(),
    max_size=12,
)


@given(
    st.sampled_from(list(OPERATIONS)),
    st.lists(TYPED, max_size=4),
    st.sampled_from([one.spelling for one in list_formats()]),
    st.sampled_from([".", ","]),
    st.lists(TYPED, max_size=3),
)
@settings(max_examples=400)
@example("add", ["1e9999", "1"], "8+4", ".", [])
@example("add", ["0b", "0d"], "8+4", ".", [])
@example("encode", ["\u00b2"], "8+4", ".", [])
@example("convert", ["1.5,binary16"], "8+4", ".", [])
@example("choose-format", ["0,0,0"], "8+4", ".", [])
@example("explain", ["add"], "8+4", ".", ["a"])
def test_any_text_gives_a_working_or_one_sentence(
    operation: str, typed: list[str], spelling: str, point: str, names: list[str]
) -> None:
    """Never a traceback."""
    try:
        said = cp.work(
            operation, *typed, course=Course(format=spelling, point=point), names=tuple(names)
        ).title
    except ChalkpointError as refused:
        said = str(refused)

    assert said
    assert "\n" not in said


@pytest.mark.parametrize(
    ("asked", "fmt"),
    [
        (("encode", "0.3"), "8+4"),
        (("multiply", "2", "3"), "8+4"),
        (("add", "2", "3"), "binary16"),
        (("range",), "8"),
    ],
)
def test_a_method_that_nothing_is_added_by_is_refused(asked: tuple[str, ...], fmt: str) -> None:
    """It would change nothing, and be taken in silence; a course that names a method works everything all the same."""
    with pytest.raises(
        EntryError, match=f"'one-guard-bit' is of no use for '{asked[0]}' in {re.escape(fmt)}: .*leave it out"
    ):
        cp.work(*asked, format=fmt, method="one-guard-bit")
    assert cp.work(*asked, course=Course(format=fmt, method="one-guard-bit")).steps


def test_a_method_for_what_is_added_is_taken() -> None:
    """Added, subtracted, summed, and an addition explained."""
    for asked in (
        ("add", "1", "2"),
        ("subtract", "1", "2"),
        ("sum", "1", "2", "3"),
        ("explain", "add", "1", "2"),
    ):
        assert cp.work(*asked, method="one-guard-bit").method == "one-guard-bit"
