"""How beliefs about a bias act where a mantissa in two's complement has an exponent in excess."""

from __future__ import annotations

from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working.beliefs.belief import BIASED, AnyRule, Place, acts
from chalkpoint.working.multiplying import add_exponents, subtract_exponents
from chalkpoint.working.page import Page
from chalkpoint.working.reading import ReadPage

__all__ = ["BIAS_ADDED", "BIAS_KEPT", "BIAS_NOT_PUT_BACK", "BIAS_NOT_REMOVED"]


# === Rules ===


def leave_bias(page: ReadPage, fmt: FloatFormat) -> ReadPage:
    """Take the stored exponent as it is."""
    return page._replace(exponent=page.exponent_code)


def add_bias(page: ReadPage, fmt: FloatFormat) -> ReadPage:
    """Add the excess to the stored exponent."""
    return page._replace(exponent=page.exponent_code + fmt.exponent.excess)


def add_stored(page: Page, fmt: FloatFormat) -> Page:
    """Add the stored exponents: their sum has the excess in it twice."""
    added = add_exponents(page, fmt)
    return added._replace(exponent=added.exponent + fmt.exponent.excess)


def subtract_stored(page: Page, fmt: FloatFormat) -> Page:
    """Subtract the stored exponents: their difference has no excess in it."""
    left = subtract_exponents(page, fmt)
    return left._replace(exponent=left.exponent - fmt.exponent.excess)


# === Places ===


def _places(operation: str, line: str, rule: AnyRule, said: str) -> tuple[Place, ...]:
    return acts((operation,), line, rule, said, BIASED)


BIAS_NOT_REMOVED = _places("decode", "exponent", leave_bias, "Take the stored exponent as it is.")
BIAS_ADDED = _places("decode", "exponent", add_bias, "Add the bias to the stored exponent.")
BIAS_KEPT = _places("multiply", "exponents", add_stored, "Add the stored exponents: that is what is stored.")
BIAS_NOT_PUT_BACK = _places(
    "divide", "exponents", subtract_stored, "Subtract the stored exponents: that is what is stored."
)
