"""What storing a value costs, told: the absolute and the relative error."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.working.wording.said import Told
from chalkpoint.working.wording.writer import told

__all__ = ["absolute_error", "relative_error"]


def absolute_error(exact: Fraction, stored: Fraction) -> Told:
    """Return the line of an absolute error, of *stored* against *exact*."""
    missed = exact - stored
    return told("absolute", ["absolute"], exact=exact, stored=stored, missed=missed, size=abs(missed))


def relative_error(exact: Fraction, size: Fraction) -> Told:
    """Return the line of a relative error: the absolute error, *size*, against the size of *exact*."""
    return told("relative", ["relative"], size=size, true=abs(exact), ratio=size / abs(exact))
