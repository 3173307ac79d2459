"""The rules of add and subtract, and the edges where hand methods go wrong."""

from fractions import Fraction
from itertools import product

import pytest

import chalkpoint as cp
from chalkpoint.numbers.formats import parse_format
from chalkpoint.numbers.lanes import Lanes
from chalkpoint.working.floating import compare
from chalkpoint.working.methods import METHODS, UNDERFLOWS, Method, method_for
from chalkpoint.working.page import Page


def every_pair(spelling: str) -> list[tuple[int, int, int, int]]:
    """Return mantissas and exponents of every pair of patterns."""
    fmt = parse_format(spelling)
    mantissas = range(-(1 << fmt.places), 1 << fmt.places)
    exponents = range(fmt.lowest_exponent, fmt.highest_exponent + 1)
    return list(product(mantissas, exponents, mantissas, exponents))


@pytest.mark.parametrize("operation", ["add", "subtract"])
@pytest.mark.parametrize("name", list(METHODS))
def test_lanes_write_what_single_integers_write(name: str, operation: str) -> None:
    """Every pair of 5+3 patterns, un-normalised ones and zeros included, ends in the same last page.

    All of 6+4 is walked in test_against_second_road.py: integers one by one are slow.
    """
    assert_alike(method_for(operation, name), "5+3")


@pytest.mark.parametrize("underflow", list(UNDERFLOWS))
def test_courses_treat_an_underflow_alike_in_lanes(underflow: str) -> None:
    """The three readings of underflow, on every pair of 4+3 patterns."""
    assert_alike(method_for("subtract", underflow=underflow), "4+3")


def assert_alike(method: Method, spelling: str) -> None:
    """Hold the last page of every pair in lanes against the pages one by one."""
    fmt, pairs = parse_format(spelling), every_pair(spelling)
    lanes = Lanes(len(pairs))
    together = method.finish(Page(*(lanes.pack(column) for column in zip(*pairs, strict=True))), fmt)
    alone = [method.finish(Page(*pair), fmt) for pair in pairs]

    for field in ("total", "exponent", "outcome"):
        assert lanes.unpack(getattr(together, field)) == [getattr(page, field) for page in alone]


def said(working: cp.Working, rule: str) -> str:
    """Return what the step called *rule* says."""
    return next(step.says for step in working.steps if step.rule == rule)


def test_a_dropped_carry_and_an_overflow_are_told_apart() -> None:
    """A carry out of the sign place is dropped; a sum that does not fit is repaired."""
    dropped = cp.work("add", "7", "-5", format="8+4")
    repaired = cp.work("add", "3.25", "2.75", format="8+4")

    assert "The carry out of the sign place is dropped" in said(dropped, "add")
    assert [step.rule for step in repaired.steps] == ["read", "align", "add", "repair"]
    assert "mantissa overflow" in said(repaired, "add")
    assert repaired.result.bits == "01100000 0011"


def test_minus_one_is_negated_with_one_extra_sign_place() -> None:
    """3 - (-4) at equal exponents: the opposite of -1.0 takes one more place, and the line says so."""
    working = cp.work("subtract", "01100000 0010", "10000000 0010")

    assert working.result.value == 7
    assert "\u22121 has no opposite in 8 bits" in said(working, "negate")
    assert working.steps[2].rows[-1].lead == "0"


@pytest.mark.parametrize("name", list(METHODS))
@pytest.mark.parametrize("zero", ["00000000 1000", "00000000 0111"])
def test_a_zero_never_costs_the_other_operand_a_bit(zero: str, name: str) -> None:
    """Whatever the exponent of a zero, the answer is the other operand, negated if it was taken away."""
    other, negative = "01010011 1001", "10101101 1001"

    assert cp.work("add", zero, other, method=name).result.bits == other
    assert cp.work("add", other, zero, method=name).result.bits == other
    assert cp.work("subtract", other, zero, method=name).result.bits == other
    assert cp.work("subtract", zero, other, method=name).result.bits == negative
    assert "its exponent means nothing" in said(cp.work("add", zero, other, method=name), "align")


def test_operands_are_normalised_first_unless_the_course_says_as_written() -> None:
    """An un-normalised operand is normalised on a line of its own; a course may align it as it stands."""
    normal = cp.work("add", "00011000 0011", "01000000 0000")
    as_written = cp.work("add", "00011000 0011", "01000000 0000", course=cp.Course(operands="as written"))

    assert normal.steps[1].rule == "ready"
    assert "ready" not in [step.rule for step in as_written.steps]
    assert normal.result.value == as_written.result.value == 2


def test_a_shift_of_all_places_leaves_copies_of_the_sign_and_says_so() -> None:
    """64 + (-0.078125): copied sign bits leave minus one unit in the last place."""
    working = cp.work("add", "64", "-0.078125")

    assert working.result.value == 63
    assert "worth minus one unit in the last place" in said(working, "align")


def test_the_order_of_negating_and_aligning_shows_where_bits_are_lost() -> None:
    """6.5 - 0.7109375: three defensible answers one place apart."""
    answers = {
        name: cp.work("subtract", "01101000 0011", "01011011 0000", method=name).result.value
        for name in METHODS
    }

    assert answers == {
        "align-then-negate": Fraction("5.8125"),
        "negate-then-align": Fraction("5.75"),
        "one-guard-bit": Fraction("5.8125"),
        "exact-then-truncate": Fraction("5.75"),
        "exact-then-nearest": Fraction("5.8125"),
        "size-and-sign": Fraction("5.8125"),
        "spare-place-first": Fraction("5.875"),
    }


@pytest.mark.parametrize(
    ("operands", "outcome", "title"),
    [
        (("01100000 0111", "01010000 0111"), "overflow", "Overflow"),
        (("01000001 1000", "10111111 1000"), "zero", "Zero"),
        (("01000010 1000", "10111111 1000"), "underflow", "Underflow"),
    ],
)
def test_past_the_range_the_answer_is_a_word(operands: tuple[str, str], outcome: str, title: str) -> None:
    """Overflow and underflow are outcomes with their own words, never wrapped bits."""
    working = cp.work("add", *operands)

    assert (working.result.outcome, working.steps[-1].title) == (outcome, title)
    assert (working.result.bits is None) == (outcome != "zero")


def test_a_course_may_keep_an_underflow_or_write_zero() -> None:
    """The same underflow as a word, as zero, and left un-normalised."""
    operands = ("01000010 1000", "10111111 1000")
    results = {
        underflow: cp.work("add", *operands, course=cp.Course(underflow=underflow)).result.bits
        for underflow in UNDERFLOWS
    }

    assert results == {"word": None, "zero": "00000000 1000", "un-normalised": "00000001 1000"}


def test_only_a_zero_leaves_the_other_operand_alone() -> None:
    """A negative mantissa is none: -40 and 40 are both there; 0 takes the other's exponent."""
    fmt = parse_format("8+4")
    assert compare(Page(-40, 1, 40, 2), fmt) == Page(-40, 1, 40, 2)
    assert compare(Page(40, 1, 0, -8), fmt) == Page(40, 1, 0, 1, alone=True)
