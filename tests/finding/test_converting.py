"""Conversions found: counted against values in order, asked for in words, and refused with their reason."""

from __future__ import annotations

import pytest

import chalkpoint as cp
from chalkpoint.finding.sentences import read_sentence
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.named import format_called, value_or_none


def values_of(spelling: str) -> list[object]:
    """Return the value of every pattern of a format."""
    fmt = format_called(spelling)
    return [value_or_none(fmt, fmt.read(format(code, f"0{fmt.bits}b"))) for code in range(1 << fmt.bits)]


def kept_in(spelling: str) -> set[object]:
    """Return the values that a format's normal patterns have, and zero."""
    values = values_of(spelling)
    if "+" not in spelling:
        return set(values)
    differing = [code for code in range(len(values)) if code >> (len(values).bit_length() - 3) in {1, 2}]
    return {values[code] for code in differing} | {0}


@pytest.mark.parametrize(
    ("fmt", "into"), [("5+3", "4+3"), ("6 unsigned", "Q3.2"), ("6 sign-and-magnitude", "4")]
)
def test_exact_conversions_are_those_of_values_that_both_formats_have(fmt: str, into: str) -> None:
    """A value is kept just where some normal pattern of the other format has it."""
    kept = kept_in(into)
    exact = sum(value in kept for value in values_of(fmt))
    found = cp.find("convert", format=fmt, into=into, where=["exact-result"])
    assert (found.count, found.exact, found.of) == (exact, True, 1 << format_called(fmt).bits)


def test_what_lies_past_the_range_is_counted_by_hand() -> None:
    """Of 0 to 255 those above 127 do not fit 8 bits with a sign; a found question is worked as any other."""
    found = cp.find("convert", format="8 unsigned", into="8", where=["overflow"])
    assert found.count == 128
    assert found.simplest(1)[0].operands == ["10000000", "8"]
    assert found.simplest(1)[0].result == "overflow"
    assert found.to_dict()["into"] == "8"


@pytest.mark.parametrize(
    ("operation", "into", "said"),
    [
        ("sum", None, "how many numbers are added is open"),
        ("choose-format", None, "no end of them"),
        ("convert", None, "needs the format converted into"),
        ("add", "6+4", "has no second format"),
        ("convert", "6+", "6+"),
    ],
)
def test_what_is_not_counted_says_why(operation: str, into: str | None, said: str) -> None:
    """One sentence each."""
    with pytest.raises(EntryError, match=said.replace("+", "[+]")):
        cp.find(operation, format="8+4", into=into)


LOSES = ("not exact-result", "not overflow", "not underflow")


@pytest.mark.parametrize(
    ("say", "operation", "formats", "where"),
    [
        ("a conversion from 8+4 to 6+4 that loses a digit", "convert", ("8+4", "6+4"), LOSES),
        ("convert half precision to 8+4 with an overflow", "convert", ("binary16", "8+4"), ("overflow",)),
        (
            "convert 8-bit unsigned into Q4.4, nothing lost",
            "convert",
            ("8 unsigned", "Q4.4"),
            ("exact-result",),
        ),
        ("converting 10+6 to 8+4 so that it underflows", "convert", ("10+6", "8+4"), ("underflow",)),
        (
            "a conversion into half precision of a negative number",
            "convert",
            ("", "binary16"),
            ("sign-pattern = -",),
        ),
        (
            "convert 8+4 to 6+4 where the value can't be stored exactly",
            "convert",
            ("8+4", "6+4"),
            ("not exact-result",),
        ),
        ("convert from 6+4 to 8+4 and it comes out exact", "convert", ("6+4", "8+4"), ("exact-result",)),
        ("add two 16-bit integers with a carry out", "add", ("16", ""), ("carry-out",)),
        ("subtract in Q8.8 with an overflow", "subtract", ("Q8.8", ""), ("overflow",)),
        (
            "a subtraction of 8-bit unsigned numbers with at least 3 borrows",
            "subtract",
            ("8 unsigned", ""),
            ("borrows >= 3",),
        ),
        (
            "add in 8-bit ones' complement with an end-around carry",
            "add",
            ("8 ones-complement", ""),
            ("end-around-carry",),
        ),
        ("add in half precision and the result is subnormal", "add", ("binary16", ""), ("subnormal-result",)),
        ("encode a value in half precision that is a tie", "encode", ("binary16", ""), ("tie",)),
        (
            "add two negative numbers in 8-bit sign and magnitude",
            "add",
            ("8 sign-and-magnitude", ""),
            ("sign-pattern = --",),
        ),
    ],
)
def test_sentences_about_every_family(
    say: str, operation: str, formats: tuple[str, str], where: tuple[str, ...]
) -> None:
    """Written before they were put to it; no word that means something may be dropped in silence."""
    read = read_sentence(say)
    assert (read.operation, (read.format, read.into), read.where) == (operation, formats, where), read
    assert not read.unused


@pytest.mark.parametrize(
    ("say", "why"),
    [
        ("the sum of three numbers in 8+4 where a bit is lost", "how many numbers"),
        ("a sum of several numbers", "how many numbers"),
        ("choose a format for temperatures", "no end of them"),
        ("choosing the smallest format for a tide gauge", "no end of them"),
        ("convert 6+4 to 8+4 and add", "both named"),
    ],
)
def test_sentences_that_ask_for_what_is_not_counted(say: str, why: str) -> None:
    """They are refused with the reason, and not taken for an addition."""
    with pytest.raises(EntryError, match=why):
        read_sentence(say)
