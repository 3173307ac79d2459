"""Rules of reading, storing and negating whole and fixed-point numbers in each of their codes, and of their range."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import NamedTuple

from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.rounding import rounding_called
from chalkpoint.working import floating
from chalkpoint.working.course import Course
from chalkpoint.working.methods import NEGATE, Line, Method, Trail
from chalkpoint.working.question import Question

__all__ = [
    "WHOLE_NEGATING",
    "WHOLE_READING",
    "WholeReadPage",
    "WholeStorePage",
    "is_written",
    "whole_extremes",
    "whole_storing_method",
    "write_code",
]


class WholeReadPage(NamedTuple):
    """A row of bits being read: *number* is in units of its last place."""

    bits: str
    number: int = 0
    value: Fraction = Fraction(0)


def weigh(page: WholeReadPage, fmt: FixedFormat) -> WholeReadPage:
    """Read the bits by the format's code."""
    return page._replace(number=fmt.field.read(page.bits))


def place_point(page: WholeReadPage, fmt: FixedFormat) -> WholeReadPage:
    """Place the point."""
    return page._replace(value=page.number * fmt.unit_value)


WHOLE_READING = Method(
    "",
    "decode",
    (Line("weigh", ("read",)), Line("scale", ("scale",))),
    {"read": weigh, "scale": place_point},
)


class WholeStorePage(NamedTuple):
    """A value on its way into a row of bits: *number* is in units of the last place once it fits."""

    value: Fraction
    number: int = 0
    exact: bool = True
    pattern: str | None = None


def fit_places(page: WholeStorePage, course: Course) -> WholeStorePage:
    """Bring the value to the format's places by the course's rounding."""
    fmt = course.fixed_format
    number = fmt.rounded(page.value, rounding_called(course.rounding))
    return page._replace(number=number, exact=fmt.unit_value * number == page.value)


def write_code(page: WholeStorePage, course: Course) -> WholeStorePage:
    """Write the number in the format's code, and judge its range."""
    field = course.fixed_format.field
    if field.holds(page.number):
        return page._replace(pattern=field.write(page.number))
    if course.overflow != "largest":
        return page
    return page._replace(pattern=field.write(field.nearest_end(page.number)))


COSTS = (Line("absolute", ()), Line("relative", ()))
STORING_LINES = (Line("size", ("size",)), Line("fit", ("fit",)), Line("code", ("code",)))


@cache
def whole_storing_method(operation: str = "encode") -> Method:
    """Return how a value is stored; "error" goes on to what that cost.

    >>> [line.name for line in whole_storing_method("error").lines][-2:]
    ['absolute', 'relative']
    """
    costs = COSTS if operation == "error" else ()
    return Method("", operation, (*STORING_LINES, *costs), {"fit": fit_places, "code": write_code})


def is_written(entry: Trail, last: WholeStorePage, question: Question) -> bool:
    """Tell whether a line is written: what fits or lies out of range is not fitted, and a word costs nothing."""
    if entry.line.name == "fit":
        return not entry.after.exact and question.fixed_format.field.holds(entry.after.number)
    if entry.line not in COSTS:
        return True
    return last.pattern is not None and (entry.line.name == "absolute" or bool(question.value))


WHOLE_NEGATING = Method("", "negate", (NEGATE,), {"negate": floating.negate})


def whole_extremes(fmt: FixedFormat) -> dict[str, str]:
    """Return the ends of the range, and the numbers beside zero: a step away from it.

    >>> from chalkpoint.numbers.named import fixed_format, format_called
    >>> whole_extremes(fixed_format(format_called("8")))["most negative"]
    '10000000'
    """
    field = fmt.field
    found = {"largest positive": field.write(field.highest), "smallest positive": field.write(1)}
    if field.lowest < 0:
        found |= {"largest negative": field.write(-1), "most negative": field.write(field.lowest)}
    return found
