"""Reading, storing and negating whole and fixed-point numbers in each of their codes, and their range."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.rounding import rounding_called
from chalkpoint.working.check import check
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Step
from chalkpoint.working.whole import WholePage, whole_losses
from chalkpoint.working.wording.whole_values import writer
from chalkpoint.working.working import Working

__all__ = ["WholeStorePage", "change_whole", "decode_whole", "encode_whole", "find_whole_range"]


def decode_whole(question: Question) -> Working:
    """Return the working that reads a row of bits by its code, and places the point."""
    fmt: FixedFormat = question.format
    (pattern,) = question.patterns
    page = WholePage(fmt.field.read(pattern))
    write = writer(question)
    steps = [Step(1, "weigh", page, page, write)]
    if fmt.places:
        steps.append(Step(2, "scale", page, page, write))
    outcome = "in range" if page.first else "zero"
    checked = check(fmt.value(pattern), outcome, pattern, question.course)
    return Working(question, "", tuple(steps), outcome, pattern, checked)


class WholeStorePage(NamedTuple):
    """A value on its way into a row of bits: *number* is in units of the last place once it fits."""

    value: Fraction
    number: int = 0
    exact: bool = True
    pattern: str | None = None


def encode_whole(question: Question) -> Working:
    """Return the working that stores a value: its size in binary, its fit, its code; `error` adds the cost."""
    fmt: FixedFormat = question.format
    course, write = question.course, writer(question)
    page = WholeStorePage(question.value)
    number = fmt.rounded(question.value, rounding_called(course.rounding))
    fitted = page._replace(number=number, exact=fmt.unit_value * number == question.value)
    steps = [Step(1, "size", page, page, write)]
    if not fitted.exact:
        steps.append(Step(2, "fit", page, fitted, write))
    pattern = fmt.field.write(number) if fmt.field.holds(number) else None
    if pattern is None and course.overflow == "largest":
        pattern = fmt.field.write(fmt.field.lowest if number < fmt.field.lowest else fmt.field.highest)
    done = fitted._replace(pattern=pattern)
    steps.append(Step(len(steps) + 1, "code", fitted, done, write))
    if question.operation.name == "error" and pattern is not None:
        steps.append(Step(len(steps) + 1, "absolute", done, done, write))
        if question.value:
            steps.append(Step(len(steps) + 1, "relative", done, done, write))
    outcome = "overflow" if pattern is None else ("in range" if fmt.value(pattern) else "zero")
    checked = check(question.value, outcome, pattern, course)
    return Working(question, course.rounding, tuple(steps), outcome, pattern, checked, whole_losses)


def change_whole(question: Question) -> Working:
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
    opposite_fits = fmt.field.holds(-number)
    answer = _opposite(pattern, fmt) if opposite_fits else None
    if answer is None and question.course.overflow == "largest":
        answer = fmt.field.write(fmt.field.highest if number < 0 else fmt.field.lowest)
    step = Step(1, "opposite", pattern, answer, writer(question))
    outcome = "overflow" if answer is None else ("zero" if number == 0 else "in range")
    return Working(
        question, "", (step,), outcome, answer, check(-fmt.value(pattern), outcome, answer, question.course)
    )


def _opposite(pattern: str, fmt: FixedFormat) -> str:
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
