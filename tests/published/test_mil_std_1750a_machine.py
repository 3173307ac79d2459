"""MIL-STD-1750A as its machine does it: the words of memory, saturation, and zero for an underflow.

Source: MIL-STD-1750A, sections 4.1.5 to 4.1.8 and the instructions FA, FS, FM, FD, FABS and FNEG. The
figures are those of data/mil_std_1750a.toml, read and written here as the standard prints them, in
hexadecimal, in the formats 1750A-32 and 1750A-48, which bring the machine's own conventions.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

import chalkpoint as cp
from published.sources import Entry, cases, entries

SINGLE, EXTENDED = cp.Course(format="1750A-32"), cp.Course(format="1750A-48")


def code(working: cp.Working) -> str:
    """Return the answer as the standard prints it."""
    assert working.result.hexadecimal is not None
    return working.result.hexadecimal.removeprefix("0x")


def scaled(mantissa: int, places: int, exponent: int) -> Fraction:
    """Return mantissa / 2^places * 2^exponent."""
    return Fraction(mantissa, 1 << places) * Fraction(2) ** exponent


@pytest.mark.parametrize("figure", cases(entries("mil_std_1750a", "example32"), "hex"))
def test_32_bit_words(figure: Entry) -> None:
    """Each word has its value, and the value that word."""
    value = scaled(figure["mantissa_integer"], 23, figure["exponent"])

    assert cp.work("decode", f"0x{figure['hex']}", course=SINGLE).result.value == value
    assert code(cp.work("encode", value, course=SINGLE)) == figure["hex"]


@pytest.mark.parametrize("figure", cases(entries("mil_std_1750a", "example48"), "hex"))
def test_48_bit_words(figure: Entry) -> None:
    """Each word has its value, and the value that word, its exponent inside the mantissa."""
    value = scaled(figure["mantissa_integer"], 39, figure["exponent"])

    assert cp.work("decode", f"#{figure['hex']}", course=EXTENDED).result.value == value
    assert code(cp.work("encode", value, course=EXTENDED)) == figure["hex"]


@pytest.mark.parametrize("figure", cases(entries("mil_std_1750a", "add"), "a", "b"))
def test_additions(figure: Entry) -> None:
    """Each sum is the word derived from the standard's rule, saturated where it overflows."""
    working = cp.work("add", f"0x{figure['a']}", f"0x{figure['b']}", course=SINGLE)

    assert code(working) == figure["sum"]
    assert (working.check.verdict == "overflow") == (figure["flag"] == "overflow")
    assert (working.check.verdict == "exact") == figure["exact_sum_representable"]


@pytest.mark.parametrize("figure", cases(entries("mil_std_1750a", "unary"), "op", "x"))
def test_negation(figure: Entry) -> None:
    """FNEG saturates where the opposite does not fit; FABS of a negative is its opposite."""
    working = cp.work("negate", f"0x{figure['x']}", course=SINGLE)

    assert code(working) == figure["result"]
    assert (working.check.verdict == "overflow") == (figure.get("flag") == "overflow")


@pytest.mark.parametrize(
    ("operation", "operands", "wanted"),
    [
        ("multiply", ("0x80000003", "0x80000002"), "40000006"),  # (-1 × 2^n)(-1 × 2^m) = 0.5 × 2^(n+m+1)
        ("subtract", ("0x7FFFFF7F", "0x8000007F"), "7FFFFF7F"),  # positive overflow saturates
        ("multiply", ("0x7FFFFF7F", "0x80000001"), "8000007F"),
        ("multiply", ("0x40000080", "0x40000080"), "00000000"),  # underflow is zero
        ("divide", ("0x40000001", "0x00000000"), "7FFFFF7F"),  # dividing by zero saturates by the sign
        ("divide", ("0x80000000", "0x00000000"), "8000007F"),
        ("divide", ("0x50000004", "0x40000002"), "50000003"),  # 10 / 2
    ],
)
def test_rules_of_the_machine(operation: str, operands: tuple[str, str], wanted: str) -> None:
    """Products, differences and quotients past either end are what the standard's rules write."""
    assert code(cp.work(operation, *operands, course=SINGLE)) == wanted


def test_a_course_may_ask_for_words_instead() -> None:
    """A course's own keys come before the machine's conventions."""
    words = cp.Course(format="1750A-32", overflow="word", underflow="word")

    assert cp.work("add", "0x8000007F", "0x8000007F", course=words).result.outcome == "overflow"
    assert cp.work("multiply", "0x40000080", "0x40000080", course=words).result.outcome == "underflow"
