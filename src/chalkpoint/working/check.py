"""The check: the exact answer, what the format could have held, and a verdict on the working."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from chalkpoint.numbers.fitting import nearest_patterns
from chalkpoint.numbers.named import AnyFormat, AnyPattern, value_or_none
from chalkpoint.working.bringing import by_rule
from chalkpoint.working.course import Course

__all__ = ["NO_ANSWER", "Check", "by_rule", "check", "check_special"]

#: In the place of an exact answer where there is none: what the format writes for it is the end of its range.
NO_ANSWER = "no answer"


@dataclass(frozen=True, slots=True)
class Check:
    """The exact answer laid beside the working's result.

    exact     the exact answer x
    result    the working's pattern, or None where its outcome is a word
    nearest   the pattern nearest to x, or both at a tie (the lower first); where the course leaves an
              underflow un-normalised, patterns left so count too
    by_rule   x itself brought into the format by the course's rounding, or None where that is a word
    verdict   "exact", "truncation error", "representation error", "representation and truncation error", "overflow",
              "underflow" or "not a number"
    fits      whether x has a normalised pattern (or is zero)
    special   "infinity", "minus infinity" or "not a number" where that is the exact answer, "no answer" where there
              is none, as to a division by zero; x is then 0 for want of a value; else ""

    >>> from chalkpoint.working.work import work
    >>> work("subtract", "8.875", "3.6875").check.exact
    Fraction(83, 16)
    """

    format: AnyFormat
    exact: Fraction
    result: AnyPattern
    nearest_patterns: tuple[AnyPattern, ...]
    by_rule_pattern: AnyPattern
    verdict: str
    fits: bool
    special: str = ""

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
        return None if self.result is None else value_or_none(self.format, self.result)

    @property
    def error(self) -> Fraction | None:
        """X minus the result, with its sign; None where either has no value."""
        return None if self.value is None or self.special else self.exact - self.value

    @property
    def unavoidable_error(self) -> Fraction:
        """The part no pattern can avoid: the distance from x to the nearest."""
        if not self.nearest_patterns:
            return Fraction(0)
        nearest: Fraction = self.format.value(self.nearest_patterns[0])
        return abs(self.exact - nearest)

    @property
    def relative_error(self) -> Fraction | None:
        """The size of the error against the size of x; None where x is zero."""
        return None if self.error is None or self.exact == 0 else abs(self.error / self.exact)

    @property
    def unit(self) -> Fraction | None:
        """The unit in the last place of the result; None for zero, whose exponent means nothing."""
        if self.result is None:
            return None
        unit: Fraction | None = self.format.unit(self.result)
        return unit

    @property
    def error_ulps(self) -> Fraction | None:
        """The size of the error in units in the last place of the result."""
        if self.error is None or self.unit is None:
            return Fraction(0) if self.error == 0 else None
        return abs(self.error) / self.unit

    @property
    def taken_out(self) -> bool:
        """Whether only digits lost on the way took the working out of range: the exact answer is in it."""
        if self.result is not None:
            return False
        rule = self.by_rule_pattern
        return self.fits or (rule is not None and value_or_none(self.format, rule) is not None)

    @property
    def nearer_than_rule(self) -> bool:
        """Whether the working came out nearer to x than the course's own rounding of x would."""
        if self.error is None or self.by_rule_pattern is None:
            return False
        rule = value_or_none(self.format, self.by_rule_pattern)
        return rule is not None and abs(self.error) < abs(self.exact - rule)


def check(x: Fraction, outcome: str, result: AnyPattern, course: Course) -> Check:
    """Return the check of a working that ended in *outcome* and *result* where the answer is *x*.

    >>> from chalkpoint.numbers.formats import Pattern
    >>> check(Fraction(83, 16), "in range", Pattern(84, 3), Course()).verdict
    'truncation error'
    """
    fmt = course.number_format
    nearest = nearest_patterns(x, fmt)
    fits = len(nearest) == 1 and fmt.value(nearest[0]) == x
    if not fits and course.underflow == "un-normalised":
        nearest = nearest_patterns(x, fmt, unnormalised=True)
    rule = nearest[0] if fits else by_rule(x, course)
    value = None if result is None else value_or_none(fmt, result)
    if value is None:
        verdict = outcome if result is None else "overflow"
    elif value == x:
        verdict = "exact"
    elif fits:
        verdict = "truncation error"
    elif abs(x) > abs(value) and course.overflow != "word" and _was_past_end(x, result, course):
        verdict = "overflow"
    elif any(value == value_or_none(fmt, pattern) for pattern in ((*nearest, rule) if rule else nearest)):
        verdict = "representation error"
    else:
        verdict = "representation and truncation error"
    return Check(fmt, x, result, nearest, rule, verdict, fits)


def _was_past_end(x: Fraction, result: AnyPattern, course: Course) -> bool:
    """Tell whether *result* is the end of the range, written for want of a pattern for *x*."""
    is_nearest = nearest_patterns(x, course.number_format) == (result,)
    return is_nearest and by_rule(x, course.with_(overflow="word")) is None


def check_special(special: str, result: AnyPattern, course: Course) -> Check:
    """Return the check of a working whose exact answer is an infinity or not a number, or that has none."""
    verdict = {"not a number": special, NO_ANSWER: "overflow"}.get(special, "exact")
    return Check(course.number_format, Fraction(0), result, (), result, verdict, fits=True, special=special)
