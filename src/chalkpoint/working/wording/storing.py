"""What encoding writes on the board, and what it says of the error of storing a value."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import TypeAlias

from chalkpoint.numbers.bits import shorten, to_bits
from chalkpoint.numbers.exact import write_value
from chalkpoint.working.methods import Method
from chalkpoint.working.question import Question
from chalkpoint.working.speech import for_ear, say_bits
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.costs import absolute_error, relative_error
from chalkpoint.working.wording.rows import mantissa_row, mark_changes, past_range, plural, speak
from chalkpoint.working.written import Row, Written

__all__ = ["writer"]

Line: TypeAlias = tuple[str, str, list[Row]]
TITLES = {
    "size": "Write the size",
    "sign": "Give it its sign",
    "point": "Place the point",
    "fit": "Fit the mantissa",
    "exponent": "Write the exponent",
    "absolute": "Absolute error",
    "relative": "Relative error",
}


def writer(question: Question, method: Method) -> Callable[[Step], Written]:
    """Return what writes a step of storing *question*'s value by *method*."""
    return Writer(question, method).write


class Writer:
    """Writes the steps of one value; a method of it for each line."""

    def __init__(self, question: Question, method: Method) -> None:
        self.question = question
        self.method = method
        self.line = {line.name: line for line in method.lines}
        self.format = question.format
        self.cuts_size = question.course.rounding == "cut size"

    def write(self, step: Step) -> Written:
        """Return *step* as it stands on the board."""
        title, detail, rows = self._line(step)
        ear = for_ear(detail, point=self.question.course.point).rstrip(".")
        spoken = ". ".join([title, ear, *(row.spoken for row in rows)])
        return Written(title, detail, f"{spoken}.", tuple(rows))

    def _line(self, step: Step) -> Line:
        line, course = self.line[step.rule], self.question.course
        if step.rule in self.method.says and self.method.departs(line, step.before, step.after, course):
            return TITLES[step.rule], self.method.says[step.rule], self._faulty_rows(step)
        return getattr(self, f"_{step.rule}")(step)  # type: ignore[no-any-return]

    def _faulty_rows(self, step: Step) -> list[Row]:
        """Return the row a faulty rule left."""
        page, fmt = step.after, self.format
        if step.rule in {"size", "sign"}:
            return [self.digits(step.rule, page.number, page.places, ends=page.ends)]
        if step.rule == "fit":
            return [mantissa_row("kept", page.mantissa, page.exponent, fmt)]
        if step.rule == "exponent" and page.pattern is not None:
            return [mantissa_row("answer", page.pattern.mantissa, page.pattern.exponent, fmt)]
        return []

    def value(self, x: Fraction) -> str:
        """Return *x* as the course writes it."""
        return write_value(x, point=self.question.course.point)

    def digits(
        self, label: str, number: int, places: int, *, ends: bool, value: Fraction | None = None
    ) -> Row:
        """Return a row of fixed-point digits with a sign place, and an ellipsis where they never end."""
        width = max((number if number >= 0 else ~number).bit_length(), places) + 1
        bits = shorten(to_bits(number, width)) + ("" if ends else "\u2026")
        places = min(places, len(bits) - 1) + (0 if ends else 1)
        return Row(
            label=label, bits=bits, places=places, value=value, spoken=f"{label}: {say_bits(bits, places)}"
        )

    def normal_digits(self, label: str, page: object) -> Row:
        """Return the digits written so far from their sign place on, the point behind it."""
        number, ends = page.number, page.ends  # type: ignore[attr-defined]
        width = (number if number >= 0 else ~number).bit_length() + 1
        if self.question.course.underflow == "un-normalised":  # 0s, or 1s, down to the lowest exponent
            width = max(width, page.places + self.format.lowest_exponent + self.format.point)  # type: ignore[attr-defined]
        bits = shorten(to_bits(number, width)) + ("" if ends else "\u2026")
        bits = bits.ljust(
            2, "0"
        )  # -1, -2, -4 ... have a sign bit alone; their second digit is the 0 after it
        return Row(label=label, bits=bits, places=len(bits) - self.format.point)

    # === Lines ===

    def _zero(self, step: Step) -> Line:
        fmt = self.format
        where = "the lowest exponent" if fmt.zero.exponent == fmt.lowest_exponent else "exponent 0"
        detail = f"Zero has no normal form: its mantissa is all 0s, written with {where}."
        return "Zero", detail, [mantissa_row("answer", 0, fmt.zero.exponent, fmt)]

    def _size(self, step: Step) -> Line:
        page = step.after
        row = self.digits("size", page.number, page.places, ends=page.ends, value=abs(page.value))
        said = [f"Write {self.value(abs(page.value))} in fixed-point binary, with a 0 in front for the sign."]
        if not page.ends:
            said.append("The digits never end; a few more are written than will fit.")
        return "Write the size", " ".join(said), [row]

    def _sign(self, step: Step) -> Line:
        return self._sign_mantissa(step) if self.cuts_size else self._sign_digits(step)

    def _sign_digits(self, step: Step) -> Line:
        before, after = step.before, step.after
        old = self.digits("size", before.number, before.places, ends=before.ends)
        new = self.digits("negative", after.number, after.places, ends=after.ends, value=after.value)
        width = max(len(old.bits), len(new.bits))
        if len(new.bits) < width:  # -1/2, -1, -2 ... need no more places than their size: keep its columns
            new = replace(new, bits=new.bits[0] * (width - len(new.bits)) + new.bits)
            new = replace(new, spoken=f"negative: {say_bits(new.bits, new.places)}")
        detail = (
            "The value is negative: invert every bit, then add one in the last place."
            if after.ends
            else "The value is negative: invert every bit. The digits never end, so no place is the last to add one in."
        )
        return "Give it its sign", detail, [replace(old, soft=True), mark_changes(new, old)]

    def _sign_mantissa(self, step: Step) -> Line:
        before, after, fmt = step.before, step.after, self.format
        old = replace(mantissa_row("size", before.mantissa, before.exponent, fmt), soft=True, value=None)
        new = mark_changes(mantissa_row("negative", after.mantissa, after.exponent, fmt), old)
        said = ["The value is negative: invert every bit of what was kept, then add one in the last place."]
        if after.exponent != before.exponent:
            said.append(
                "The first two bits would be alike, so \u22121/2 is written \u22121.0 with an exponent one less."
            )
        return "Give it its sign", " ".join(said), [old, new]

    def _point(self, step: Step) -> Line:
        page = step.after
        places = page.exponent
        row = self.normal_digits("normal form", page)
        stopped = self.question.course.underflow == "un-normalised" and len(set(row.bits[:2])) == 1
        row = speak(replace(row, label="placed" if stopped else row.label, exponent=places))
        moved = (
            f"{plural(abs(places), 'place')} to the {'left' if places > 0 else 'right'}"
            if places
            else "no place at all"
        )
        behind = "the sign bit" if self.format.point == 1 else "the digit after the sign bit"
        exponent = self.value(Fraction(places))
        detail = (
            f"Move the point until it stands behind {behind} and the first two digits differ: {moved}, "
            f"so the exponent is {exponent}."
            if not stopped
            else f"Move the point {moved}, as far as the lowest exponent, {exponent}, allows: an underflow. "
            "This course leaves the pattern un-normalised."
        )
        return "Place the point", detail, [row]

    def _fit(self, step: Step) -> Line:
        before, after, fmt = step.before, step.after, self.format
        old = speak(replace(self.normal_digits("before", before), soft=True))
        kept, lost = old.bits[: fmt.mantissa_bits], old.bits[fmt.mantissa_bits :]
        mantissa = mantissa_row("kept", after.mantissa, after.exponent, fmt)
        new = mark_changes(mantissa, replace(old, bits=kept.ljust(fmt.mantissa_bits, "0")))
        missed = (abs(after.value) if self.cuts_size else after.value) - (mantissa.value or Fraction(0))
        new = speak(replace(new, lost=lost, lost_value=missed, exponent_changed=""))
        return *self._fit_words(after, kept, lost, missed), [old, new]

    def _fit_words(self, after: object, kept: str, lost: str, missed: Fraction) -> tuple[str, str]:
        width, rounding = self.format.mantissa_bits, self.question.course.rounding
        if not lost:
            short = width - len(kept)
            zeros = f"Fill {plural(short, 'place')} on the right with 0s" if short else "Every place is used"
            return f"Fit {width} bits", f"{zeros}: nothing is lost."
        title = f"Cut to {width} bits" if rounding.startswith("cut") else f"Round to {width} bits"
        if not missed:
            return title, f"Keep the first {width} bits: only 0s are cut, so nothing is lost."
        if rounding == "cut":
            return (
                title,
                f"Keep the first {width} bits; the rest fall into the tray, which takes the value down.",
            )
        if rounding == "cut size":
            return title, f"Keep the first {width} bits of the size; the rest fall into the tray."
        tie = (
            "a tie goes to the pattern that ends in 0"
            if rounding == "nearest"
            else "a tie goes away from zero"
        )
        which = "above" if missed < 0 else "below"
        return title, f"Keep {width} bits, rounded to the nearest; {tie}. This time that is the one {which}."

    def _exponent(self, step: Step) -> Line:
        before, after, fmt = step.before, step.after, self.format
        exponent = self.value(Fraction(before.exponent))
        if after.outcome in {"overflow", "underflow"}:
            return after.outcome.capitalize(), past_range(before.exponent, fmt), []
        if before.mantissa == 0:
            return self._zero(step)
        row = mantissa_row("answer", after.pattern.mantissa, after.pattern.exponent, fmt, place_values=True)
        row = replace(row, exponent_changed="1" * fmt.exponent_bits)
        if fmt.holds(before.exponent):
            code = f"{fmt.exponent_bits} bits of two\u2019s complement"
            detail = f"Write {exponent} in {code}: {row.exponent_bits}."
            if fmt.exponent.kind == "excess":
                stored = before.exponent + fmt.exponent.excess
                detail = (
                    f"Add the excess, {fmt.exponent.excess}, and write {stored} in {fmt.exponent_bits} bits: "
                    f"{row.exponent_bits}."
                )
            if fmt.implied:
                detail += " The bit after the sign bit is implied, and is not written."
            return "Write the exponent", detail, [row]
        lowest = self.value(Fraction(fmt.lowest_exponent))
        if before.exponent > fmt.highest_exponent:
            return (
                "Overflow",
                f"The exponent {exponent} is past the highest, {self.value(Fraction(fmt.highest_exponent))}. "
                "This format then writes the end of its range.",
                [row],
            )
        course = (
            "writes zero" if self.question.course.underflow == "zero" else "leaves the pattern un-normalised"
        )
        return (
            "Underflow",
            f"The exponent {exponent} is below the lowest, {lowest}. This course {course}.",
            [row],
        )

    def _absolute(self, step: Step) -> Line:
        page, point = step.after, self.question.course.point
        return absolute_error(page.value, self.format.value(page.pattern), page.absolute, point)

    def _relative(self, step: Step) -> Line:
        page, point = step.after, self.question.course.point
        return relative_error(page.value, page.absolute, page.relative, point)
