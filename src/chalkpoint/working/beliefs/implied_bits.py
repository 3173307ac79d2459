"""How beliefs about a hidden 1 act where a mantissa in two's complement leaves its second bit out, as in TMS320C3x."""

from __future__ import annotations

from chalkpoint.numbers.carriers import where
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working.beliefs.belief import IMPLIED, STORING, acts
from chalkpoint.working.course import Course
from chalkpoint.working.reading import ReadPage, read_mantissa
from chalkpoint.working.storing import StorePage, fit_by

__all__ = ["IMPLIED_MISSING", "IMPLIED_STORED"]


# === Rules ===


def leave_implied_out(page: ReadPage, fmt: FloatFormat) -> ReadPage:
    """Put the point behind the sign, where the bit that is not written belongs."""
    read = read_mantissa(page, fmt)
    one = 1 << (fmt.mantissa_bits - 2)
    return read._replace(mantissa=read.mantissa + where(read.mantissa < 0, one, -one))


def store_implied(page: StorePage, course: Course) -> StorePage:
    """Write the bit that is left out too, in the first place behind the sign; the last digit finds no room."""
    fitted: StorePage = fit_by(course.rounding)(page, course)
    one = 1 << (course.float_format.mantissa_bits - 2)
    digits = fitted.mantissa % one
    implied = 0 if fitted.mantissa < 0 else one
    return fitted._replace(mantissa=fitted.mantissa - digits + (implied + digits) // 2)


# === Places ===

IMPLIED_MISSING = acts(("decode",), "mantissa", leave_implied_out, "Put the point behind the sign.", IMPLIED)
IMPLIED_STORED = acts(STORING, "fit", store_implied, "Write every digit behind the sign.", IMPLIED)
