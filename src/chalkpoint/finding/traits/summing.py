"""Traits of adding the mantissas: carries, mantissa overflow, and bringing the sum to normal form."""

from __future__ import annotations

from chalkpoint.finding.case import Case
from chalkpoint.finding.measures import has_run
from chalkpoint.finding.trait import Trait, by_steps
from chalkpoint.finding.traits.aligning import loses_bits
from chalkpoint.numbers.carriers import Truth, opposite

__all__ = ["SUMMING"]


def carry_dropped(case: Case) -> Truth:
    """Return whether a carry leaves the sign place and the sum fits."""
    return case.carry_out & opposite(case.overflowed)


def overflow_without_carry(case: Case) -> Truth:
    """Return whether the mantissa overflows and no carry leaves the sign place."""
    return case.overflowed & opposite(case.carry_out)


def repair_loses_bit(case: Case) -> Truth:
    """Return whether the repair of a mantissa overflow shifts a 1 past the last place."""
    return case.overflowed & (case.added.total & 1 == 1)


def carry_chain_at_least(case: Case, length: int) -> Truth:
    """Return whether *length* columns in a row pass a carry on, the sign place among them."""
    passed = (case.carries & ((2 << case.sum_bits) - 1)) >> 1
    return has_run(passed, length)


def triple_one_column(case: Case) -> Truth:
    """Return whether some column adds 1, 1 and a carry."""
    page = case.added
    return page.first & page.second & case.carries & ((1 << case.sum_bits) - 1) != 0


SUMMING = (
    Trait("carry-dropped", "a carry leaves the sign place and is dropped", "yes or no", carry_dropped),
    Trait(
        "mantissa-overflow",
        "the sum does not fit the mantissa: one shift right",
        "yes or no",
        lambda case: case.overflowed,
    ),
    Trait(
        "overflow-without-carry",
        "the mantissa overflows and no carry leaves the sign place",
        "yes or no",
        overflow_without_carry,
    ),
    Trait("repair-loses-bit", "the repair shifts a 1 past the last place", "yes or no", repair_loses_bit),
    Trait(
        "norm-shift",
        "places the sum is shifted left to bring it to normal form",
        "number",
        lambda case: case.copies,
        most=lambda fmt: fmt.places,
    ),
    Trait(
        "cancellation",
        "the sum is shifted left two places or more",
        "yes or no",
        lambda case: case.copies >= 2,
    ),
    Trait(
        "cancellation-amplifies",
        "the sum is shifted left after bits were lost: the loss grows",
        "yes or no",
        lambda case: (case.copies >= 1) & loses_bits(case),
        source="Goldberg 1991, on cancellation",
    ),
    Trait(
        "result-zero",
        "the sum of the aligned mantissas is zero, though the exact answer may not be",
        "yes or no",
        lambda case: case.added.total == 0,
    ),
    Trait(
        "carry-chain",
        "most columns in a row that pass a carry on, the sign place among them",
        "number",
        holds=by_steps(carry_chain_at_least),
        most=lambda fmt: fmt.mantissa_bits,
        examples=("carry-chain >= 3",),
    ),
    Trait("triple-one-column", "some column adds 1, 1 and a carry", "yes or no", triple_one_column),
)
