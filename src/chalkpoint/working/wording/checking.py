"""The check as a class does it: in decimal, in fixed-point binary, in the format, beside the result."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from chalkpoint.numbers.exact import is_dyadic, write_percent, write_value
from chalkpoint.numbers.fitting import is_beyond
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.numbers.hexadecimal import to_hexadecimal
from chalkpoint.numbers.named import value_or_none
from chalkpoint.working.question import show_pattern
from chalkpoint.working.speech import for_ear
from chalkpoint.working.steps import Loss
from chalkpoint.working.wording.heading import bracketed
from chalkpoint.working.wording.reading import fixed_point_row
from chalkpoint.working.wording.rows import plural
from chalkpoint.working.worked import Worked

__all__ = ["CheckWords", "write_check"]

TITLE = "Check in decimal"
MOST_UNITS = 10**18  # written in digits; more run on in powers of two
LARGEST_PART = 64  # denominators up to this are written as a fraction of a unit


@dataclass(frozen=True, slots=True)
class CheckWords:
    """What is written for the check.

    title    "Check in decimal"
    detail   one or two sentences: the exact answer, and whether it fits
    lines    (label, text) pairs, written under each other
    verdict  the verdict in a few words, such as "Truncation error: 0.0625"
    reasons  sentences: how large, made where, and what no pattern could avoid
    spoken   all of it for the ear
    """

    title: str
    detail: str
    lines: tuple[tuple[str, str], ...]
    verdict: str
    reasons: tuple[str, ...]
    spoken: str


def write_check(working: Worked) -> CheckWords:
    """Return the check of *working* in words."""
    return Writer(working).write()


def lost_what(loss: Loss, *, zero: bool) -> str:
    """Return what a step did that cost something; *zero*: the result is 0."""
    return f"lost {loss.bits}" if loss.bits else f"wrote {'zero' if zero else 'the end of the range'}"


class Writer:
    """Writes the check of one working."""

    def __init__(self, working: Worked) -> None:
        self.working = working
        self.check = working.check
        self.question = working.question
        self.point = working.question.course.point

    def write(self) -> CheckWords:
        """Return everything that is written."""
        detail, verdict = self.detail(), self.verdict()
        reasons = tuple(self.reasons())
        heard = [TITLE, detail, verdict, *reasons]
        spoken = " ".join(f"{for_ear(part, point=self.point).rstrip('.')}." for part in heard)
        return CheckWords(TITLE, detail, tuple(self.lines()), verdict, reasons, spoken)

    # === Pieces ===

    def value(self, x: Fraction) -> str:
        """Return *x* as the course writes it."""
        return write_value(x, point=self.point)

    def pattern(self, pattern: Any) -> str:
        """Return *pattern* as the course writes it in a sentence."""
        fmt, course = self.check.format, self.question.course
        bits: str = fmt.write(pattern, point=course.binary_point == "shown")
        return f"{bits} ({to_hexadecimal(bits)})" if course.hexadecimal == "shown" else bits

    def sum_in_decimal(self) -> str:
        """Return the operation in decimal, up to the exact answer."""
        question = self.question.about or self.question
        exact = self.special() or self.value(self.check.exact)
        if question.operation.sign:
            first, *rest = question.shown
            between = f" {question.operation.sign} "
            return f"{between.join([first, *(bracketed(text) for text in rest)])} = {exact}"
        if question.operation.name == "negate":
            return f"\u2212{bracketed(question.shown[0])} = {exact}"
        return exact

    def special(self) -> str:
        """Return the word for an exact answer that is an infinity or not a number, else ""."""
        return self.check.special.replace("minus ", "\u2212")

    # === Detail ===

    def detail(self) -> str:
        """Return the exact answer, and whether it has a pattern."""
        name = self.question.operation.name
        if name == "range":
            return "Reading each pattern back gives the value beside it."
        if self.check.special:
            return f"{self.sum_in_decimal()}."
        if name == "decode":
            both = (
                "Both ways of scaling give"
                if isinstance(self.check.format, FloatFormat)
                else "The pattern stands for"
            )
            return f"{both} {self.value(self.check.exact)}."
        if name == "choose-format":
            return f"The highest value is stored as {self.pattern(self.check.nearest_patterns[0])}."
        if name == "normalise" and self.check.result is not None:
            return f"The value is {self.value(self.check.exact)} before and after."
        return f"{self.sum_in_decimal()}{self.whether_it_fits()}"

    def whether_it_fits(self) -> str:
        """Return what goes on from the exact answer: its pattern, or the nearest where it has none."""
        check = self.check
        takes = (self.question.about or self.question).operation.takes
        asked = takes in {"values", "pattern and format"}
        if check.exact == 0 or check.special:
            return "."
        if check.fits:
            missed = " The working missed it." if check.verdict != "exact" else ""
            fits = " fits, as" if asked else ", and its pattern fits:"
            return f"{fits} {self.pattern(check.nearest_patterns[0])}.{missed}"
        if check.verdict == "exact":
            return f"{'' if asked else ', which'} has no normalised pattern; left un-normalised it is held exactly."
        has_none = f"{'' if asked else ', which'} has no pattern"
        if self.beyond():
            return f"{has_none}: it lies beyond the last, {self.read_back(check.nearest_patterns[0])}."
        if len(check.nearest_patterns) == 2:
            low, high = map(self.pattern, check.nearest_patterns)
            return f"{has_none}: it lies halfway between {low} and {high}."
        return f"{has_none}: the nearest is {self.pattern(check.nearest_patterns[0])}."

    def beyond(self) -> bool:
        """Return whether the exact answer lies past the largest or the most negative pattern."""
        return is_beyond(self.check.exact, self.check.format)

    def read_back(self, pattern: Any) -> str:
        """Return a pattern and its value, or the word for it."""
        return f"{self.pattern(pattern)} = {show_pattern(self.check.format, pattern, self.point)}"

    # === Lines ===

    def lines(self) -> list[tuple[str, str]]:
        """Return what a class writes to check: in decimal, in binary, in the format, beside the result."""
        check, question = self.check, self.question
        if question.operation.name == "range":
            return []
        said: list[tuple[str, str]] = []
        if question.operation.sign:
            said += zip(question.names, question.shown, strict=True)
        said.append(("in decimal", self.sum_in_decimal()))
        if is_dyadic(check.exact) and not check.special:
            row = fixed_point_row("", check.exact)
            whole, fraction = row.bits[: len(row.bits) - row.places], row.bits[len(row.bits) - row.places :]
            said.append(("in binary", f"{whole}.{fraction}" if fraction else whole))
        said += self.fitted_lines()
        if check.result is not None:
            said.append(("worked", self.read_back(check.result)))
        else:
            said.append(("worked", self.working.outcome))
        return said

    def fitted_lines(self) -> list[tuple[str, str]]:
        """Return the exact answer brought into the format: its own pattern, or the rule's and the nearest."""
        check, fmt = self.check, self.check.format
        if check.special:
            return []
        if check.fits:
            return [(f"in {fmt}", f"{self.pattern(check.nearest_patterns[0])}, which fits")]
        rule = check.by_rule_pattern
        by_rule = self.read_back(rule) if rule else "out of range"
        if rule is not None and check.nearest_patterns == (rule,):
            return [("nearest", f"{by_rule}, and the course\u2019s rule")]
        return [
            ("by rule", by_rule),
            *(("nearest", self.read_back(pattern)) for pattern in check.nearest_patterns),
        ]

    # === Verdict ===

    def verdict(self) -> str:
        """Return the verdict in a few words."""
        check = self.check
        if self.working.faulty:
            return self.faulty_verdict()
        if check.verdict == "exact":
            return "Exact"
        if check.error is None:
            return check.verdict.capitalize()
        return f"{check.verdict.capitalize()}: {self.value(abs(check.error))}"

    def faulty_verdict(self) -> str:
        """Return what a faulty working comes to: no rounding is to blame for it."""
        error = self.check.error
        if error is None:
            return f"Not {self.value(self.check.exact)}"
        return f"Out by {self.value(abs(error))}" if error else "The value is right"

    def reasons(self) -> list[str]:
        """Return why: where the error was made, how large it is, what no pattern could avoid."""
        check = self.check
        if self.working.faulty:
            return []
        if check.error is None:
            return [] if check.special else self.reasons_out_of_range()
        if not check.error:
            return ["What was lost on the way cancelled out."] if self.working.losses else []
        return [
            *self.where(),
            *self.how_large(),
            *self.what_was_open(),
        ]

    def reasons_out_of_range(self) -> list[str]:
        """Return whether the exact answer would have been in range."""
        check = self.check
        if check.fits:
            return [
                f"The exact answer would have fitted, as {self.pattern(check.nearest_patterns[0])}: "
                "bits lost on the way took the working out of range."
            ]
        rule = check.by_rule_pattern
        if rule is not None and value_or_none(check.format, rule) is not None:
            return [
                "The exact answer, cut once, would have been in range: bits lost on the way took the working out."
            ]
        return []

    def where(self) -> list[str]:
        """Return a sentence for the error, or for each part of it, traced to its step and bits."""
        losses = self.working.losses
        if len(losses) == 1:
            return [f"{self.units()}, made in step {losses[0].step} {self.by_digits(losses[0])}."]
        zero = self.check.value == 0
        parts = [
            f"Step {loss.step} {lost_what(loss, zero=zero)}, which {'took' if loss.worth > 0 else 'put'} "
            f"{self.value(abs(loss.worth))} {'from' if loss.worth > 0 else 'on'} the answer."
            for loss in losses
        ]
        return [f"{self.units()} in all.", *parts] if parts else [f"{self.units()}."]

    def units(self) -> str:
        """Return the error in units in the last place of the result."""
        ulps = self.check.error_ulps
        if ulps is None:
            return "The result is zero, which has no unit in the last place"
        if ulps == 1:
            return "One unit in the last place"
        if ulps.denominator == 1 and ulps < MOST_UNITS:
            return f"{plural(int(ulps), 'unit')} in the last place"
        if ulps.denominator > LARGEST_PART or ulps >= MOST_UNITS:
            return f"{self.value(ulps)} {'units' if ulps > 1 else 'of a unit'} in the last place"
        if ulps > 1:
            return f"{ulps.numerator // ulps.denominator} {ulps % 1} units in the last place"
        return f"{ulps} of a unit in the last place"

    def by_digits(self, loss: Loss) -> str:
        """Return by which digits a loss was made."""
        if not loss.bits:
            return "by writing zero" if self.check.value == 0 else "by writing the end of the range"
        if loss.rule in {"cut", "fit", "round"} and self.rounded_up(loss):
            return f"by rounding {loss.bits} up"
        if "\u2026" in loss.bits:
            return f"where the tail {loss.bits} was cut"
        return "by the lost 1" if loss.bits.count("1") == 1 else f"by the lost 1s of {loss.bits}"

    def rounded_up(self, loss: Loss) -> bool:
        """Return whether a loss was a rounding to the pattern above."""
        if loss.rule == "round":  # of a size
            return abs(self.check.value or Fraction(0)) > abs(self.check.exact)
        rounding = {"exact-then-nearest": "nearest"}.get(self.working.method, self.working.method)
        return rounding.startswith("nearest") and loss.worth < 0

    def how_large(self) -> list[str]:
        """Return the relative error, as a division and as a percentage."""
        check = self.check
        if check.relative_error is None or check.error is None:
            return []
        ratio = check.relative_error
        percent = write_percent(ratio, point=self.point)
        error, exact = (bracketed(self.value(abs(x))) for x in (check.error, check.exact))
        division = f"{error} ÷ {exact}"
        if max(ratio.numerator.bit_length(), ratio.denominator.bit_length()) > 40:
            return [f"Relative error {division}, {percent}."]
        return [f"Relative error {division} = {self.value(ratio)}, {percent}."]

    def what_was_open(self) -> list[str]:
        """Return what any pattern would have cost, and whether the working did better than the rule."""
        check = self.check
        if check.fits or check.error is None:
            return []
        said = []
        if abs(check.error) > check.unavoidable_error:
            said.append(f"No pattern comes nearer than {self.value(check.unavoidable_error)}.")
        else:
            said.append("No pattern comes nearer.")
        if check.nearer_than_rule:
            said.append("It happens to be nearer than the exact answer brought in by the course\u2019s rule.")
        return said
