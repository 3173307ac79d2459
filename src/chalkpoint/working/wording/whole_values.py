"""What reading, storing and negating whole and fixed-point numbers writes on the board."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import ClassVar

from chalkpoint.numbers.bits import shorten, to_bits, with_point
from chalkpoint.numbers.exact import is_dyadic
from chalkpoint.working.methods import Method
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Step
from chalkpoint.working.wording import whole
from chalkpoint.working.wording.costs import absolute_error, relative_error
from chalkpoint.working.wording.reading import take_excess, weights_sum
from chalkpoint.working.wording.rows import differences, plural
from chalkpoint.working.wording.whole import PLACES_PAST_THE_CUT
from chalkpoint.working.written import Row, Written

__all__ = ["writer"]

EXTREMES = frozenset({"largest positive", "smallest positive", "largest negative", "most negative"})


def writer(question: Question, method: Method | None = None) -> Callable[[Step], Written]:
    """Return what writes a step of *question*, which *method* worked where there is more than one way."""
    return Writer(question, method).write


class Writer(whole.Writer):
    """Writes the steps of one question; a method of it for each line."""

    titles: ClassVar[dict[str, str]] = {
        "weigh": "Read the bits",
        "scale": "Place the point",
        "size": "Write the size",
        "code": "Write the bits",
    }

    @property
    def works_under(self) -> object:
        """What the rules of the operation are given beside the page."""
        return self.question.course if self.question.operation.name in {"encode", "error"} else self.format

    def faulty_rows(self, step: Step) -> list[Row]:
        """Return the rows a faulty rule left."""
        if step.rule == "weigh":
            (bits,) = self.question.patterns
            return [self.row("pattern", bits, step.after.number)]
        if step.rule == "scale":
            return []
        if step.rule == "size":
            return [self._size_row(abs(step.after.value))[0]]
        return [self.row("answer", step.after.pattern)]

    def line(self, step: Step) -> tuple[str, str, list[Row]]:
        """Return title, sentence and rows of *step*."""
        return self._extreme(step) if step.rule in EXTREMES else super().line(step)

    def _weigh(self, step: Step) -> tuple[str, str, list[Row]]:
        (bits,) = self.question.patterns
        field = self.format.field
        number = step.after.number
        row = replace(self.row("pattern", bits, number), place_values=field.kind != "sign and magnitude")
        return "Read the bits", self._weighed(bits, number), [row]

    def _weighed(self, bits: str, number: int) -> str:
        kind, top = self.format.field.kind, Fraction(1 << (len(bits) - 1))
        shown = self.value(number)
        if kind == "excess":
            return take_excess(bits, self.format.field.excess)
        if kind == "sign and magnitude":
            sign = "minus" if bits[0] == "1" else "plus"
            size = weights_sum("0" + bits[1:], top)
            return f"The first bit is the sign, {sign}; the rest is the size, {size}: {shown}."
        if kind == "ones' complement" and bits[0] == "1":
            turned = bits.translate(str.maketrans("01", "10"))
            return (
                "The first bit is 1, so it is negative: invert every "
                f"bit, {turned} = {abs(number)}, and put a minus: {shown}."
            )
        total = weights_sum("0" + bits, 2 * top) if self.unsigned else weights_sum(bits, top)
        leading = (
            "Every place counts positive" if self.unsigned else f"The leading bit weighs {self.value(-top)}"
        )
        return f"{leading}: {total}." if total == shown else f"{leading}: {total} = {shown}."

    def _scale(self, step: Step) -> tuple[str, str, list[Row]]:
        places, number = self.format.places, step.after.number
        value = Fraction(number, 1 << places)
        detail = (
            f"The point stands before the last {plural(places, 'place')}: "
            f"{self.value(number)} ÷ {1 << places} = {self.value(value)}."
        )
        return "Place the point", detail, []

    def _size(self, step: Step) -> tuple[str, str, list[Row]]:
        size = abs(step.before.value)
        row, ends = self._size_row(size)
        detail = f"Write {self.value(size)} in binary."
        return "Write the size", detail if ends else f"{detail} The digits never end.", [row]

    def _size_row(self, size: Fraction) -> tuple[Row, bool]:
        """Return the row of a size in fixed point, and whether its digits end."""
        ends = is_dyadic(size)
        places = size.denominator.bit_length() - 1 if ends else self.format.places + PLACES_PAST_THE_CUT
        number = (size.numerator << places) // size.denominator
        bits = to_bits(number, max(number.bit_length(), places + 1)) + ("" if ends else "\u2026")
        return self.row("size", bits, places=places + (0 if ends else 1)), ends

    def _fit(self, step: Step) -> tuple[str, str, list[Row]]:
        number, places = step.after.number, self.format.places
        width = max(abs(number).bit_length(), places + 1)
        lost = self._lost_digits(abs(step.before.value))
        missed = abs(step.before.value) - abs(number) * self.format.unit_value
        row = self.row("kept", to_bits(abs(number), width), abs(number), lost=lost, lost_value=missed)
        words = {
            "cut": "the pattern is cut, toward minus infinity",
            "cut size": "the size is cut",
            "nearest": "rounded to the nearest, ties to the pattern that ends in 0",
            "nearest away": "rounded to the nearest, ties away from zero",
        }[self.question.course.rounding]
        return "Fit", f"Keep {plural(places, 'place')} after the point: {words}.", [row]

    def _lost_digits(self, size: Fraction) -> str:
        places, ends = self.format.places, is_dyadic(size)
        past = size.denominator.bit_length() - 1 - places if ends else PLACES_PAST_THE_CUT
        number = (size.numerator << (places + past)) // size.denominator
        return shorten(to_bits(number, past)) + ("" if ends else "\u2026")

    def _code(self, step: Step) -> tuple[str, str, list[Row]]:
        fmt, number, pattern = self.format, step.after.number, step.after.pattern
        field = fmt.field
        if not field.holds(number):
            ends = [self.value(fmt.unit_value * end) for end in (field.lowest, field.highest)]
            said = f"{fmt} holds {ends[0]} to {ends[1]}: overflow."
            if pattern is None:
                return "Overflow", f"{said} No bits are written.", []
            return "Overflow", f"{said} The end of the range is written.", [self.row("answer", pattern)]
        row = self.row("answer", pattern, number, place_values=True)
        return "Write the bits", self._coded(number), [row]

    def _coded(self, number: int) -> str:
        field, bits = self.format.field, self.format.bits
        if field.kind == "excess":
            return (
                f"Add the excess, {self.value(number)} + {field.excess} "
                f"= {number + field.excess}, and write it in {bits} bits."
            )
        if number >= 0:
            return f"Fill {bits} bits with 0s on the left."
        return {
            "sign and "
            "magnitude": f"Fill {bits} bits with 0s on the left; the value is negative, so the first bit is 1.",
            "ones' complement": f"Fill {bits} bits with 0s on the left; the value is negative: invert every bit.",
        }.get(
            field.kind,
            f"Fill {bits} bits with 0s on the left; the value is "
            "negative: invert every bit, then add one in the last place.",
        )

    def _absolute(self, step: Step) -> tuple[str, str, list[Row]]:
        exact, stored = step.after.value, self.format.value(step.after.pattern)
        return absolute_error(exact, stored, abs(exact - stored), self.question.course.point)

    def _relative(self, step: Step) -> tuple[str, str, list[Row]]:
        exact = step.after.value
        size = abs(exact - self.format.value(step.after.pattern))
        return relative_error(exact, size, size / abs(exact), self.question.course.point)

    def _opposite(self, step: Step) -> tuple[str, str, list[Row]]:
        before, after = step.before, step.after
        kind = self.format.field.kind
        old = self.row("pattern", before, soft=True)
        wrong = after is not None and self.format.value(after) != -self.format.value(before)
        if wrong and "negate" in self.says:  # as a belief has it
            return "Negate", self.says["negate"], [old, self.row("answer", after)]
        inverted = before.translate(str.maketrans("01", "10"))
        if after is None:
            said = f"{with_point(before, self.format.places)} has no opposite in {self.format.bits} bits: overflow."
            return "Negate", said, [old]
        new = self.row("answer", after, changed=differences(before, after))
        if kind == "two's complement":
            return (
                "Negate",
                "Invert every bit, then add one in the last place.",
                [old, self.row("invert", inverted), new],
            )
        said = {
            "sign and magnitude": "Only the first bit changes.",
            "ones' complement": "Invert every bit.",
            "unsigned": "Zero is its own opposite.",
        }.get(kind, "Read it, change the sign, and write it in the same code.")
        return "Negate", said, [old, new]

    def _extreme(self, step: Step) -> tuple[str, str, list[Row]]:
        pattern = step.after
        value = self.value(self.format.value(pattern))
        detail = f"{with_point(pattern, self.format.places)} = {value}."
        return step.rule.capitalize(), detail, [self.row("pattern", pattern)]
