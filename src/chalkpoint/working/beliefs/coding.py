"""How a belief about changing a sign acts when a whole number or a fixed-point one is written."""

from __future__ import annotations

from chalkpoint.numbers.bits import to_bits
from chalkpoint.working.beliefs.belief import FIXED, INTEGER, STORING, AnyRule, Place, acts
from chalkpoint.working.course import Course
from chalkpoint.working.page import Page
from chalkpoint.working.whole_values import WholeStorePage, write_code

__all__ = ["codes_negated"]


def codes_negated(negate: AnyRule, said: str) -> tuple[Place, ...]:
    """Return the places of *negate*, a rule for a row of bits, where a negative number that fits is written."""

    def code(page: WholeStorePage, course: Course) -> WholeStorePage:
        usual = write_code(page, course)
        if page.number >= 0 or not course.fixed_format.field.holds(page.number):
            return usual
        # Where a pattern is cut, its digits fell off before the sign was changed wrongly: no size was rounded up.
        size = int(-page.value / course.fixed_format.unit_value) if course.rounding == "cut" else -page.number
        negated = negate(Page(0, 0, size, 0), course.number_format)
        return usual._replace(pattern=to_bits(negated.second, course.number_format.bits))

    code.__name__ = f"code_{negate.__name__}"
    return acts(STORING, "code", code, said, INTEGER, FIXED)
