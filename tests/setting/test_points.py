"""What a point is for, where that depends on the format."""

import pytest

import chalkpoint as cp
from chalkpoint.setting.points import read_exponent


@pytest.mark.parametrize(
    ("name", "says"),
    [("8+4", "read as a signed integer"), ("8+4 excess-8", "the stored exponent less the excess")],
)
def test_an_exponent_in_excess_is_marked_for_taking_the_excess_off(name: str, says: str) -> None:
    """In two's complement it is read as it is."""
    assert read_exponent(cp.work("decode", "01010100 1011", format=name)) == says
