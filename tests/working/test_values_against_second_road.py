"""Decoding, encoding, normalising, negating and the range held against the second road."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

import chalkpoint as cp
import second_road as road
from second_road import Answer

FORMS = [(5, 3), (4, 2), (6, 4)]
"""Formats small enough to go through pattern by pattern."""


def told(result: Answer, m: int, e: int) -> tuple[str, str | None]:
    """Return an answer's outcome and bits."""
    return result.outcome, road.stored_bits(result, m, e)


def worked(working: cp.Working) -> tuple[str, str | None]:
    """Return a Working's outcome and bits."""
    return working.result.outcome, working.result.bits


@pytest.mark.parametrize(("m", "e"), FORMS)
def test_every_pattern_decodes_to_its_value(m: int, e: int) -> None:
    """Every pattern, normalised or not, has the value its places add up to."""
    for number in road.patterns(m, e):
        text = road.bits_of(number, m, e)

        assert cp.work("decode", text, format=f"{m}+{e}").result.value == road.value_of(number, m), text


@pytest.mark.parametrize(("m", "e"), FORMS)
def test_every_pattern_takes_its_normal_form(m: int, e: int) -> None:
    """Normalising gives the one normalised pattern of the same value, or says underflow."""
    for number in road.patterns(m, e):
        text = road.bits_of(number, m, e)
        expected = road.by_rule(road.value_of(number, m), m, e, "cut")

        assert worked(cp.work("normalise", text, format=f"{m}+{e}")) == told(expected, m, e), text


@pytest.mark.parametrize(("m", "e"), FORMS)
def test_every_pattern_negates(m: int, e: int) -> None:
    """Negating gives the normalised pattern of minus the value, or the word for an end of the range."""
    for number in road.patterns(m, e):
        text = road.bits_of(number, m, e)
        expected = road.by_rule(-road.value_of(number, m), m, e, "cut")

        assert worked(cp.work("negate", text, format=f"{m}+{e}")) == told(expected, m, e), text


@pytest.mark.parametrize(("m", "e"), [*FORMS, (8, 4), (10, 6), (24, 8), (2, 2), (64, 16)])
def test_the_four_ends_of_the_range(m: int, e: int) -> None:
    """The largest and smallest of each sign, as patterns and values."""
    expected = {
        name: (road.bits_of(number, m, e), road.value_of(number, m))
        for name, number in road.extremes(m, e).items()
    }

    assert cp.work("range", format=f"{m}+{e}").result.values == expected


SIZES = {"8+4": (8, 4), "10+6": (10, 6), "16+8": (16, 8), "24+8": (24, 8), "64+16": (64, 16), "3+2": (3, 2)}
VALUES = st.one_of(
    st.fractions(-200, 200, max_denominator=10**6),
    st.decimals(-200, 200, places=3).map(Fraction),
    st.builds(
        lambda top, power: top * Fraction(2) ** power, st.integers(-(2**26), 2**26), st.integers(-60, 10)
    ),
)


@given(st.sampled_from(sorted(SIZES)), st.sampled_from(sorted(road.ROUNDINGS)), VALUES)
@example("8+4", "cut", Fraction(-53, 10))
@example("8+4", "cut size", Fraction(-53, 10))
@example("8+4", "nearest", Fraction(255, 2))
@example("8+4", "nearest", Fraction(509, 4))
@example("8+4", "cut size", Fraction(-257, 2))
@example("8+4", "cut", Fraction(-257, 2))
@example("8+4", "nearest", Fraction(-129, 256))
@example("8+4", "nearest away", Fraction(131, 2))
@example("8+4", "cut", Fraction(-1, 512))
@example("8+4", "nearest away", Fraction(511, 262144))
def test_encoding_rounds_as_the_course_says(form: str, rounding: str, value: Fraction) -> None:
    """A value is stored, and its errors stated, as the rounding defines."""
    m, e = SIZES[form]
    expected = road.encode(value, m, e, rounding)
    found = road.check(value, expected, m, e, rounding)

    course = cp.Course(format=form, rounding=rounding)
    for operation in ("encode", "error"):
        working = cp.work(operation, value, course=course)
        assert worked(working) == told(expected, m, e)
        assert working.check.exact == value
        assert sorted(working.check.nearest) == sorted(road.bits_of(number, m, e) for number in found.nearest)
        assert working.check.verdict == found.verdict
        assert working.check.error == found.error
        assert working.check.unavoidable_error == found.unavoidable_error
        assert working.check.relative_error == found.relative_error
        assert working.check.error_ulps == found.error_ulps
