"""The check: the exact answer, what the format could have held, and a verdict on the working."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from chalkpoint.numbers.fitting import fit, nearest_patterns
from chalkpoint.numbers.formats import FloatFormat, Pattern, scaled
from chalkpoint.numbers.rounding import ROUNDINGS
from chalkpoint.working.course import Course

__all__ = ["VERDICTS", "Check", "by_rule", "check"]

VERDICTS = (
    "exact",
    "truncation error",
    "representation error",
    "representation and truncation error",
    "overflow",
    "underflow",
)


@dataclass(frozen=True, slots=True)
class Check:
    """The exact answer laid beside the working's result.

    exact     the exact answer x
    result    the working's pattern, or None where its outcome is a word
    nearest   the pattern nearest to x, or both at a tie (the lower first)
    by_rule   x itself brought into the format by the course's rounding, or None where that is a word
    verdict   one of VERDICTS
    fits      whether x has a normalised pattern (or is zero)
    """

    format: FloatFormat
    exact: Fraction
    result: Pattern | None
    nearest_patterns: tuple[Pattern, ...]
    by_rule_pattern: Pattern | None
    verdict: str
    fits: bool

    @property
    def nearest(self) -> list[str]:
        """The nearest pattern in bits; two at a tie."""
        return [self.format.write(pattern) for pattern in self.nearest_patterns]

    @property
    def by_rule(self) -> str | None:
        """The pattern by the course's rounding, in bits."""
        return None if self.by_rule_pattern is None else self.format.write(self.by_rule_pattern)

    @property
    def value(self) -> Fraction | None:
        """The value of the working's result."""
        return None if self.result is None else self.format.value(self.result)

    @property
    def error(self) -> Fraction | None:
        """X minus the result, with its sign."""
        return None if self.value is None else self.exact - self.value

    @property
    def unavoidable_error(self) -> Fraction:
        """The part no pattern can avoid: the distance from x to the nearest."""
        return abs(self.exact - self.format.value(self.nearest_patterns[0]))

    @property
    def relative_error(self) -> Fraction | None:
        """The size of the error against the size of x; None where x is zero."""
        return None if self.error is None or self.exact == 0 else abs(self.error / self.exact)

    @property
    def unit(self) -> Fraction | None:
        """The unit in the last place of the result; None for zero, whose exponent means nothing."""
        if self.result is None or self.result.mantissa == 0:
            return None
        return scaled(1, self.result.exponent - self.format.places)

    @property
    def error_ulps(self) -> Fraction | None:
        """The size of the error in units in the last place of the result."""
        if self.error is None or self.unit is None:
            return Fraction(0) if self.error == 0 else None
        return abs(self.error) / self.unit

    @property
    def nearer_than_rule(self) -> bool:
        """Whether the working came out nearer to x than the course's own rounding of x would."""
        if self.error is None or self.by_rule_pattern is None:
            return False
        return abs(self.error) < abs(self.exact - self.format.value(self.by_rule_pattern))


def by_rule(x: Fraction, course: Course) -> Pattern | None:
    """Return *x* brought into the course's format by its rounding; None where that is a word.

    >>> by_rule(Fraction(-53, 10), Course())
    Pattern(mantissa=-85, exponent=3)
    """
    fmt = course.number_format
    if x == 0:
        return fmt.zero
    fitted = fit(x, fmt, ROUNDINGS[course.rounding])
    if fitted.exponent > fmt.highest_exponent:
        return None
    if fitted.exponent >= fmt.lowest_exponent:
        return Pattern(fitted.mantissa, fitted.exponent)
    if course.underflow == "zero":
        return fmt.zero
    if course.underflow == "un-normalised":
        unit = scaled(1, fmt.lowest_exponent - fmt.places)
        floor, rest = divmod(x, unit)
        up = ROUNDINGS[course.rounding](floor, rest.numerator, rest.denominator) if rest else 0
        return Pattern(floor + up, fmt.lowest_exponent) if floor + up else fmt.zero
    return None


def check(x: Fraction, outcome: str, result: Pattern | None, course: Course) -> Check:
    """Return the check of a working that ended in *outcome* and *result* where the answer is *x*.

    >>> check(Fraction(83, 16), "in range", Pattern(84, 3), Course()).verdict
    'truncation error'
    """
    fmt = course.number_format
    nearest = nearest_patterns(x, fmt)
    fits = len(nearest) == 1 and fmt.value(nearest[0]) == x
    rule = nearest[0] if fits else by_rule(x, course)
    if result is None:
        verdict = outcome
    else:
        value = fmt.value(result)
        if value == x:
            verdict = "exact"
        elif fits:
            verdict = "truncation error"
        elif any(value == fmt.value(pattern) for pattern in ((*nearest, rule) if rule else nearest)):
            verdict = "representation error"
        else:
            verdict = "representation and truncation error"
    return Check(fmt, x, result, nearest, rule, verdict, fits)
