"""Questions found in other families: counts by hand, by brute force, and why there are none."""

from __future__ import annotations

from itertools import product

import pytest

import chalkpoint as cp
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.named import format_called, size_format, value_or_none
from chalkpoint.working.bringing import by_rule
from chalkpoint.working.course import Course

#: Operation, format, condition, how many, of how many: each counted by hand.
COUNTED = (
    ("add", "4", "carry-out", 120, 256),  # sums of two numbers below 16 that reach 16: 15 + 14 + ... + 1
    ("add", "4", "overflow", 64, 256),  # 28 sums above 7, 36 below -8
    ("subtract", "4 unsigned", "borrow-past-first", 120, 256),  # the second is larger
    ("add", "4 ones-complement", "end-around-carry", 120, 256),
    ("decode", "4", "exposes:read-ones-comp", 8, 16),  # each that starts with a 1
    ("decode", "4", "sign-pattern = -", 8, 16),
    ("decode", "1+3+2", "subnormal-operand", 6, 64),  # a field of 0s, a fraction of 1 to 3, two signs
    ("decode", "1+3+2", "special-operand", 8, 64),
    ("multiply", "1+3+2", "special-operand", 960, 4096),  # 64 * 64 - 56 * 56
    ("divide", "4", "operand-zero", 15, 240),  # 0 over any of 15; nothing is divided by 0
    ("encode", "4", "overflow", 33, 65),  # halves from -16 to 16: 16 below -8, 17 from 8 on
)


@pytest.mark.parametrize(("operation", "fmt", "where", "count", "of"), COUNTED)
def test_counts_by_hand(operation: str, fmt: str, where: str, count: int, of: int) -> None:
    """The count is exact, and of everything there is to ask."""
    found = cp.find(operation, format=fmt, where=[where])
    assert (found.count, found.of, found.exact) == (count, of, True)


def _carries(a: int, b: int, bits: int) -> list[bool]:
    """Return whether a carry comes into each column, and out of the first, added digit by digit."""
    carry, into = 0, []
    for place in range(bits):
        into.append(bool(carry))
        carry = (a >> place & 1) + (b >> place & 1) + carry >> 1
    return [*into, bool(carry)]


@pytest.mark.parametrize("bits", [3, 5])
def test_carries_are_those_of_columns_added_one_by_one(bits: int) -> None:
    """Into the sign place, out of it, and how many."""
    every = [_carries(a, b, bits) for a, b in product(range(1 << bits), repeat=2)]
    fmt = str(bits)
    assert cp.find("add", format=fmt, where=["carry-into-sign"]).count == sum(one[-2] for one in every)
    assert cp.find("add", format=fmt, where=["carries >= 3"]).count == sum(sum(one) >= 3 for one in every)
    both = sum(
        one[-2] != one[-1] for one in every
    )  # overflow: into the sign place and not out, or the other way round
    assert cp.find("add", format=fmt, where=["overflow"]).count == both


def test_what_rounding_meets_is_what_fractions_say() -> None:
    """Ties and sums that lose nothing, over every pair of a format."""
    values = {}
    for bits in product("01", repeat=6):
        pattern = "".join(bits)
        if pattern[1:4] != "111":  # an infinity, or no number
            values[pattern] = cp.work("decode", pattern, format="1+3+2").check.exact
    held = set(values.values())
    exact = sum(one + other in held for one, other in product(values.values(), repeat=2))
    found = cp.find("add", format="1+3+2", where=["exact-result", "not special-operand"])
    assert found.count == exact


def test_what_is_drawn_meets_the_request() -> None:
    """In a small format by number, in a wide one by drawing, and then the count says that it is an estimate."""
    found = cp.find("subtract", format="5", where=["carry-out", "exposes:invert-only"])
    for question in found.draw(5, seed=2):
        first, second = (int(bits, 2) for bits in question.operands)
        assert first + (-second & 31) >= 32
    assert found[0].operands == found.draw(found.count, seed=1)[0].operands or found.count > 1
    wide = cp.find("add", format="binary16", where=["tie"])
    assert not wide.exact
    assert wide.interval is not None
    for question in wide.draw(3, seed=1):
        assert len(question.work().check.nearest_patterns) == 2


def test_the_simplest_has_fewest_ones() -> None:
    """Of sums with a carry out the simplest has two 1s."""
    simplest = cp.find("add", format="4", where=["carry-out"]).simplest(1)[0]
    assert sorted(simplest.operands) == ["1000", "1000"]


def test_why_there_are_none() -> None:
    """Conditions that exclude each other are named."""
    found = cp.find("add", format="4", where=["carry-into-sign", "carries = 0"])
    assert found.contradiction == ("carry-into-sign", "carries = 0")


@pytest.mark.parametrize(
    ("operation", "fmt", "where", "said"),
    [
        ("normalise", "8", [], "one form only"),
        ("multiply", "8 ones-complement", [], "added and subtracted only"),
        ("add", "8", ["end-around-carry"], "is not a trait of add in 8"),
        ("add", "8", ["exposes:align-skip"], "is not a belief about add in 8"),
    ],
)
def test_what_cannot_be_found_is_refused(operation: str, fmt: str, where: list[str], said: str) -> None:
    """One sentence says why."""
    with pytest.raises(EntryError, match=said):
        cp.find(operation, format=fmt, where=where)


def test_absorbed_is_what_fractions_say() -> None:
    """Neither is zero, both are numbers, and the rounded sum is one of them: infinities are not asked for a value."""
    fmt = size_format(format_called("1+2+1"))
    values = [value_or_none(fmt, fmt.read(f"{number:04b}")) for number in range(16)]
    count = 0
    for first, second in product(values, repeat=2):
        if first and second:
            pattern = by_rule(first + second, Course(format="1+2+1"))
            count += value_or_none(fmt, pattern) in {first, second}
    assert cp.find("add", format="1+2+1", where=["absorbed"]).count == count


@pytest.mark.parametrize(
    "where", ["align-shift = 1", "lost-ones >= 1", "mantissa-overflow", "carry-dropped", "norm-shift >= 2"]
)
def test_an_exponent_in_excess_is_found_as_its_twin_in_twos_complement(where: str) -> None:
    """The same numbers stand there, so as many pairs do the same: counted one by one here, in lanes there."""
    found = cp.find("add", format="3+2 excess-2", where=[where])
    twin = cp.find("add", format="3+2", where=[where], space="all")
    assert (found.count, found.of) == (twin.count, twin.of)
    assert 0 < found.count < found.of
