"""What encoding writes on the board, and what it says of the error of storing a value."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Protocol

from chalkpoint.numbers.bits import shorten, to_bits
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working.methods import Method
from chalkpoint.working.question import Question
from chalkpoint.working.speech import say_bits
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.floating import zero_key
from chalkpoint.working.wording.rows import mantissa_row, mark_changes, speak
from chalkpoint.working.wording.said import Told
from chalkpoint.working.wording.writer import StepWriter, absolute_error, relative_error, told
from chalkpoint.working.written import Row

__all__ = ["StoreWriter"]

Facts = Mapping[str, object]


class Digits(Protocol):
    """The digits of a value that is being stored, as on a page of `storing`."""

    @property
    def number(self) -> int:
        """The digits as a whole number."""

    @property
    def places(self) -> int:
        """How many of them are behind the point."""

    @property
    def ends(self) -> bool:
        """Whether they are all there are."""

    @property
    def exponent(self) -> int:
        """The exponent, once the point is placed."""


FITS = {
    "cut": "store.cut",
    "cut size": "store.cut-size",
    "nearest": "cut.nearest",
    "nearest away": "cut.nearest-away",
}


class StoreWriter(StepWriter):
    """Writes the steps of one value; a method of it for each line."""

    format: FloatFormat
    faulty_titles: Mapping[str, str] = {
        "size": "size",
        "sign": "sign",
        "point": "point",
        "fit": "store.fit-faulty",
        "exponent": "range.write",
    }

    def __init__(self, question: Question, method: Method) -> None:
        super().__init__(question, method)
        self.cuts_size = question.course.rounding == "cut size"

    def faulty_rows(self, step: Step) -> Sequence[Row]:
        """Return the row a faulty rule left."""
        page, fmt = step.after, self.format
        if step.rule in {"size", "sign"}:
            return [self.digits(step.rule, page)]
        if step.rule == "fit":
            return [mantissa_row("kept", page.mantissa, page.exponent, fmt)]
        if step.rule == "exponent" and page.pattern is not None:
            return [mantissa_row("answer", page.pattern.mantissa, page.pattern.exponent, fmt)]
        return []

    # === Rows ===

    def digits(self, label: str, page: Digits, value: Fraction | None = None) -> Row:
        """Return a row of fixed-point digits with a sign place, and an ellipsis where they never end."""
        number = page.number
        width = max((number if number >= 0 else ~number).bit_length(), page.places) + 1
        bits = shorten(to_bits(number, width)) + ("" if page.ends else "\u2026")
        places = min(page.places, len(bits) - 1) + (0 if page.ends else 1)
        return Row(
            label=label, bits=bits, places=places, value=value, spoken=f"{label}: {say_bits(bits, places)}"
        )

    def normal_digits(self, label: str, page: Digits) -> Row:
        """Return the digits written so far from their sign place on, the point behind it."""
        number = page.number
        width = (number if number >= 0 else ~number).bit_length() + 1
        if self.question.course.underflow == "un-normalised":  # 0s, or 1s, down to the lowest exponent
            width = max(width, page.places + self.format.lowest_exponent + self.format.point)
        bits = shorten(to_bits(number, width)) + ("" if page.ends else "\u2026")
        bits = bits.ljust(
            2, "0"
        )  # -1, -2, -4 ... have a sign bit alone; their second digit is the 0 after it
        return Row(label=label, bits=bits, places=len(bits) - self.format.point)

    # === Lines ===

    def _zero(self, step: Step) -> Told:
        exponent = self.format.zero.exponent
        left = "store.nothing-left" if self.question.value else "store.zero"
        return told("zero", [left, zero_key(self.format)], zero_exponent=exponent)

    def _zero_rows(self, step: Step, _: Facts) -> list[Row]:
        return [mantissa_row("answer", 0, self.format.zero.exponent, self.format)]

    def _size(self, step: Step) -> Told:
        page = step.after
        said = ["size.signed", *([] if page.ends else ["size.endless-more"])]
        return told("size", said, size=abs(page.value), places=page.places)

    def _size_rows(self, step: Step, _: Facts) -> list[Row]:
        return [self.digits("size", step.after, abs(step.after.value))]

    def _sign(self, step: Step) -> Told:
        before, after = step.before, step.after
        if self.cuts_size:
            moved = after.exponent != before.exponent
            return told("sign", ["store.negate-kept", *(["store.half"] if moved else [])], value=after.value)
        return told("sign", ["store.negate" if after.ends else "store.negate-endless"], value=after.value)

    def _sign_rows(self, step: Step, _: Facts) -> list[Row]:
        before, after, fmt = step.before, step.after, self.format
        if self.cuts_size:
            old = mantissa_row("size", before.mantissa, before.exponent, fmt)._replace(soft=True, value=None)
            return [old, mark_changes(mantissa_row("negative", after.mantissa, after.exponent, fmt), old)]
        old, new = self.digits("size", before), self.digits("negative", after, after.value)
        width = max(len(old.bits), len(new.bits))
        if len(new.bits) < width:  # -1/2, -1, -2 ... need no more places than their size: keep its columns
            new = new._replace(bits=new.bits[0] * (width - len(new.bits)) + new.bits)
            new = new._replace(spoken=f"negative: {say_bits(new.bits, new.places)}")
        return [old._replace(soft=True), mark_changes(new, old)]

    def _point(self, step: Step) -> Told:
        page = step.after
        stopped = self.stopped(page)
        way = "none" if not page.exponent else ("left" if page.exponent > 0 else "right")
        behind = "" if self.format.point == 1 else "-implied"
        said = f"store.stopped-{way}" if stopped else f"store.point{behind}-{way}"
        return told("point", [said], places=abs(page.exponent), exponent=page.exponent)

    def stopped(self, page: Digits) -> bool:
        """Tell whether the exponent stopped at the lowest, before the first two digits differ."""
        alike = len(set(self.normal_digits("", page).bits[:2])) == 1
        return self.question.course.underflow == "un-normalised" and alike

    def _point_rows(self, step: Step, _: Facts) -> list[Row]:
        page = step.after
        label = "placed" if self.stopped(page) else "normal form"
        return [speak(self.normal_digits(label, page), exponent=page.exponent)]

    def _fit(self, step: Step) -> Told:
        fmt, rounding = self.format, self.question.course.rounding
        *_, new = self._fit_rows(step, {})
        short = fmt.mantissa_bits - len(self.normal_digits("", step.before).bits)
        stated = {"width": fmt.mantissa_bits, "lost": new.lost, "worth": new.lost_value, "short": short}
        if not new.lost:
            return told("store.fit", ["store.fill" if short > 0 else "store.full"], **stated)
        title = "cut" if rounding.startswith("cut") else "cut.round"
        if not new.lost_value:
            return told(title, ["cut.lost-0s"], **stated)
        said = [FITS[rounding]]
        if rounding.startswith("nearest"):
            said.append("cut.above" if new.lost_value < 0 else "cut.below")
        return told(title, said, **stated)

    def _fit_rows(self, step: Step, _: Facts) -> list[Row]:
        before, after, fmt = step.before, step.after, self.format
        old = speak(self.normal_digits("before", before), soft=True)
        kept, lost = old.bits[: fmt.mantissa_bits], old.bits[fmt.mantissa_bits :]
        mantissa = mantissa_row("kept", after.mantissa, after.exponent, fmt)
        new = mark_changes(mantissa, old._replace(bits=kept.ljust(fmt.mantissa_bits, "0")))
        missed = (abs(after.value) if self.cuts_size else after.value) - (mantissa.value or Fraction(0))
        return [old, speak(new, lost=lost, lost_value=missed, exponent_changed="")]

    def _exponent(self, step: Step) -> Told:
        before, after, fmt = step.before, step.after, self.format
        stated = {
            "exponent": before.exponent,
            "bits": fmt.exponent_bits,
            "highest": fmt.highest_exponent,
            "lowest": fmt.lowest_exponent,
        }
        if after.outcome == "overflow":
            return told("range.overflow", ["range.over"], **stated)
        if after.outcome == "underflow":
            return told("range.underflow", ["range.under"], **stated)
        if before.mantissa == 0:
            return self._zero(step)
        if not fmt.holds(before.exponent):
            if before.exponent > fmt.highest_exponent:
                return told("range.overflow", ["store.past", "store.end"], **stated)
            course = "range.to-zero" if self.question.course.underflow == "zero" else "store.unnormalised"
            return told("range.underflow", ["store.below", course], **stated)
        excess = fmt.exponent.kind == "excess"
        said = [
            "store.exponent-excess" if excess else "store.exponent",
            *(["store.implied"] if fmt.implied else []),
        ]
        code = fmt.exponent.write(before.exponent)
        stored = before.exponent + fmt.exponent.excess
        return told("range.write", said, **stated, code=code, excess=fmt.exponent.excess, stored=stored)

    def _exponent_rows(self, step: Step, _: Facts) -> list[Row]:
        pattern, fmt = step.after.pattern, self.format
        if pattern is None:
            return []
        if step.before.mantissa == 0:
            return self._zero_rows(step, {})
        row = mantissa_row("answer", pattern.mantissa, pattern.exponent, fmt, place_values=True)
        return [row._replace(exponent_changed="1" * fmt.exponent_bits)]

    def _absolute(self, step: Step) -> Told:
        return absolute_error(step.after.asked, self.format.value(step.after.pattern))

    def _relative(self, step: Step) -> Told:
        return relative_error(step.after.asked, step.after.absolute)
