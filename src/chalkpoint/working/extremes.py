"""Range: the four extreme values of a format, each by its own rule."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

from chalkpoint.numbers.formats import FloatFormat, Pattern
from chalkpoint.working.check import check
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.extremes import writer
from chalkpoint.working.working import Working

__all__ = ["EXTREMES", "find_range"]

ExtremeRule: TypeAlias = Callable[[FloatFormat], Pattern]


def largest_positive(fmt: FloatFormat) -> Pattern:
    """A 0 and then all 1s, with the highest exponent."""
    return Pattern((1 << (fmt.mantissa_bits - 1)) - 1, fmt.highest_exponent)


def smallest_positive(fmt: FloatFormat) -> Pattern:
    """Normalised: 0.1 and then 0s, with the lowest exponent."""
    return Pattern(1 << (fmt.mantissa_bits - 2), fmt.lowest_exponent)


def largest_negative(fmt: FloatFormat) -> Pattern:
    """The negative nearest to zero, normalised: 1.0 and then all 1s, with the lowest exponent."""
    return Pattern(-(1 << (fmt.mantissa_bits - 2)) - 1, fmt.lowest_exponent)


def most_negative(fmt: FloatFormat) -> Pattern:
    """A 1 and then all 0s, with the highest exponent."""
    return Pattern(-(1 << (fmt.mantissa_bits - 1)), fmt.highest_exponent)


EXTREMES: dict[str, ExtremeRule] = {
    "largest positive": largest_positive,
    "smallest positive": smallest_positive,
    "largest negative": largest_negative,
    "most negative": most_negative,
}


def find_range(question: Question) -> Working:
    """Return the working that writes the four extremes; the result is the largest positive."""
    fmt = question.format
    write = writer(question)
    patterns = {name: rule(fmt) for name, rule in EXTREMES.items()}
    steps = tuple(
        Step(number, name, None, pattern, write) for number, (name, pattern) in enumerate(patterns.items(), 1)
    )
    largest = patterns["largest positive"]
    checked = check(fmt.value(largest), "in range", largest, question.course)
    return Working(question, "", steps, "in range", largest, checked, extremes=patterns)
