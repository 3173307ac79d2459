"""Questions with one operand, against their own workings."""

from fractions import Fraction

import pytest

import chalkpoint as cp
from asking import normalised
from chalkpoint.finding.traits.single import bits_needed, decimal_places, recurring_period
from chalkpoint.working.course import Course


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
        ("encode", ["tie", "sign-pattern = -"], 100),
        ("encode", ["recurring-period = 4", "decimal-places = 1"], 100 * 2 * 8),
    ],
)
def test_counts_that_can_be_reckoned(operation: str, where: list[str], count: int) -> None:
    """Spaces of one operand are counted as one reckons them on paper."""
    assert cp.find(operation, format="8+4", where=where).count == count


@pytest.mark.parametrize(
    "operation", ["decode", "normalise", "negate", "encode", "error", "multiply", "divide"]
)
def test_what_is_found_can_be_worked(operation: str) -> None:
    """Draws, the simplest and numbers of every operation go straight to `work`."""
    negative = "--" if operation in {"multiply", "divide"} else "-"
    size = "4+3" if negative == "--" else "5+3"
    found = cp.find(operation, format=size, where=[f"sign-pattern = {negative}"])
    for question in (*found.draw(3, seed=1), *found.simplest(3), found[2]):
        working = cp.work(operation, *question.operands, format=size)
        assert working.result.bits == question.work().result.bits
        assert all(value < 0 for value in working.question.values)


def test_products_and_quotients_are_worked_one_by_one() -> None:
    """Small products and quotients are all looked at, as their own workings and fractions say."""
    patterns = normalised(Course(format="4+3").float_format)
    for operation in ("multiply", "divide"):
        found = cp.find(operation, format="4+3", where=["exact-result", "sign-pattern = --"])
        assert found.exact
        exact = 0
        for first in patterns[:64:4]:
            for second in patterns[:64:4]:
                working = cp.work(
                    operation, *(found.course.float_format.write(p) for p in (first, second)), format="4+3"
                )
                exact += working.check.verdict == "exact" and first.mantissa < 0 > second.mantissa
        chosen = [
            draw
            for draw in (found[number] for number in range(found.count))
            if all(part in patterns[:64:4] for part in draw.given)
        ]
        assert len(chosen) == exact > 0


def test_large_products_are_estimated() -> None:
    """At 24+8 the share of exact products is an estimate, and says so."""
    found = cp.find("multiply", format="24+8", where=["sign-pattern = +-"])
    assert not found.exact
    assert found.interval is not None
    assert found.interval[0] <= found.of // 4 <= found.interval[1]


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
