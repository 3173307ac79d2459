"""The length of a model solution, against counting by hand."""

from chalkpoint.working.length import characters
from chalkpoint.working.work import work


def test_digits_of_rows_and_values_are_counted() -> None:
    """Normalising 0.0011010 0011: one row given and one after it, 12 digits each, and 1.625 twice."""
    assert characters(work("normalise", "00011010 0011")) == 2 * 12 + 2 * len("1.625")
