"""Arithmetic in binary16, binary32 and binary64 against numpy and MPFR, and what its steps say."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import gmpy2
import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

import chalkpoint as cp
from chalkpoint.numbers.named import format_called
from chalkpoint.numbers.signed import Fields, SignMagnitudeFormat
from chalkpoint.working.question import OPERATIONS, Question
from chalkpoint.working.working import Working
from codes_in_lanes import cut_code, join_code

WIDTHS = {
    "binary16": (np.uint16, np.float16),
    "binary32": (np.uint32, np.float32),
    "binary64": (np.uint64, np.float64),
}
#: MPFR keeps its significand in [1/2, 1), so its exponents are one more than the format's.
MPFR = {
    "binary16": {"precision": 11, "emin": -23, "emax": 16},
    "binary32": {"precision": 24, "emin": -148, "emax": 128},
    "binary64": {"precision": 53, "emin": -1073, "emax": 1024},
    "binary128": {"precision": 113, "emin": -16493, "emax": 16384},
    "bfloat16": {"precision": 8, "emin": -132, "emax": 128},
}
MODES = {
    "nearest": gmpy2.RoundToNearest,
    "toward zero": gmpy2.RoundToZero,
    "up": gmpy2.RoundUp,
    "down": gmpy2.RoundDown,
}
APPLIED = {
    "add": lambda first, second: first + second,
    "subtract": lambda first, second: first - second,
    "multiply": lambda first, second: first * second,
    "divide": lambda first, second: first / second,
}


def code_of(pattern: Fields, fmt: SignMagnitudeFormat) -> int:
    """Return a pattern as one number."""
    return int(join_code(pattern.sign, pattern.exponent, pattern.fraction, fmt))


def awkward(spelling: str) -> list[int]:
    """Return the codes of a format where rules change."""
    fmt: Any = format_called(spelling)
    full = (1 << fmt.fraction_bits) - 1
    one = Fields(0, 0, 0)
    kinds = [
        fmt.zero,
        fmt.smallest,
        Fields(0, fmt.lowest_stored, full),
        fmt.smallest_normal,
        one,
        one._replace(fraction=1),
        one._replace(exponent=-1, fraction=full),
        fmt.largest,
        fmt.infinity,
        fmt.nan,
    ]
    codes = [code_of(pattern, fmt) for pattern in kinds]
    return codes + [code | 1 << (fmt.bits - 1) for code in codes]


def codes_of(spelling: str) -> st.SearchStrategy[int]:
    """Return a strategy for codes: any at all, and often one where rules change."""
    bits = format_called(spelling).bits
    return st.integers(0, (1 << bits) - 1) | st.sampled_from(awkward(spelling))


def near(spelling: str) -> st.SearchStrategy[tuple[int, int]]:
    """Return a strategy for pairs, often with exponents close enough to meet or to cancel."""
    fmt: Any = format_called(spelling)

    def close(code: int, steps: int, fraction: int) -> tuple[int, int]:
        other = code + (steps << fmt.fraction_bits) ^ fraction
        return code, other % (1 << fmt.bits)

    meeting = st.builds(
        close, codes_of(spelling), st.integers(-4, 4), st.integers(0, (1 << fmt.fraction_bits) - 1)
    )
    return st.tuples(codes_of(spelling), codes_of(spelling)) | meeting


def worked(operation: str, spelling: str, first: int, second: int, rounding: str = "nearest") -> Working:
    """Return the working on two codes."""
    course = cp.Course(format=spelling, rounding=rounding)
    fmt = course.size_format
    patterns = tuple(Fields(*cut_code(code, fmt)) for code in (first, second))
    return cp.work_question(Question(OPERATIONS[operation], course, fmt, patterns, given=(None, None)))


def by_numpy(operation: str, spelling: str, first: int, second: int) -> tuple[int, bool]:
    """Return numpy's code for the answer, and whether it is not a number."""
    whole, kind = WIDTHS[spelling]
    operands = [np.array([code], dtype=whole).view(kind) for code in (first, second)]
    with np.errstate(all="ignore"):
        answer = APPLIED[operation](*operands)
    return int(answer.view(whole)[0]), bool(np.isnan(answer[0]))


def agrees_with_numpy(operation: str, spelling: str, first: int, second: int) -> None:
    """Hold one working against numpy's answer, bit for bit."""
    working = worked(operation, spelling, first, second)
    code, is_nan = by_numpy(operation, spelling, first, second)
    if is_nan:
        assert working.result.outcome == "not a number"
    else:
        assert code_of(working.pattern, working.question.size_format) == code


@pytest.mark.parametrize("spelling", WIDTHS)
@pytest.mark.parametrize("operation", APPLIED)
def test_awkward_pairs_agree_with_numpy(operation: str, spelling: str) -> None:
    """Zeros, subnormals, the ends, infinities and NaN, each with each."""
    for first in awkward(spelling):
        for second in awkward(spelling):
            agrees_with_numpy(operation, spelling, first, second)


@given(st.sampled_from(sorted(APPLIED)), near("binary16"))
def test_binary16_agrees_with_numpy(operation: str, codes: tuple[int, int]) -> None:
    """Every answer in binary16 is numpy's, bit for bit."""
    agrees_with_numpy(operation, "binary16", *codes)


@given(st.sampled_from(sorted(APPLIED)), near("binary32"))
@example("add", (0x4B800000, 0x3F800000))  # 2^24 + 1: a tie that goes to the even one
@example("subtract", (0x00800000, 0x00000001))  # the smallest normal less the smallest subnormal
@example("multiply", (0x00800000, 0x3F000000))  # a product that becomes subnormal
def test_binary32_agrees_with_numpy(operation: str, codes: tuple[int, int]) -> None:
    """Every answer in binary32 is numpy's, bit for bit."""
    agrees_with_numpy(operation, "binary32", *codes)


@given(st.sampled_from(sorted(APPLIED)), near("binary64"))
@example("add", (0x4340000000000000, 0x3FF0000000000000))  # 2^53 + 1: a tie
@example("multiply", (0x001FFFFFFFFFFFFF, 0x3FE0000000000000))  # halving rounds up to the smallest normal
def test_binary64_agrees_with_numpy(operation: str, codes: tuple[int, int]) -> None:
    """Every answer in binary64 is numpy's, bit for bit."""
    agrees_with_numpy(operation, "binary64", *codes)


def by_mpfr(x: Fraction, spelling: str, rounding: str) -> Fraction | str:
    """Return *x* as MPFR rounds it once to the format, or "infinity"."""
    with gmpy2.context(**MPFR[spelling], subnormalize=True, round=MODES[rounding]):
        rounded = gmpy2.mpfr(gmpy2.mpq(x.numerator, x.denominator))
        if gmpy2.is_infinite(rounded):
            return "infinity"
        return Fraction(*(int(part) for part in rounded.as_integer_ratio()))


@settings(max_examples=300)
@given(
    st.sampled_from(sorted(APPLIED)),
    st.sampled_from(sorted(MPFR)),
    st.sampled_from(sorted(MODES)),
    st.data(),
)
def test_every_direction_agrees_with_mpfr(
    operation: str, spelling: str, rounding: str, data: st.DataObject
) -> None:
    """In each direction the answer is the exact one as MPFR rounds it, subnormals and the ends counted."""
    first, second = data.draw(near(spelling))
    working = worked(operation, spelling, first, second, rounding)
    values = [
        None
        if working.question.size_format.kind(pattern) in {"infinity", "not a number"}
        else working.question.format.value(pattern)
        for pattern in working.question.patterns
    ]
    if None in values or (operation == "divide" and not values[1]):
        return
    wanted = by_mpfr(APPLIED[operation](*values), spelling, rounding)
    found = "infinity" if working.result.outcome == "infinity" else working.result.value

    assert found == wanted


@given(near("binary32"), st.sampled_from(["add", "multiply"]))
def test_ties_away_are_the_nearest_and_the_larger(codes: tuple[int, int], operation: str) -> None:
    """Rounded to the nearest, ties away, the answer is a nearest pattern, and at a tie the larger of the two."""
    working = worked(operation, "binary32", *codes, "nearest away")
    checked = working.check
    if checked.special or working.result.value is None:
        return
    nearest = [checked.format.value(pattern) for pattern in checked.nearest_patterns]

    assert working.result.value in nearest
    assert abs(working.result.value) == max(map(abs, nearest))


@given(near("binary32"), st.sampled_from(["add", "subtract", "multiply", "divide"]))
def test_the_steps_account_for_the_error(codes: tuple[int, int], operation: str) -> None:
    """What rounding lost adds up to the exact answer less the result, and every step can be read and heard."""
    working = worked(operation, "binary32", *codes)
    if working.check.error is not None:
        assert sum((loss.worth for loss in working.losses), Fraction(0)) == working.check.error
    assert all(step.says and step.spoken for step in working.steps)
    assert working.check_words.spoken


def test_the_pedagogy_example_of_addition() -> None:
    """6.5 + 1.375 in 1+4+3 is 8, where cutting gives 7.5."""
    assert cp.work("add", "6.5", "1.375", format="1+4+3").result.bits == "0 1010 000"
    cut = cp.Course(format="1+4+3", rounding="toward zero")
    assert cp.work("add", "0 1001 101", "0 0111 011", course=cut).result.bits == "0 1001 111"


def test_the_pedagogy_example_of_multiplication() -> None:
    """3.25 × 0.4375 in 1+4+3 is 1.375, by the stored exponents 8 + 5 - 7 = 6."""
    working = cp.work("multiply", "3.25", "0.4375", format="1+4+3")

    assert working.result.bits == "0 0111 011"
    assert "8 + 5 \u2212 7 = 6" in next(step.detail for step in working.steps if step.rule == "exponents")


def test_a_guard_round_and_sticky_place_are_named() -> None:
    """Sizes being added show which of their digits the format has no room for, and which it hides."""
    align = next(
        step for step in cp.work("add", "8", "0.40625", format="1+4+3").steps if step.rule == "align"
    )

    assert [row.beyond for row in align.rows] == ["GRS", "", "GRS"]
    assert [row.unwritten for row in align.rows] == ["1000000", "1000", "1000000"]
    assert "so the sticky place is 1" in align.detail
    assert "guard" in align.spoken


def test_numbers_of_different_signs_have_no_special_step() -> None:
    """2.3 and −1.7 are plain numbers: nothing is said of infinities."""
    for operation in ("multiply", "divide"):
        rules = [step.rule for step in cp.work(operation, "2.3", "-1.7", format="binary16").steps]

        assert "special" not in rules
        assert "sign" in rules


def test_special_values_stop_the_working() -> None:
    """Infinity less infinity is decided by the operands: no line aligns or rounds."""
    working = cp.work("subtract", "infinity", "infinity", format="binary16")

    assert [step.rule for step in working.steps] == ["unpack", "flip", "special", "pack"]
    assert working.result.outcome == "not a number"
    assert working.check.special == "not a number"


@pytest.mark.parametrize(
    ("rounding", "answer"),
    [("nearest", "0 1111 000"), ("toward zero", "0 1110 111"), ("up", "0 1111 000"), ("down", "0 1110 111")],
)
def test_an_overflow_is_written_as_its_direction_says(rounding: str, answer: str) -> None:
    """Past the largest number the answer is infinity, or the largest where the direction leads back."""
    working = cp.work("add", "240", "240", course=cp.Course(format="1+4+3", rounding=rounding))

    assert working.result.bits == answer
    assert working.check.verdict == "overflow"


def test_a_format_without_special_values_says_overflow_and_underflow() -> None:
    """Without infinities or subnormals the answer past either end is the word."""
    plain = "1+3+4 no-subnormals no-infinities"

    assert cp.work("multiply", "31", "31", format=plain).result.outcome == "overflow"
    assert cp.work("multiply", "0.14", "0.14", format=plain).result.outcome == "underflow"
    assert cp.work("add", "0.14", "-0.14", format=plain).result.outcome == "zero"


def test_dividing_by_zero_needs_special_values() -> None:
    """A format with neither infinity nor NaN refuses; others have an answer."""
    with pytest.raises(cp.EntryError, match="has no answer in 8\\+4 sign-and-magnitude"):
        cp.work("divide", "1", "0", format="8+4 sign-and-magnitude")
    assert (
        cp.work("divide", "-1", "0", format="binary32").question.show(
            cp.work("divide", "-1", "0", format="binary32").pattern
        )
        == "\u2212infinity"
    )


def test_sign_and_magnitude_formats_agree_with_exact_arithmetic() -> None:
    """Every pair of a small format with written ones, cut toward zero, is the exact sum so cut."""
    course = cp.Course(format="4+3 sign-and-magnitude")
    fmt: Any = course.number_format
    patterns = [
        Fields(sign, exponent, fraction)
        for sign in (0, 1)
        for exponent in (-4, -1, 0, 3)
        for fraction in range(8)
    ]
    for first in patterns:
        for second in patterns:
            question = Question(OPERATIONS["add"], course, fmt, (first, second), given=(None, None))
            working = cp.work_question(question)
            exact = fmt.value(first) + fmt.value(second)
            if working.pattern is not None and exact:
                unit = fmt.unit(working.pattern)
                assert unit is not None
                assert abs(working.result.value or 0) == math.floor(abs(exact) / unit) * unit
