"""Range: the four extreme values of a format, each by its own rule."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, TypeAlias

from chalkpoint.numbers.formats import FloatFormat, Pattern
from chalkpoint.numbers.named import AnyFormat, AnyPattern
from chalkpoint.working.methods import Line, Method, Rule

__all__ = ["EXTREMES", "RANGING", "Extremes", "ranging_method", "writes"]

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


class Extremes(dict[str, AnyPattern]):
    """The extremes so far, by name: a page, never changed once it is written, so it can be looked up."""

    def __hash__(self) -> int:  # type: ignore[override]
        """Return a number that equal pages share."""
        return hash(tuple(self.items()))


def writes(name: str, rule: Callable[[Any], AnyPattern]) -> Rule:
    """Return the rule that writes one extreme on the page."""

    def write(page: Extremes, fmt: AnyFormat) -> Extremes:
        return Extremes(page | {name: rule(fmt)})

    return write


def ranging_method(extremes: Mapping[str, Callable[[Any], AnyPattern]]) -> Method:
    """Return how the range of a format is found: a line an extreme, each by its own rule."""
    lines = tuple(Line(name, (name,)) for name in extremes)
    return Method("", "range", lines, {name: writes(name, rule) for name, rule in extremes.items()})


RANGING = ranging_method(EXTREMES)
