"""Every code of every kind of 8-bit format: read, written back, and said in words."""

from __future__ import annotations

import pytest

import chalkpoint as cp
from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.named import AnyPattern, value_or_none

FORMATS = (
    "5+3",
    "4+4",
    "5+3 excess-3",
    "5+3 excess-4",
    "5+3 sign-and-magnitude",
    "5+3 sign-and-magnitude excess-4",
    "1+3+4",
    "1+3+4 excess-4",
    "1+3+4 excess-4 point-first no-subnormals no-infinities",
    "1+3+4 excess-4 stored-one point-first",
    "1+3+4 stored-one",
    "1+4+3",
    "1+4+3 no-subnormals",
    "1+4+3 no-infinities",
    "E4M3",
    "E5M2",
    "8",
    "8 unsigned",
    "8 sign-and-magnitude",
    "8 ones-complement",
    "8 excess-127",
    "8 excess-128",
    "Q5.3",
    "Q1.7",
    "Q0.8 unsigned",
    "Q4.4 sign-and-magnitude",
)


@pytest.mark.parametrize("spelling", FORMATS)
def test_every_code_is_read_and_written_back(spelling: str) -> None:
    """A code reads as a value; the value is stored as a code that reads the same, with nothing lost."""
    course = cp.Course(format=spelling)
    fmt = course.number_format
    assert fmt.bits == 8
    assert str(fmt) == spelling
    values = set()
    for code in range(256):
        pattern: AnyPattern = fmt.read(to_bits(code, 8))
        value = value_or_none(fmt, pattern)
        read = cp.work("decode", f"0x{code:02X}", course=course)
        assert read.result.value == value
        assert read.check_words.spoken
        if value is not None:
            stored = cp.work("encode", value, course=course)
            if (
                stored.result.outcome != "underflow"
            ):  # a school pattern that is not normalised may be too small
                assert stored.result.value == value
                assert stored.check.verdict == "exact"
            values.add(value)
        assert fmt.read(fmt.write(pattern)) == pattern
    assert len(values) > 100


@pytest.mark.parametrize("spelling", FORMATS)
def test_every_line_has_its_words(spelling: str) -> None:
    """Storing, its cost, changing the sign and the range can be read and heard in every format."""
    course = cp.Course(format=spelling)
    workings = [
        cp.work("encode", "0.3", course=course),
        cp.work("error", "1/3", course=course),
        cp.work("negate", "0", course=course),
        cp.work("range", course=course),
    ]
    if "unsigned" not in spelling:
        workings.append(cp.work("encode", "-0.3", course=course))

    for working in workings:
        assert working.title
        assert all(step.says and step.spoken and "None" not in step.spoken for step in working.steps)
        assert working.check_words.detail
