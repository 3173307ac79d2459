"""What storing a value costs, in words: the absolute and the relative error."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.numbers.exact import write_percent, write_value
from chalkpoint.working.wording.heading import in_brackets
from chalkpoint.working.written import Row

__all__ = ["absolute_error", "relative_error"]


def absolute_error(
    exact: Fraction, stored: Fraction, size: Fraction, point: str
) -> tuple[str, str, list[Row]]:
    """Return the line of an absolute error: *size*, of *stored* against *exact*."""
    detail = (
        f"What was asked for less what is stored: {write_value(exact, point=point)} \u2212 "
        f"{in_brackets(stored, point)} = {write_value(exact - stored, point=point)}. The absolute error is its "
        f"size, {write_value(size, point=point)}."
    )
    return "Absolute error", detail, []


def relative_error(
    exact: Fraction, size: Fraction, relative: Fraction, point: str
) -> tuple[str, str, list[Row]]:
    """Return the line of a relative error: the absolute error, *size*, against the size of *exact*."""
    detail = (
        f"The absolute error divided by the size of the true value: {write_value(size, point=point)} ÷ "
        f"{write_value(abs(exact), point=point)} = {write_value(relative, point=point)}, "
        f"{write_percent(relative, point=point)}."
    )
    return "Relative error", detail, []
