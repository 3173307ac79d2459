"""Multiplying and dividing with a two's complement mantissa, against exact arithmetic brought in once."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

import chalkpoint as cp
from chalkpoint.numbers.formats import FloatFormat, Pattern
from chalkpoint.numbers.rounding import ROUNDINGS
from chalkpoint.working.multiplying import answer_end_of_range
from chalkpoint.working.page import Page
from chalkpoint.working.question import OPERATIONS, Question
from chalkpoint.working.working import Working

FORMATS = ("4+3", "4+3 excess-4", "C3x-16")


def patterns(fmt: FloatFormat) -> list[Pattern]:
    """Return patterns that show every mantissa case, un-normalised ones too where they can be written."""
    mantissas = [8, 9, 13, 15, -16, -15, -12, -9, 0] if fmt.implied else range(-8, 8)
    scale = 1 << (fmt.mantissa_bits - 5) if fmt.implied else 1
    low, high = fmt.lowest_exponent, fmt.highest_exponent
    return [
        Pattern(mantissa * scale, exponent) for mantissa in mantissas for exponent in (low, -1, 0, 1, high)
    ]


def worked(operation: str, course: cp.Course, first: Pattern, second: Pattern) -> Working:
    """Return the working on two patterns."""
    question = Question(
        OPERATIONS[operation], course, course.number_format, (first, second), given=(None, None)
    )
    return cp.work_question(question)


@pytest.mark.parametrize("rounding", ROUNDINGS)
@pytest.mark.parametrize("spelling", FORMATS)
@pytest.mark.parametrize("operation", ["multiply", "divide"])
def test_every_answer_is_the_exact_one_brought_in_once(operation: str, spelling: str, rounding: str) -> None:
    """The answer is the exact product or quotient by the course's rounding, or the same word."""
    course = cp.Course(format=spelling, rounding=rounding)
    for first, second in product(patterns(course.float_format), repeat=2):
        if operation == "divide" and second.mantissa == 0:
            continue
        working = worked(operation, course, first, second)
        rule = working.check.by_rule_pattern
        value = None if rule is None else course.number_format.value(rule)
        assert working.result.value == value
        if (
            working.check.error
            and working.check.verdict not in {"overflow", "underflow"}
            and working.result.value
        ):
            assert sum((loss.worth for loss in working.losses), Fraction(0)) == working.check.error


@given(st.integers(-128, 127), st.integers(-128, 127), st.sampled_from(["multiply", "divide"]))
def test_every_line_can_be_read_and_heard(first: int, second: int, operation: str) -> None:
    """Whatever the operands, each line has a sentence and words for the ear, and so has the check."""
    if operation == "divide" and second == 0:
        return
    working = worked(operation, cp.Course(), Pattern(first, 2), Pattern(second, -1))

    assert all(step.says and step.spoken and "None" not in step.says for step in working.steps)
    assert working.check_words.spoken


@pytest.mark.parametrize(
    ("operation", "operands", "answer"),
    [
        ("multiply", ("1.0110000 0011", "0.1011000 0001"), "10010010 0011"),  # -5 × 1.375 = -6.875
        ("multiply", ("-4", "-2"), "01000000 0100"),  # 8, repaired
        ("multiply", ("1.703125", "-0.8203125"), "10100110 0001"),  # cut toward minus infinity
        ("divide", ("2.5", "1.5"), "01101010 0001"),  # 1.65625
    ],
)
def test_the_examples_of_the_step_models(operation: str, operands: tuple[str, str], answer: str) -> None:
    """The worked examples end as written out by hand."""
    assert cp.work(operation, *operands, format="8+4").result.bits == answer


def test_the_product_of_minus_ones_is_repaired_and_no_other() -> None:
    """For normalised operands only -1 × -1 needs the one right shift."""
    course = cp.Course(format="4+3")
    fmt = course.float_format
    normal = [
        Pattern(mantissa, 0)
        for mantissa in range(-8, 8)
        if mantissa and fmt.is_normalised(Pattern(mantissa, 0))
    ]
    repaired = [
        (first.mantissa, second.mantissa)
        for first, second in product(normal, repeat=2)
        if "repair" in {step.rule for step in worked("multiply", course, first, second).steps}
    ]

    assert repaired == [(-8, -8)]


def test_dividing_by_zero_is_refused() -> None:
    """A school format has no answer to a division by zero."""
    with pytest.raises(cp.EntryError, match="5 ÷ 0 has no answer; divide by a number other than 0"):
        cp.work("divide", "5", "0")


def test_a_quotient_that_goes_on_says_so() -> None:
    """The last digit of an endless quotient is followed by an ellipsis, in its row and in its tray."""
    working = cp.work("divide", "1", "3")
    rows = {step.rule: step.rows for step in working.steps}

    assert rows["quotient"][-1].bits.endswith("\u2026")
    assert working.losses[0].bits.endswith("\u2026")


@pytest.mark.parametrize(
    ("operation", "first", "second", "says", "rows"),
    [
        # 2^-1 + ... + 2^-25 has 25 ones: size, size, and the product stay.
        ("multiply", "0.5", "33554431/33554432", "That makes 25 rows, too many to write here", 3),
        # 2^24 - 1 has 24: each is written, between the two sizes and the product.
        ("multiply", "0.5", "16777215/16777216", "", 27),
        # 2^-1 + ... + 2^-26 has 26 ones, so the divisor goes 26 times: a row each, another for what is left.
        ("divide", "67108863/67108864", "0.5", "", 54),
    ],
)
def test_rows_left_out_are_spoken_of(operation: str, first: str, second: str, says: str, rows: int) -> None:
    """More rows than a page can hold are never left out without a word."""
    working = cp.work(operation, first, second, format="27+4")
    (step,) = [step for step in working.steps if step.rule in {"product", "quotient"}]

    assert says in step.detail
    assert ("too" in step.detail) is bool(says)
    assert len(step.rows) == rows


def test_the_end_of_the_range_has_the_sign_of_the_dividend() -> None:
    """Divided by zero, where a machine answers so: 127 or -128 in units of the last place, the exponent the highest."""
    fmt = cp.Course(format="8+4").float_format
    assert answer_end_of_range(Page(1, 0, 0, 0), fmt) == Page(1, 0, 0, 0, total=127, exponent=7)
    assert answer_end_of_range(Page(-1, 0, 0, 0), fmt) == Page(-1, 0, 0, 0, total=-128, exponent=7)
