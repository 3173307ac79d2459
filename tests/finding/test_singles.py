"""Questions with one operand, against their own workings."""

from fractions import Fraction

import pytest

import chalkpoint as cp
from chalkpoint.finding.traits.single import bits_needed, decimal_places, recurring_period


@pytest.mark.parametrize(
    ("operation", "where", "count"),
    [
        ("decode", [], 1 << 11),
        ("decode", ["sign-pattern = -"], 1 << 10),
        ("decode", ["operand-minus-one"], 16),
        ("normalise", ["norm-shift = 3"], 2 * 8 * 16),
        ("normalise", ["operand-zero"], 16),
        ("negate", ["mantissa-overflow"], 16),
        ("negate", ["exponent-overflow"], 1),
        ("negate", ["exponent-underflow"], 1),
        ("encode", ["terminating", "decimal-places = 2"], 100 * 2 * 2),
        ("encode", ["recurring-period = 4", "decimal-places = 1"], 100 * 2 * 8),
    ],
)
def test_counts_that_can_be_reckoned(operation: str, where: list[str], count: int) -> None:
    """Spaces of one operand are counted as one reckons them on paper."""
    assert cp.find(operation, format="8+4", where=where).count == count


@pytest.mark.parametrize("operation", ["decode", "normalise", "negate", "encode", "error"])
def test_what_is_found_can_be_worked(operation: str) -> None:
    """Draws, the simplest and numbers of every operation go straight to `work`."""
    found = cp.find(operation, format="5+3", where=["sign-pattern = -"])
    for question in (*found.draw(3, seed=1), *found.simplest(3), found[2]):
        working = cp.work(operation, *question.operands, format="5+3")
        assert working.result.bits == question.work().result.bits
        assert any(value < 0 for value in working.question.values)


def test_a_table_of_one_operand_adds_up() -> None:
    """The counts of a table add up to the count."""
    found = cp.find("normalise", format="5+3")
    assert sum(found.table("norm-shift", "sign-pattern").counts.values()) == found.count == 256


def test_a_large_space_is_estimated() -> None:
    """Half of all patterns of 24+8 are negative, as far as drawing can tell."""
    found = cp.find("decode", format="24+8", where=["sign-pattern = -"])
    assert not found.exact
    assert found.interval is not None
    assert found.interval[0] < found.of // 2 < found.interval[1]
    assert len(found.draw(5, seed=2)) == 5


def test_measures_of_values() -> None:
    """Digits, periods and widths of values are those on paper."""
    assert [decimal_places(Fraction(text)) for text in ("0", "1/8", "1/10", "1/3")] == [0, 3, 1, None]
    assert [recurring_period(Fraction(text)) for text in ("1/8", "1/10", "1/7", "5/6")] == [0, 4, 3, 2]
    assert [bits_needed(Fraction(text)) for text in ("0", "1", "-1", "239/4", "1/10")] == [2, 2, 2, 9, None]
