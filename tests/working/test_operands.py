"""What people write as operands, read under the course's format."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

import chalkpoint as cp
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.named import format_called
from chalkpoint.numbers.signed import Fields
from chalkpoint.working.course import Course
from chalkpoint.working.operands import is_format, join_fields, read_operand


@pytest.mark.parametrize(
    ("written", "spelling", "pattern"),
    [
        ("0 1001 101", "1+4+3", Fields(0, 2, 5)),
        ("01001101", "1+4+3", Fields(0, 2, 5)),
        ("0x4D", "1+4+3", Fields(0, 2, 5)),
        ("#4d", "1+4+3", Fields(0, 2, 5)),
        ("6.5", "1+4+3", Fields(0, 2, 5)),
        ("13/2", "1+4+3", Fields(0, 2, 5)),
        ("-infinity", "1+4+3", Fields(1, 8, 0)),
        ("\u2212inf", "1+4+3", Fields(1, 8, 0)),
        ("NaN", "1+4+3", Fields(0, 8, 4)),
        ("-0", "1+4+3", Fields(1, -7, 0)),
        ("-0.0", "1+4+3", Fields(1, -7, 0)),
        ("0", "1+4+3", Fields(0, -7, 0)),
        ("1.1010000 0011", "8+4 sign-and-magnitude", Fields(1, 3, 0b1010000)),
        ("11010.110", "Q5.3", "11010110"),
        ("1101 0110", "8", "11010110"),
        ("12", "8", "00001100"),
        ("-42", "8", "11010110"),
        ("-0", "8", "00000000"),
    ],
)
def test_an_operand_is_read(written: str, spelling: str, pattern: object) -> None:
    """Bits, hexadecimal, decimals, fractions and the words for special values are all understood."""
    assert read_operand(written, cp.Course(format=spelling, overflow="largest"))[0] == pattern


@pytest.mark.parametrize(
    ("written", "spelling", "said"),
    [
        ("nan", "8+4 sign-and-magnitude", "has no pattern for what is not a number; give a number"),
        ("inf", "E4M3", "E4M3 has no infinity; give a number"),
        ("1000", "1+4+3", "1000 is outside 1+4+3, whose sizes run from 0.001953125 to 240"),
        ("16.5", "Q5.3", "16.5 is outside Q5.3, which holds \u221216 to 15.875"),
        ("01011", "1+4+3", "'01011' has 5 bits; 1+4+3 takes 8"),
        ("0.0001", "8+4", "0d0.0001 would be the decimal, 0b0.0001 the binary number"),
        ("0x1FF", "1+4+3", "'0x1FF' has 3 hexadecimal digits; 8 bits take 2"),
        ("0101010", "8", "'0101010' as number has 7 bits; this format has 8"),
    ],
)
def test_what_cannot_be_read_is_refused(written: str, spelling: str, said: str) -> None:
    """One sentence says what is wrong and what would be taken."""
    with pytest.raises(cp.EntryError) as refusal:
        read_operand(written, cp.Course(format=spelling))
    assert said in str(refusal.value)


@pytest.mark.parametrize(
    ("entries", "wanted", "spelling", "joined"),
    [
        (["0", "1001", "101", "1.5"], 2, "1+4+3", ["0 1001 101", "1.5"]),
        (["0", "1001", "101", "0", "0111", "011"], 2, "1+4+3", ["0 1001 101", "0 0111 011"]),
        (["1", "3/8", "2"], 2, "1+4+3", ["1 3/8", "2"]),
        (["1", "3/8"], 2, "1+4+3", ["1", "3/8"]),
        (["11010.110", "1", "3/8"], 2, "Q5.3", ["11010.110", "1 3/8"]),
    ],
)
def test_what_a_shell_split_is_joined(
    entries: list[str], wanted: int, spelling: str, joined: list[str]
) -> None:
    """Fields of one pattern, or a whole number and its fraction, come back together."""
    assert join_fields(entries, wanted, format_called(spelling)) == joined


@given(st.fractions(-100, 100, max_denominator=64), st.sampled_from(["8+4", "1+4+3", "Q8.3", "8+4 excess-8"]))
def test_a_stored_operand_remembers_what_was_asked_for(value: Fraction, spelling: str) -> None:
    """Beside the pattern stands the value given, and the pattern is that value by the course's rounding."""
    course = cp.Course(format=spelling)
    try:
        pattern, given_value, *_ = read_operand(str(value), course)
    except cp.EntryError:
        return
    assert given_value == value
    assert pattern == cp.work("encode", value, course=course).pattern


@pytest.mark.parametrize(
    ("written", "is_one"),
    [("binary16", True), ("8+4", True), ("8", True), ("0101", False), ("0x10", False), ("6.5", False)],
)
def test_formats_are_told_from_operands(written: str, is_one: object) -> None:
    """`convert` finds where the operand ends and the format begins."""
    assert is_format(written) is is_one


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ("0101", "has 4 bits; 8\\+4 takes 8"),
        ("zz", "'zz' is neither a pattern nor a number"),
        ("", "'' is neither a pattern nor a number"),
    ],
)
def test_an_operand_that_is_nothing_is_refused_for_what_it_is(entry: str, said: str) -> None:
    """A pattern too short is not taken for a decimal, since nobody writes one with a 0 in front."""
    with pytest.raises(EntryError, match=said):
        read_operand(entry, Course())


def test_a_format_that_is_none_is_named() -> None:
    """The sentence is about the format, not about how many operands there are."""
    with pytest.raises(EntryError, match=r"'binary17' is not a format.*binary16"):
        cp.work("convert", "1.5", "binary17")
