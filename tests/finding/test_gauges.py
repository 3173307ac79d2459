"""Gauges: which numbers the station's instruments give."""

from fractions import Fraction

import pytest

from chalkpoint.finding.gauges import gauges
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask


def test_bounds_are_exact() -> None:
    """A bound written 0.5 is one half, and no float."""
    assert gauges()["drift"].operands[1] == (Fraction(-1, 2), Fraction(1, 2))


@pytest.mark.parametrize(
    ("operation", "operands", "plausible"),
    [
        ("subtract", ["6.5", "1.25"], True),
        ("subtract", ["1.25", "1.5"], False),  # the answer is below 0
        ("subtract", ["12.5", "1.25"], False),  # the gauge ends at 12
        ("subtract", ["6.5", "0.0078125"], False),  # seven places
        ("add", ["6.5", "1.25"], False),  # waves are taken off
    ],
)
def test_size_resolution_and_operation_are_looked_at(
    operation: str, operands: list[str], *, plausible: bool
) -> None:
    """A wave correction is at most 3 m off at most 12, to six places, and leaves no negative level."""
    assert gauges()["wave correction"].plausible(ask(operation, *operands, course=Course())) is plausible
