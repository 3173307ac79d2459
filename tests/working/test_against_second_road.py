"""Adding and subtracting held against the second road: all of 5+3 and 6+4, and awkward wide values.

The second road (second_road.py) is written from the definitions and shares no code with the
engine. Every pair of 5+3 patterns that are normalised or zero is compared as a whole Working, and each
pattern that is not beside a fifth of all; every pair of 6+4 patterns by its result, in lanes; wider
formats by Hypothesis.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from itertools import product
from typing import Any

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

import chalkpoint as cp
import second_road as road
from arrays import array
from chalkpoint.numbers.formats import Pattern, parse_format
from chalkpoint.numbers.lanes import Lanes
from chalkpoint.working.methods import method_for
from chalkpoint.working.page import OUTCOMES, Page
from chalkpoint.working.question import OPERATIONS, Question
from chalkpoint.working.work import work_by
from second_road import Answer, Number

CALCULATIONS = pytest.mark.parametrize(("operation", "method"), list(product(road.OPERATIONS, road.METHODS)))

Figures = np.ndarray[Any, np.dtype[np.int64]]


# === Whole Workings, every pair of 4+3 ======================================================


@cache
def as_told(result: Answer, x: Fraction, m: int, e: int) -> dict[str, object]:
    """Return what a Working should say: its result, and its check against the exact answer x."""
    found = road.check(x, result, m, e)
    number = road.stored(result, e)
    return {
        "outcome": result.outcome,
        "bits": road.stored_bits(result, m, e),
        "value": None if number is None else road.value_of(number, m),
        "verdict": found.verdict,
        "exact": x,
        "nearest": sorted(road.bits_of(near, m, e) for near in found.nearest),
        "by_rule": road.stored_bits(found.by_rule, m, e),
        "error": found.error,
        "unavoidable_error": found.unavoidable_error,
        "relative_error": found.relative_error,
        "error_ulps": found.error_ulps,
    }


def as_worked(working: cp.Working) -> dict[str, object]:
    """Return what a Working does say, under the same names."""
    result, check = working.result, working.check
    return {
        "outcome": result.outcome,
        "bits": result.bits,
        "value": result.value,
        "verdict": check.verdict,
        "exact": check.exact,
        "nearest": sorted(check.nearest),
        "by_rule": check.by_rule,
        "error": check.error,
        "unavoidable_error": check.unavoidable_error,
        "relative_error": check.relative_error,
        "error_ulps": check.error_ulps,
    }


def normal_form(number: Number, m: int) -> Number:
    """Return a number's normal form, exponents without limit; zero with the exponent 0."""
    return road.brought_to(road.value_of(number, m), m, "cut") if number[0] else (0, 0)


def lines_told(operation: str, method: str, pair: tuple[Number, Number], m: int) -> list[str]:
    """Return the lines a method writes for two normal forms, up to the judging of the range.

    A sum is repaired when it lies outside what a mantissa holds at the common exponent, and
    normalised when a smaller exponent would hold it; a size repaired toward zero may need both,
    since it can come down to -1/2. A zero operand moves nothing, so it leaves no spare place.
    """
    spare = method == "spare-place-first" and all(mantissa for mantissa, _ in pair)
    aligning = ["align", "spare"] if spare else ["align"]
    negating = ["negate"] if operation == "subtract" else []
    lines = ["read", *(negating + aligning if method == "negate-then-align" else aligning + negating), "add"]
    common = max((exponent for mantissa, exponent in pair if mantissa), default=0) + spare
    total = road.total_of(operation, method, pair, m)
    if total != 0:
        needed = road.normal_exponent(total)
        lines += ["repair"] if needed > common else []
        if method == "size-and-sign":
            needed = min(needed, road.brought_to(total, m, "cut size")[1])
        lines += ["normalise"] if needed < max(common, road.normal_exponent(total)) else []
    return lines + ["cut"] * (method in ("one-guard-bit", "exact-then-truncate", "exact-then-nearest"))


APART = 5  # of the partners of a pattern that is not normalised: coprime to the 8 exponents and 32 mantissas


def pairs_of(ready: list[bool]) -> Iterator[tuple[int, int]]:
    """Yield places of patterns: every pair that is ready, and beside one that is not every fifth pattern."""
    for one, other in product(range(len(ready)), repeat=2):
        if (ready[one] and ready[other]) or (one + other) % APART == 0:
            yield one, other


@CALCULATIONS
def test_every_pair_of_5_3_as_a_whole_working(operation: str, method: str) -> None:
    """Result, check and lines of working agree: 27,904 pairs of patterns."""
    numbers = road.patterns(5, 3)
    forms = [normal_form(number, 5) for number in numbers]
    ready = [number == form or not number[0] for number, form in zip(numbers, forms, strict=True)]

    @cache
    def told(first: Number, second: Number) -> tuple[dict[str, object], list[str]]:
        exact = road.exact_answer(operation, road.value_of(first, 5), road.value_of(second, 5))
        result = road.answer(operation, method, (first, second), 5, 3)
        lines = lines_told(operation, method, (first, second), 5) + ["range"] * (result.outcome != "in range")
        return as_told(result, exact, 5, 3), lines

    rules, course = method_for(operation, method), cp.Course(format="5+3", method=method)
    patterns = [Pattern(*number) for number in numbers]
    question = Question(OPERATIONS[operation], course, course.number_format, (), given=(None, None))
    for one, other in pairs_of(ready):
        object.__setattr__(question, "patterns", (patterns[one], patterns[other]))
        working = work_by(question, rules)
        expected, lines = told(forms[one], forms[other])

        assert as_worked(working) == expected, (numbers[one], numbers[other])
        if not (ready[one] and ready[other]):
            lines = ["read", "ready", *lines[1:]]
        # Beside a zero operand the line of the spare place may still stand, and say that nothing moves.
        written = [step.rule for step in working.steps if step.rule != "spare" or "spare" in lines]
        assert written == lines, (numbers[one], numbers[other])


# === Results, every pair of 6+4, in lanes ===================================================


@cache
def all_pairs() -> tuple[Figures, ...]:
    """Return the mantissas and exponents of every pair of 6+4 patterns, as four long arrays."""
    mantissas, exponents = np.arange(-32, 32), np.arange(-8, 8)
    grid = np.meshgrid(mantissas, exponents, mantissas, exponents, indexing="ij")
    first, first_exponent, second, second_exponent = (axis.ravel() for axis in grid)
    return first, first_exponent, second, second_exponent


NORMALISED = [*range(-32, -16), 0, *range(16, 32)]
FARTHEST = 20  # from 7 down to -13, the exponent of 1.11111 at the lowest one


@cache
def normal_forms() -> tuple[Figures, Figures]:
    """Return by mantissa, from -32 up, its normal form's place in NORMALISED and its exponent change."""
    forms = [
        road.brought_to(Fraction(mantissa, 32), 6, "cut") if mantissa else (0, 0)
        for mantissa in range(-32, 32)
    ]
    return np.array([NORMALISED.index(form) for form, _ in forms]), np.array([change for _, change in forms])


def table(operation: str, method: str) -> tuple[Figures, Figures]:
    """Return the second road's mantissa and exponent by both mantissas and their difference in exponent.

    The exponent is counted from the first operand's: moving both exponents moves the answer's
    (a test of the second road). Zero stands as the mantissa 0.
    """
    answers = [
        (0, 0) if total == 0 else road.brought_to(total, 6, road.FINAL_ROUNDING.get(method, "cut"))
        for a, b, apart in product(NORMALISED, NORMALISED, range(-FARTHEST, FARTHEST + 1))
        for total in [road.total_of(operation, method, ((a, 0), (b, -apart)), 6)]
    ]
    shape = (len(NORMALISED), len(NORMALISED), 2 * FARTHEST + 1)
    mantissas, exponents = zip(*answers, strict=True)
    return np.array(mantissas).reshape(shape), np.array(exponents).reshape(shape)


def expected_of_all_pairs(operation: str, method: str) -> tuple[Figures, Figures, Figures]:
    """Return the second road's outcome, mantissa and exponent for every pair of 6+4 patterns."""
    first, first_exponent, second, second_exponent = all_pairs()
    places, changes = normal_forms()
    first_exponent = first_exponent + changes[first + 32]
    second_exponent = second_exponent + changes[second + 32]
    mantissas, exponents = table(operation, method)
    where = places[first + 32], places[second + 32], first_exponent - second_exponent + FARTHEST
    mantissa, exponent = mantissas[where], exponents[where] + first_exponent
    outcome = np.where(exponent > 7, OUTCOMES.index("overflow"), OUTCOMES.index("in range"))
    outcome = np.where(exponent < -8, OUTCOMES.index("underflow"), outcome)
    return np.where(mantissa == 0, OUTCOMES.index("zero"), outcome), mantissa, exponent


@CALCULATIONS
def test_every_pair_of_6_4_in_lanes(operation: str, method: str) -> None:
    """Outcome, mantissa and exponent agree for all 1,048,576 pairs of patterns."""
    pairs = all_pairs()
    lanes = Lanes(len(pairs[0]))
    page = method_for(operation, method).finish(
        Page(*(lanes.pack(column.tolist()) for column in pairs)), parse_format("6+4")
    )
    outcome, mantissa, exponent = expected_of_all_pairs(operation, method)
    in_range = outcome == OUTCOMES.index("in range")

    assert outcome.tolist() == lanes.unpack(page.outcome)
    assert np.array_equal(mantissa[in_range], np.array(lanes.unpack(page.total))[in_range])
    assert np.array_equal(exponent[in_range], np.array(lanes.unpack(page.exponent))[in_range])


# === The carriers ===========================================================================

ALONE = 29  # every so many pairs are worked by themselves too: odd, so that all digits of all patterns occur


@pytest.mark.parametrize("operation", road.OPERATIONS)
def test_carriers_agree_on_all_of_6_4(operation: str) -> None:
    """By the default method, arrays and lanes end every single pair of 6+4 on the same page, as plain integers do."""
    fmt, rules, pairs = parse_format("6+4"), method_for(operation), all_pairs()
    lanes = Lanes(len(pairs[0]))
    in_arrays = rules.finish(Page(*map(array, pairs)), fmt)
    in_lanes = rules.finish(Page(*(lanes.pack(column.tolist()) for column in pairs)), fmt)
    some = zip(*(column[::ALONE].tolist() for column in pairs), strict=True)
    alone = [rules.finish(Page(*pair), fmt) for pair in some]

    for line in ("outcome", "total", "exponent"):
        numbers = getattr(in_arrays, line).tolist()
        assert numbers == lanes.unpack(getattr(in_lanes, line))
        assert numbers[::ALONE] == [getattr(page, line) for page in alone]


# === Wider formats ==========================================================================

FORMATS = {"8+4": (8, 4), "10+6": (10, 6), "16+8": (16, 8), "24+8": (24, 8), "64+16": (64, 16)}

Calculation = tuple[str, str, str, str, str]
"""Format, operation, method and the two patterns."""


def mantissas(m: int) -> st.SearchStrategy[int]:
    """Return a strategy for mantissas, awkward ones often: the ends of each range, 0 and -1."""
    half, whole = 2 ** (m - 2), 2 ** (m - 1)
    awkward = [0, 1, -1, half, half + 1, half - 1, whole - 1, -half, -half - 1, -whole, -whole + 1]
    return st.one_of(st.sampled_from(awkward), st.integers(-whole, whole - 1))


@st.composite
def calculations(draw: st.DrawFn) -> Calculation:
    """Draw a calculation whose exponents are mostly near each other or at an end."""
    form = draw(st.sampled_from(sorted(FORMATS)))
    m, e = FORMATS[form]
    low, high = road.lowest_exponent(e), road.highest_exponent(e)
    exponent = draw(st.one_of(st.integers(low, high), st.sampled_from([low, low + 1, high - 1, high])))
    apart = draw(st.one_of(st.integers(-m - 3, m + 3), st.integers(low, high)))
    other = min(max(exponent + apart, low), high)
    first, second = ((draw(mantissas(m)), power) for power in (exponent, other))
    texts = [road.bits_of(number, m, e) for number in (first, second)]
    return (
        form,
        draw(st.sampled_from(road.OPERATIONS)),
        draw(st.sampled_from(road.METHODS)),
        texts[0],
        texts[1],
    )


@settings(max_examples=500)
@given(calculations())
@example(("8+4", "subtract", "align-then-negate", "01100000 0010", "10000000 0010"))
@example(("8+4", "subtract", "align-then-negate", "01000001 0001", "01111111 0000"))
@example(("8+4", "add", "size-and-sign", "10111111 0000", "10111110 0000"))
@example(("8+4", "add", "spare-place-first", "01010101 0000", "00000000 0111"))
@example(("8+4", "subtract", "align-then-negate", "00000000 1000", "10000000 0111"))
@example(("8+4", "subtract", "align-then-negate", "00000000 1000", "01000000 1000"))
@example(("8+4", "add", "align-then-negate", "00000001 1000", "00000001 1000"))
@example(("8+4", "add", "exact-then-nearest", "01111111 0111", "01000000 1111"))
@example(("8+4", "add", "exact-then-nearest", "10111111 0000", "01111111 1000"))
@example(("10+6", "add", "spare-place-first", "0100000001 000000", "1011111111 000000"))
@example(
    (
        "24+8",
        "add",
        "align-then-negate",
        "010000000000000000000000 00000001",
        "100000000000000000000000 11100010",
    )
)
def test_wider_formats_as_whole_workings(calculation: Calculation) -> None:
    """Result and check agree in wider formats, whatever the operands."""
    form, operation, method, *texts = calculation
    m, e = FORMATS[form]
    first, second = (
        (road.place_value_of(mantissa), road.place_value_of(exponent))
        for mantissa, exponent in (text.split() for text in texts)
    )
    exact = road.exact_answer(operation, road.value_of(first, m), road.value_of(second, m))
    result = road.answer(operation, method, (first, second), m, e)

    working = cp.work(operation, *texts, format=form, method=method)
    assert as_worked(working) == as_told(result, exact, m, e)
