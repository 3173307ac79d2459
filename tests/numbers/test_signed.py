"""Formats of sign, exponent and size: values, neighbours, packing, against the list of all their values."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.fitting import nearest_patterns
from chalkpoint.numbers.named import format_called, value_or_none
from chalkpoint.numbers.signed import Fields, SignMagnitudeFormat
from codes_in_lanes import cut_code, join_code

SMALL = (
    "1+3+2",
    "1+3+2 one-nan",
    "1+3+2 no-infinities",
    "1+3+2 no-subnormals",
    "1+3+3 excess-4 stored-one point-first",
    "1+3+2 excess-4 point-first no-subnormals no-infinities",
    "4+3 sign-and-magnitude",
)


def fmt_of(spelling: str) -> SignMagnitudeFormat:
    """Return the format, which is one of this family."""
    fmt = format_called(spelling)
    assert isinstance(fmt, SignMagnitudeFormat)
    return fmt


def all_values(fmt: SignMagnitudeFormat) -> list[Fraction]:
    """Return every value of a format once, in order."""
    patterns = (Fields(*cut_code(code, fmt)) for code in range(1 << fmt.bits))
    return sorted({value for pattern in patterns if (value := value_or_none(fmt, pattern)) is not None})


@pytest.mark.parametrize("spelling", SMALL)
def test_ends_are_the_ends_of_the_list(spelling: str) -> None:
    """The largest and the smallest positive pattern are those of the list of all values."""
    fmt = fmt_of(spelling)
    positive = [value for value in all_values(fmt) if value > 0]

    assert (fmt.value(fmt.smallest), fmt.value(fmt.largest)) == (positive[0], positive[-1])


@given(st.sampled_from(SMALL), st.fractions(-40, 40, max_denominator=1000))
def test_neighbours_are_those_of_the_list(spelling: str, x: Fraction) -> None:
    """The patterns around a value are the ones next to it in the list of all values."""
    fmt = fmt_of(spelling)
    values = all_values(fmt)
    low, high = (fmt.value(pattern) for pattern in fmt.neighbours(x)) if x else (Fraction(0), Fraction(0))
    below, above = bisect_right(values, x) - 1, bisect_left(values, x)

    assert low == values[max(below, 0)]
    assert high == values[min(above, len(values) - 1)]
    assert {fmt.value(pattern) for pattern in nearest_patterns(x, fmt)} <= {low, high}


@pytest.mark.parametrize("spelling", SMALL)
def test_codes_are_cut_and_joined(spelling: str) -> None:
    """Cutting a code into fields and joining them gives the code; its bits read as those fields."""
    fmt = fmt_of(spelling)
    for code in range(1 << fmt.bits):
        fields = Fields(*cut_code(code, fmt))
        assert join_code(*fields, fmt) == code
        assert fmt.read(format(code, f"0{fmt.bits}b")) == fields
        assert fmt.read(fmt.write(fields)) == fields


@pytest.mark.parametrize("pattern", [Fields(0, 16, 0), Fields(1, 16, 5)])
def test_what_has_no_value_says_so(pattern: Fields) -> None:
    """An infinity or NaN is refused where a value is asked for."""
    with pytest.raises(EntryError, match="which has no value"):
        fmt_of("binary16").value(pattern)


def test_wrong_lengths_are_refused() -> None:
    """The sentence names the length, and shows a pattern."""
    with pytest.raises(EntryError, match=r"'0101' has 4 bits; 1\+4\+3 takes 8, such as '0 0001 000'"):
        fmt_of("1+4+3").read("0101")
