"""Reading, storing and negating whole and fixed-point numbers in each of their codes, and their range."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import NamedTuple

from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.rounding import rounding_called
from chalkpoint.working import floating
from chalkpoint.working.check import check
from chalkpoint.working.course import Course
from chalkpoint.working.losing import no_losses
from chalkpoint.working.methods import NEGATE, Line, Method, Trail
from chalkpoint.working.page import Page
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Step, written_steps
from chalkpoint.working.whole import whole_losses
from chalkpoint.working.wording.whole_values import writer
from chalkpoint.working.working import Working

__all__ = [
    "WHOLE_NEGATING",
    "WHOLE_READING",
    "WholeReadPage",
    "WholeStorePage",
    "change_whole",
    "decode_whole",
    "encode_whole",
    "find_whole_range",
    "opposite",
    "whole_storing_method",
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


def decode_whole(question: Question, method: Method = WHOLE_READING) -> Working:
    """Return the working that reads a row of bits by its code, and places the point."""
    fmt: FixedFormat = question.format
    (pattern,) = question.patterns
    trail = method.trail(WholeReadPage(pattern), fmt)
    written = trail if fmt.places else trail[:1]
    steps = written_steps(written, writer(question, method))
    faulty = method.right is not None
    exact = fmt.value(pattern) if faulty else trail[-1].after.value
    outcome = "in range" if exact else "zero"
    checked = check(exact, outcome, pattern, question.course)
    return Working(question, "", steps, outcome, pattern, checked, faulty=faulty)


class WholeStorePage(NamedTuple):
    """A value on its way into a row of bits: *number* is in units of the last place once it fits."""

    value: Fraction
    number: int = 0
    exact: bool = True
    pattern: str | None = None


def fit_places(page: WholeStorePage, course: Course) -> WholeStorePage:
    """Bring the value to the format's places by the course's rounding."""
    fmt: FixedFormat = course.number_format
    number = fmt.rounded(page.value, rounding_called(course.rounding))
    return page._replace(number=number, exact=fmt.unit_value * number == page.value)


def write_code(page: WholeStorePage, course: Course) -> WholeStorePage:
    """Write the number in the format's code, and judge its range."""
    field = course.number_format.field
    if field.holds(page.number):
        return page._replace(pattern=field.write(page.number))
    if course.overflow != "largest":
        return page
    return page._replace(pattern=field.write(field.lowest if page.number < field.lowest else field.highest))


COSTS = (Line("absolute", ()), Line("relative", ()))
STORING_LINES = (Line("size", ("size",)), Line("fit", ("fit",)), Line("code", ("code",)))


@cache
def whole_storing_method(operation: str = "encode") -> Method:
    """Return how a value is stored; "error" goes on to what that cost."""
    costs = COSTS if operation == "error" else ()
    return Method("", operation, (*STORING_LINES, *costs), {"fit": fit_places, "code": write_code})


def encode_whole(question: Question, method: Method | None = None) -> Working:
    """Return the working that stores a value: its size in binary, its fit, its code; `error` adds the cost."""
    fmt: FixedFormat = question.format
    course = question.course
    method = method or whole_storing_method(question.operation.name)
    trail = method.trail(WholeStorePage(question.value), course)
    pattern = trail[-1].after.pattern
    outcome = "overflow" if pattern is None else ("in range" if fmt.value(pattern) else "zero")
    faulty = method.right is not None
    return Working(
        question,
        course.rounding,
        written_steps([entry for entry in trail if _is_written(entry, question)], writer(question, method)),
        outcome,
        pattern,
        check(question.value, outcome, pattern, course),
        no_losses if faulty else whole_losses,
        faulty=faulty,
    )


def _is_written(entry: Trail, question: Question) -> bool:
    """Tell whether a line is written: what fits is not fitted, and a word costs nothing."""
    if entry.line.name == "fit":
        return not entry.after.exact
    if entry.line not in COSTS:
        return True
    return entry.after.pattern is not None and (entry.line.name == "absolute" or bool(question.value))


WHOLE_NEGATING = Method("", "negate", (NEGATE,), {"negate": floating.negate})


def change_whole(question: Question, method: Method = WHOLE_NEGATING) -> Working:
    """Return the working that negates a row of bits by the rule of its code."""
    fmt: FixedFormat = question.format
    (pattern,) = question.patterns
    if question.operation.name == "normalise":
        raise EntryError(
            f"{pattern} has no exponent to normalise with; give a floating-point format such as 8+4"
        )
    number = fmt.field.read(pattern)
    if fmt.field.kind == "unsigned" and number:
        raise EntryError(
            f"{pattern} has no opposite: {fmt} holds no negative numbers; give 0 or a code with signs"
        )
    page = Page(0, 0, number, 0)
    written = method.finish(page, fmt).second
    faulty = written != -number
    answer = None
    if fmt.field.holds(written):
        answer = fmt.field.write(written) if faulty else opposite(pattern, fmt)
    if answer is None and question.course.overflow == "largest":
        answer = fmt.field.write(fmt.field.highest if number < 0 else fmt.field.lowest)
    step = Step(1, "opposite", pattern, answer, writer(question, method if faulty else None))
    outcome = "overflow" if answer is None else ("in range" if fmt.value(answer) else "zero")
    checked = check(-fmt.value(pattern), outcome, answer, question.course)
    return Working(question, "", (step,), outcome, answer, checked, faulty=method.right is not None)


def opposite(pattern: str, fmt: FixedFormat) -> str:
    """Return the pattern of the opposite; zero's two patterns in a code that has them are each other's."""
    if fmt.field.kind == "sign and magnitude":
        return ("0" if pattern[0] == "1" else "1") + pattern[1:]
    if fmt.field.kind == "ones' complement":
        return pattern.translate(str.maketrans("01", "10"))
    return fmt.field.write(-fmt.field.read(pattern))


def find_whole_range(question: Question) -> Working:
    """Return the working that writes the highest and the lowest number, and the step between neighbours."""
    fmt: FixedFormat = question.format
    patterns = {
        "largest positive": fmt.field.write(fmt.field.highest),
        "smallest positive": fmt.field.write(1),
    }
    if fmt.field.lowest < 0:
        patterns |= {
            "largest negative": fmt.field.write(-1),
            "most negative": fmt.field.write(fmt.field.lowest),
        }
    write = writer(question)
    steps = tuple(
        Step(number, name, None, pattern, write) for number, (name, pattern) in enumerate(patterns.items(), 1)
    )
    largest = patterns["largest positive"]
    checked = check(fmt.value(largest), "in range", largest, question.course)
    return Working(question, "", steps, "in range", largest, checked, extremes=patterns)
