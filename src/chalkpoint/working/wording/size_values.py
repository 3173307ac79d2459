"""What reading, storing and changing numbers of sign, exponent and size writes on the board."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from chalkpoint.numbers.bits import shorten, to_bits
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.named import value_or_none
from chalkpoint.numbers.signed import SignMagnitudeFormat
from chalkpoint.working.methods import Method
from chalkpoint.working.question import Question
from chalkpoint.working.speech import for_ear, say_bits
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.costs import absolute_error, relative_error
from chalkpoint.working.wording.reading import fixed_point_row, take_excess, weights_sum, write_fraction
from chalkpoint.working.wording.rows import plural
from chalkpoint.working.wording.size_arithmetic import ROUNDING_WORDS
from chalkpoint.working.wording.size_rows import (
    fields_row,
    says_packed,
    says_past_end,
    says_size,
    size_row,
    speak_size,
)
from chalkpoint.working.written import Row, Written

__all__ = ["writer"]

WHY = {
    "largest positive": "The highest exponent that counts as a number, {exponent}, {full}.",
    "smallest normal": "The lowest exponent, {exponent}, and the smallest size with all its digits.",
    "smallest positive": "The lowest exponent, {exponent}, and the smallest size that is not 0.",
    "largest negative": "The smallest positive number with its sign changed.",
    "most negative": "The largest number with its sign changed: the range is the same on both sides.",
}


TITLES = {
    "exponent": "Read the exponent",
    "size": "Read the size",
    "round": "Round",
    "pack": "Write the fields",
}


def writer(question: Question, method: Method | None = None) -> Callable[[Step], Written]:
    """Return what writes a step of *question*, which *method* worked where there is more than one way."""
    return Writer(question, method).write


class Writer:
    """Writes the steps of one question; a method of it for each line."""

    def __init__(self, question: Question, method: Method | None = None) -> None:
        self.question = question
        self.method = method
        self.says = method.says if method else {}
        self.format: SignMagnitudeFormat = question.format
        self.stem = {"decode": "read_", "encode": "store_", "error": "store_"}.get(
            question.operation.name, ""
        )

    def write(self, step: Step) -> Written:
        """Return *step* as it stands on the board."""
        line = self._extreme if step.rule in WHY else getattr(self, f"_{self.stem}{step.rule}")
        if self._is_faulty(step):
            line = self._faulty
        title, detail, rows = line(step)
        ear = for_ear(detail, point=self.question.course.point).rstrip(".")
        spoken = ". ".join([title, ear, *(row.spoken for row in rows if row.spoken)])
        return Written(title, detail, f"{spoken}.", tuple(rows))

    def value(self, x: Fraction | int) -> str:
        """Return *x* as the course writes it."""
        return write_value(Fraction(x), point=self.question.course.point)

    # === What a belief writes ===

    def _is_faulty(self, step: Step) -> bool:
        """Tell whether a faulty rule wrote *step*."""
        if self.method is None or step.rule not in self.says:
            return False
        (line,) = (line for line in self.method.lines if line.name == step.rule)
        under = self.format if self.stem == "read_" else self.question.course
        return self.method.departs(line, step.before, step.after, under)

    def _faulty(self, step: Step) -> tuple[str, str, list[Row]]:
        """Return what stands beside a line that a faulty rule wrote: its sentence, and what it came to."""
        page, says = step.after, self.says[step.rule]
        rows: list[Row] = []
        if step.rule == "exponent":
            says += f" The exponent is then {self.value(page.exponent)}."
        elif step.rule in {"size", "round"}:
            says += f" The size is then {says_size(page.size, self.format.places)}."
        elif page.pattern is not None:
            rows = [fields_row("answer", page.pattern, self.format)]
        return TITLES[step.rule], says, rows

    # === Reading ===

    def _read_sign(self, step: Step) -> tuple[str, str, list[Row]]:
        (pattern,) = self.question.patterns
        row = replace(fields_row("pattern", pattern, self.format), place_values=True)
        return (
            "Read the sign",
            f"The sign bit is {pattern.sign}: {'minus' if pattern.sign else 'plus'}.",
            [row],
        )

    def _read_special(self, step: Step) -> tuple[str, str, list[Row]]:
        (pattern,) = self.question.patterns
        if self.format.kind(pattern) == "infinity":
            return "Special value", "The exponent is all 1s and the fraction all 0s: this is an infinity.", []
        if self.format.specials == "one nan":
            return "Special value", "Every bit after the sign is 1: this is not a number.", []
        return "Special value", "The exponent is all 1s and the fraction is not 0: this is not a number.", []

    def _read_exponent(self, step: Step) -> tuple[str, str, list[Row]]:
        fmt, page = self.format, step.after
        code = fmt.exponent.write(page.stored)
        if fmt.exponent.kind != "excess":
            total = weights_sum(code, Fraction(1 << (fmt.exponent_bits - 1)))
            true = self.value(page.exponent)
            return (
                "Read the exponent",
                f"{code} = {true}." if total == true else f"{code} = {total} = {true}.",
                [],
            )
        if page.exponent != page.stored:
            excess = fmt.exponent.excess
            detail = (
                f"The stored exponent is 0, which hides no one and counts as 1: 1 \u2212 {excess} = "
                f"{self.value(page.exponent)}."
            )
            return "Read the exponent", detail, []
        return "Read the exponent", take_excess(code, fmt.exponent.excess), []

    def _read_size(self, step: Step) -> tuple[str, str, list[Row]]:
        fmt, page = self.format, step.after
        value = Fraction(page.size, 1 << fmt.places)
        digits = says_size(page.size, fmt.places)
        if page.size == 0:
            return "Read the size", "Every digit is 0.", []
        row = size_row("size", page.sign, page.size, page.exponent, fmt)
        if not fmt.hidden:
            said = f"All digits are written: {digits} = {write_fraction(value)}."
        elif page.size >> fmt.fraction_bits:
            said = f"Put the hidden 1 back in front of the fraction: {digits} = {write_fraction(value)}."
        else:
            said = f"No one is hidden here, so a 0 stands in front of the fraction: {digits} = {write_fraction(value)}."
        return "Read the size", said, [row]

    def _read_scale(self, step: Step) -> tuple[str, str, list[Row]]:
        page, fmt = step.after, self.format
        if page.size == 0:
            sign = "\u22120" if page.sign else "0"
            return "Scale", f"The size is 0, so the value is {sign} whatever the exponent.", []
        size = write_fraction(Fraction(page.size, 1 << fmt.places))
        minus = "\u2212" if page.sign else ""
        detail = f"{minus}{size} × 2^{self.value(page.exponent)} = {self.value(page.value)}."
        if page.exponent:
            way = "right" if page.exponent > 0 else "left"
            detail += f" Or move the point {plural(abs(page.exponent), 'place')} {way}."
        row = replace(fixed_point_row("in binary", abs(page.value)), value=page.value)
        return "Scale", detail, [row]

    # === Storing ===

    def _store_zero(self, step: Step) -> tuple[str, str, list[Row]]:
        row = fields_row("answer", step.after.pattern, self.format)
        return "Zero", "Zero has a pattern of its own, with no 1 in its size.", [row]

    def _store_sign(self, step: Step) -> tuple[str, str, list[Row]]:
        sign = step.after.sign
        word = "negative" if sign else "positive"
        return (
            "Write the sign",
            f"The value is {word}, so the sign bit is {sign}. The rest is about the size.",
            [],
        )

    def _store_digits(self, step: Step) -> tuple[str, str, list[Row]]:
        page = step.after
        detail = f"Write {self.value(abs(page.value))} in fixed-point binary."
        if not page.ends:
            detail += " The digits never end; a few more are written than will fit."
        return "Write the size", detail, [self.digits_row(page)]

    def digits_row(self, page: object) -> Row:
        """Return the row of the size in fixed point, an ellipsis where its digits never end."""
        number, places, ends = page.number, page.places, page.ends  # type: ignore[attr-defined]
        bits = shorten(to_bits(number, max(number.bit_length(), places + 1))) + ("" if ends else "\u2026")
        places = min(places, len(bits) - 1) + (0 if ends else 1)
        return Row(label="size", bits=bits, places=places, spoken=f"size: {say_bits(bits, places)}")

    def _store_point(self, step: Step) -> tuple[str, str, list[Row]]:
        page, fmt = step.after, self.format
        exponent = page.exponent
        moved = (
            f"{plural(abs(exponent), 'place')} to the {'left' if exponent > 0 else 'right'}"
            if exponent
            else "no place"
        )
        which = "in front of" if fmt.point_first else "behind"
        detail = (
            f"Move the point until it stands {which} the first 1: "
            f"{moved}, so the exponent is {self.value(exponent)}."
        )
        unit = Fraction(2) ** (exponent + (0 if fmt.point_first else 1))
        if abs(page.value) < unit / 2:
            detail = (
                f"The exponent stops at the lowest, {self.value(exponent)}, before the first 1 stands "
                f"{which} the point: the number is subnormal."
            )
        return "Place the point", detail, []

    def _store_round(self, step: Step) -> tuple[str, str, list[Row]]:
        before, after, fmt = step.before, step.after, self.format
        kept, lost = self._cut(before)
        row = size_row("rounded", before.sign, after.size, after.exponent, fmt)
        row = speak_size(replace(row, lost=lost))
        missed = abs(after.value) - abs(row.value or 0)
        row = replace(row, lost_value=missed)
        if not missed:
            return f"Fit {fmt.digits} digits", "Every digit fits: nothing is lost.", [row]
        said = [f"Round {ROUNDING_WORDS[self.question.course.rounding]}."]
        said.append(
            "This time the size grows by one unit in the last place."
            if after.carried or after.size > kept
            else "This time the size stays as it is."
        )
        if after.carried:
            said.append("The carry makes a further digit, so the exponent grows by 1.")
        return f"Round to {fmt.digits} digits", " ".join(said), [row]

    def _cut(self, page: object) -> tuple[int, str]:
        """Return the digits that fit, as a number, and those past them."""
        number, places, ends = page.number, page.places, page.ends  # type: ignore[attr-defined]
        past = places - (self.format.places - page.exponent)  # type: ignore[attr-defined]
        if past <= 0:
            return number << -past, "" if ends else "\u2026"
        return number >> past, shorten(to_bits(number, past)) + ("" if ends else "\u2026")

    def _store_pack(self, step: Step) -> tuple[str, str, list[Row]]:
        page, fmt = step.after, self.format
        exponent = self.value(page.exponent)
        if page.pattern is None:
            word = page.outcome
            bound = fmt.highest_exponent if word == "overflow" else fmt.lowest_exponent
            detail = (
                f"The exponent {exponent} and this size lie past the end, "
                f"at {self.value(bound)}. The answer is the word {word}."
            )
            return word.capitalize(), detail, []
        row = fields_row("answer", page.pattern, fmt)
        if not fmt.holds(page.size, page.exponent) and page.exponent >= fmt.highest_exponent:
            written = says_past_end(page.pattern, fmt)
            return "Overflow", f"The number is past the largest: what is written is {written}.", [row]
        return "Write the fields", says_packed(page.pattern, page.size, page.exponent, fmt), [row]

    def _store_absolute(self, step: Step) -> tuple[str, str, list[Row]]:
        exact, stored = step.after.value, self.format.value(step.after.pattern)
        return absolute_error(exact, stored, abs(exact - stored), self.question.course.point)

    def _store_relative(self, step: Step) -> tuple[str, str, list[Row]]:
        exact = step.after.value
        size = abs(exact - self.format.value(step.after.pattern))
        return relative_error(exact, size, size / abs(exact), self.question.course.point)

    # === Range, sign and normal form ===

    def _extreme(self, step: Step) -> tuple[str, str, list[Row]]:
        pattern, fmt = step.after, self.format
        exponent = fmt.true_exponent(pattern.exponent)
        digits = says_size(fmt.size(pattern.exponent, pattern.fraction), fmt.places)
        minus = "\u2212" if pattern.sign else ""
        full = "and every digit of the size 1"
        if fmt.specials == "one nan":
            full = "and the largest size that is not kept for what is not a number"
        why = WHY[step.rule].format(exponent=self.value(exponent), full=full)
        detail = f"{why} {minus}{digits} × 2^{self.value(exponent)} = {self.value(fmt.value(pattern))}."
        return step.rule.capitalize(), detail, [fields_row("pattern", pattern, fmt)]

    def _negate(self, step: Step) -> tuple[str, str, list[Row]]:
        rows = [replace(fields_row("before", step.before, self.format), soft=True)]
        rows.append(fields_row("answer", step.after, self.format))
        return "Change the sign", "Only the sign bit changes; the size has no sign of its own.", rows

    def _normalise(self, step: Step) -> tuple[str, str, list[Row]]:
        moved = step.before.exponent - step.after.exponent
        rows = [replace(fields_row("before", step.before, self.format), soft=True)]
        rows.append(replace(fields_row("answer", step.after, self.format), moved=-moved))
        if value_or_none(self.format, step.after) == 0:
            return "Normalise", "Zero has no normal form.", rows
        if not moved:
            return "Normalise", "The first digit of the size is 1, so it is normalised.", rows
        detail = (
            f"Move the digits left {plural(moved, 'place')}, until "
            f"the first is 1, and take {moved} from the exponent."
        )
        return "Normalise", detail, rows
