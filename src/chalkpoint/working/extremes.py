"""Range: the four extreme values of a format, each by its own rule."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

from chalkpoint.numbers.formats import FloatFormat, Pattern
from chalkpoint.working.check import check
from chalkpoint.working.methods import Line, Method, Rule
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.extremes import writer
from chalkpoint.working.working import Working

__all__ = ["EXTREMES", "RANGING", "Extremes", "find_range", "writes"]

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


class Extremes(dict[str, Pattern]):
    """The extremes so far, by name: a page, never changed once it is written, so it can be looked up."""

    def __hash__(self) -> int:  # type: ignore[override]
        """Return a number that equal pages share."""
        return hash(tuple(self.items()))


def writes(name: str, rule: ExtremeRule) -> Rule:
    """Return the rule that writes one extreme on the page."""

    def write(page: Extremes, fmt: FloatFormat) -> Extremes:
        return Extremes(page | {name: rule(fmt)})

    return write


RANGING = Method(
    "",
    "range",
    tuple(Line(name, (name,)) for name in EXTREMES),
    {name: writes(name, rule) for name, rule in EXTREMES.items()},
)


def find_range(question: Question, method: Method = RANGING) -> Working:
    """Return the working that writes the four extremes; the result is the largest positive."""
    fmt = question.format
    trail = method.trail(Extremes(), fmt)
    patterns: Extremes = trail[-1].after
    write = writer(question, method)
    steps = tuple(
        Step(number, line.name, None, after[line.name], write)
        for number, (line, _, after) in enumerate(trail, 1)
    )
    largest = patterns["largest positive"]
    faulty = method.right is not None
    exact = fmt.value(largest_positive(fmt))
    checked = check(exact, "in range", largest, question.course)
    return Working(question, "", steps, "in range", largest, checked, extremes=patterns, faulty=faulty)
