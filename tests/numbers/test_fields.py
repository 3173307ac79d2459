"""Five codes for whole numbers in a row of bits."""

from __future__ import annotations

import pytest

from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.fields import FIELD_KINDS, Field


def four_bits(kind: str) -> Field:
    """Return a field of four bits; excess-7 for the kind excess."""
    return Field(kind, 4, 7 if kind == "excess" else 0)


@pytest.mark.parametrize("kind", FIELD_KINDS)
def test_every_number_of_a_field_is_written_and_read_back(kind: str) -> None:
    """From the lowest to the highest, each number has a pattern that reads as it."""
    field = four_bits(kind)
    for number in range(field.lowest, field.highest + 1):
        assert field.holds(number)
        assert field.read(field.write(number)) == number
    assert not field.holds(field.highest + 1)
    assert not field.holds(field.lowest - 1)


@pytest.mark.parametrize("kind", FIELD_KINDS)
def test_every_pattern_stands_for_a_number_the_field_holds(kind: str) -> None:
    """No pattern reads as a number outside the ends; two codes have two patterns for zero."""
    field = four_bits(kind)
    numbers = [field.read(to_bits(code, 4)) for code in range(16)]

    assert (min(numbers), max(numbers)) == (field.lowest, field.highest)
    assert numbers.count(0) == (2 if kind in {"ones' complement", "sign and magnitude"} else 1)


@pytest.mark.parametrize("kind", ["two's complement", "unsigned", "ones' complement"])
def test_weights_add_up_to_the_number(kind: str) -> None:
    """In a code whose places have weights, the weights under the 1s add up to the number."""
    field = four_bits(kind)
    for code in range(16):
        bits = to_bits(code, 4)
        total = sum(weight for weight, bit in zip(field.weights(), bits, strict=True) if bit == "1")
        assert total == field.read(bits)
