"""The smallest format for a range and a largest step, against every format tried one by one."""

from __future__ import annotations

import itertools
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import chalkpoint as cp
from chalkpoint.numbers.formats import Pattern, parse_format
from chalkpoint.working.choosing import Need, serving, smallest_format

STEPS = st.sampled_from([Fraction(1), Fraction(1, 2), Fraction(1, 10), Fraction(1, 64), Fraction(3)])


def holds_everywhere(spelling: str, need: Need) -> bool:
    """Tell, by the list of all values, whether a format spans the range with no gap wider than the step."""
    fmt = parse_format(spelling)
    half = 1 << (fmt.mantissa_bits - 2)
    mantissas = [*range(half, 2 * half), *range(-2 * half, -half)]
    exponents = range(fmt.lowest_exponent, fmt.highest_exponent + 1)
    values = {fmt.value(Pattern(mantissa, exponent)) for mantissa in mantissas for exponent in exponents} | {
        Fraction(0)
    }
    ordered = sorted(values)
    if ordered[0] > need.lowest or ordered[-1] < need.highest:
        return False
    inside = [
        (low, high) for low, high in itertools.pairwise(ordered) if high > need.lowest and low < need.highest
    ]
    return all(high - low <= need.step for low, high in inside)


@settings(max_examples=25)
@given(st.integers(-9, 0), st.integers(1, 9), STEPS)
def test_no_smaller_format_serves(lowest: int, highest: int, step: Fraction) -> None:
    """The chosen format spans the range finely enough; no format of fewer bits does."""
    need = Need(Fraction(lowest), Fraction(highest), step)
    chosen = smallest_format(need)
    assert chosen is not None
    assert holds_everywhere(str(chosen.format), need)
    for bits in range(4, chosen.format.bits):
        for exponent_bits in range(2, min(bits - 1, 6)):
            assert not holds_everywhere(f"{bits - exponent_bits}+{exponent_bits}", need)


def test_the_trade_is_shown_bit_for_bit() -> None:
    """The last line says what each neighbouring format would lose."""
    working = cp.work("choose-format", "-10", "40", "0.25")

    assert working.result_format == "9+4"
    assert [step.rule for step in working.steps] == ["exponent", "mantissa", "near-zero", "choice", "trade"]
    assert "8+4 leaves steps of 0.5." in working.steps[-1].detail
    assert "9+3 reaches only from \u22128 to 7.96875." in working.steps[-1].detail
    assert all(step.spoken for step in working.steps)


def test_zero_outside_the_range_asks_nothing_of_the_lowest_exponent() -> None:
    """Where the range does not come near zero, the line about it is not written."""
    assert "near-zero" not in {step.rule for step in cp.work("choose-format", "4", "7", "0.5").steps}
    assert serving(parse_format("4+3"), Need(Fraction(4), Fraction(7), Fraction(1))).near_zero


@pytest.mark.parametrize(
    ("values", "said"),
    [
        (("40", "-10", "0.25"), "40 to \u221210 is no range; give the lower value first"),
        (("-10", "40", "0"), "0 as the largest step is not positive"),
        (("-10", "40"), "choose-format takes the lowest value, the highest and the largest step"),
        (("0", "1", "1e-30"), "no format up to 64+16 serves"),
    ],
)
def test_what_makes_no_sense_is_refused(values: tuple[str, ...], said: str) -> None:
    """One sentence says what is wrong and what would be taken."""
    with pytest.raises(cp.EntryError) as refusal:
        cp.work("choose-format", *values)
    assert said in str(refusal.value)
