"""What arithmetic on whole and fixed-point numbers writes on the board."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.carriers import fits
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.exact import MINUS
from chalkpoint.working import facts
from chalkpoint.working.methods import Method
from chalkpoint.working.page import OVERFLOW, TOO_LONG, Page, remainder
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.adding import carries_row, inverted_row, negate_says, whole_add_says
from chalkpoint.working.wording.byhand import digits_row, divided, multiplied, rows_left_out, takes_left_out
from chalkpoint.working.wording.rows import differences
from chalkpoint.working.wording.said import Sentence, Told
from chalkpoint.working.wording.whole_fit import PLACES_PAST_THE_CUT
from chalkpoint.working.wording.writer import StepWriter, told
from chalkpoint.working.written import Row

__all__ = ["WholeWriter"]

CUTS = {"cut": "cut", "cut size": "cut-size", "nearest": "nearest", "nearest away": "nearest-away"}

Facts = Mapping[str, object]


def width_of(number: int, *, unsigned: bool) -> int:
    """Return how many digits *number* needs.

    >>> width_of(-128, unsigned=False), width_of(128, unsigned=False)
    (8, 9)
    """
    return (number if number >= 0 else ~number).bit_length() + (0 if unsigned else 1)


class WholeWriter(StepWriter):
    """Writes the steps of one question; a method of it for each line."""

    faulty_titles: Mapping[str, str] = {
        "negate": "negate.faulty",
        "product": "multiply",
        "take_away": "take-away",
    }

    def __init__(self, question: Question, method: Method | None = None) -> None:
        super().__init__(question, method)
        self.fixed = question.fixed_format
        self.unsigned = self.fixed.field.kind == "unsigned"

    def faulty_rows(self, step: Step) -> Sequence[Row]:
        """Return the rows a faulty rule left."""
        page = step.after
        rows = self.operand_rows(page)
        if step.rule == "add" and page.outcome != OVERFLOW:
            long = {"lead": "1", "lead_is": "kept"} if page.outcome == TOO_LONG else {}
            rows = [rows[0], rows[1]._replace(plus=True), self.number_row("sum", page.total, **long)]
        if step.rule == "product":
            rows.append(self.number_row("product", page.total))
        return rows

    # === Rows ===

    def row(
        self, label: str, bits: str, number: int | None = None, *, places: int | None = None, **marks: Any
    ) -> Row:
        """Return a row of bits whose last *places* (the format's by default) stand after the point."""
        places = self.fixed.places if places is None else places
        row = digits_row(
            label, int(bits.rstrip("\u2026") or "0", 2), len(bits.rstrip("\u2026")), places, **marks
        )
        value = None if number is None else Fraction(number, 1 << places)
        return row._replace(value=value)

    def number_row(self, label: str, number: int, **marks: Any) -> Row:
        """Return the row of a number in the format's width."""
        return digits_row(label, number, self.fixed.bits, self.fixed.places, valued=True, **marks)

    def operand_rows(self, page: Page, minus: str = "") -> list[Row]:
        """Return the rows of both operands, *minus* before the name of the second where it was negated."""
        second = self.number_row(f"{minus}{self.names[1]}", page.second)
        return [self.number_row(self.names[0], page.first), second]

    def end_says(self) -> list[str]:
        """Return the key of what is said where the course writes the end of the range for an overflow."""
        return ["code.end"] if self.question.course.overflow == "largest" else []

    def end_rows(self, page: Page) -> list[Row]:
        """Return the row of that end, where the total on *page* lies past it."""
        if not (page.overflowed and self.end_says()):
            return []
        end = self.fixed.field.nearest_end(int(page.total))
        return [self.row("answer", self.fixed.field.write(end))._replace(value=end * self.fixed.unit_value)]

    # === Adding and taking away ===

    def _read(self, step: Step) -> Told:
        first, second = self.question.shown
        return told("read", [*self.stored_first(), "read.whole"], first=first, second=second)

    def _read_rows(self, step: Step, _: Facts) -> list[Row]:
        first, second = self.operand_rows(step.after)
        return [first, second._replace(place_values=True)]

    def _negate(self, step: Step) -> Told:
        found = facts.negation(step.before.second, self.fixed.bits, self.fixed.places)
        return told("negate", negate_says(found, taken_away=True), found, operand="second")

    def _negate_rows(self, step: Step, _: Facts) -> list[Row]:
        before, after = step.before.second, step.after.second
        old = self.number_row(self.names[1], before, soft=True)
        bits = to_bits(after, self.fixed.bits)
        lead = "" if fits(after, self.fixed.bits) else "0"
        front = {"lead": lead, "lead_is": "kept"} if lead else {}
        new = self.number_row("add one", after, changed=differences(old.bits, bits), **front)
        spoken = self.number_row("invert", ~before).spoken
        return [old, inverted_row(old, lead)._replace(spoken=spoken), new]

    def _add(self, step: Step) -> Told:
        found = self.added(step.after)
        end = self.end_says() if found.overflowed else []
        return told("add", [*whole_add_says(found, unsigned=self.unsigned), *end], found)

    def added(self, page: Page) -> facts.Addition:
        """Return the facts of the addition on *page*."""
        return facts.addition(page.first, page.second, self.fixed.bits, signed=not self.unsigned)

    def _add_rows(self, step: Step, _: Facts) -> list[Row]:
        page, bits = step.after, self.fixed.bits
        found = self.added(page)
        minus = MINUS if self.question.operation.name == "subtract" else ""
        rows = [*self.operand_rows(page, minus), self.number_row("sum", page.total)]
        rows[1] = rows[1]._replace(plus=True)
        if found.extra_place:
            wide = (page.first, page.second, page.total)
            rows = [
                row._replace(lead=to_bits(number >> bits, 1), lead_is="kept")
                for row, number in zip(rows, wide, strict=True)
            ]
        elif found.carry_out:
            rows[2] = rows[2]._replace(lead="1", lead_is="kept" if self.unsigned else "dropped")
        if found.overflowed and not self.unsigned and not found.extra_place:
            rows[2] = rows[2]._replace(value=None)
        return [*carries_row(found, rows[0]), *rows, *self.end_rows(page)]

    def _take_away(self, step: Step) -> Told:
        page = step.after
        said = ["whole.below-0", *self.end_says()] if page.overflowed else ["whole.borrow"]
        return told("take-away", said, difference=page.total)

    def _take_away_rows(self, step: Step, _: Facts) -> list[Row]:
        first, second = self.operand_rows(step.after)
        rows = [first, second._replace(minus=True)]
        if step.after.overflowed:
            return [*rows, *self.end_rows(step.after)]
        return [*rows, self.number_row("difference", step.after.total)]

    # === Multiplying and dividing ===

    def _signs(self, page: Page) -> list[str]:
        if min(page.first, page.second) >= 0:
            return []
        return ["whole.alike" if (page.first < 0) == (page.second < 0) else "whole.differ"]

    def _sizes(self, page: Page) -> list[str]:
        return ["whole.sizes"] if min(page.first, page.second) < 0 else []

    def _product(self, step: Step) -> Told:
        page = step.after
        if page.total == 0:
            return told("multiply", ["whole.product-0"], product=0)
        said: list[Sentence | str] = [
            *self._sizes(page),
            "whole.product",
            *rows_left_out(page.second),
            *self._signs(page),
        ]
        return told("multiply", said, operand="first", by="second", product=page.total)

    def _product_rows(self, step: Step, _: Facts) -> list[Row]:
        page, places = step.after, self.fixed.places
        if page.total == 0:
            return [digits_row("product", 0, 2 * places + 1, 2 * places, valued=True)]
        rows = multiplied(self.names, page.first, page.second, places)
        if page.total < 0:
            width = max(len(rows[-1].bits) + 1, self.fixed.bits)
            rows.append(digits_row("negated", page.total, width, 2 * places, valued=True))
        return rows

    def _cut(self, step: Step) -> Told:
        before, after, places = step.before, step.after, self.fixed.places
        fell = Fraction(before.total, 1 << (places + before.extra)) - Fraction(after.total, 1 << places)
        rounding = CUTS[self.question.course.rounding]
        said = f"whole.{rounding}" if fell else "whole.cut-0s"
        title = "round.places" if rounding.startswith("nearest") else "cut.places"
        return told(title, [said], places=places, lost=to_bits(before.total, before.extra), worth=fell)

    def _cut_rows(self, step: Step, found: Facts) -> list[Row]:
        after = step.after
        width = max(self.fixed.bits, width_of(after.total, unsigned=False))
        marks: JsonObject = {"lost": found["lost"], "lost_value": found["worth"]}
        return [digits_row("kept", after.total, width, self.fixed.places, valued=True, **marks)]

    def _judge(self, step: Step) -> Told:
        needed = width_of(step.after.total, unsigned=self.unsigned)
        title, said = "fits", ["whole.fits"]
        if step.after.overflowed:
            title, said = "range.overflow", ["whole.too-long", *self.end_says()]
        return told(title, said, needed=needed, bits=self.fixed.bits)

    def _judge_rows(self, step: Step, _: Facts) -> list[Row]:
        page = step.after
        width = max(self.fixed.bits, width_of(page.total, unsigned=self.unsigned))
        label = "too long" if page.overflowed else "answer"
        row = digits_row(label, page.total, width, self.fixed.places, valued=True)
        return [row, *self.end_rows(page)]

    def divided(self, page: Page) -> facts.Division:
        """Return the facts of the division on *page*."""
        return facts.division(abs(page.first) << self.fixed.places, abs(page.second))

    def _quotient(self, step: Step) -> Told:
        page, places = step.after, self.fixed.places
        left = Fraction(remainder(page, places), 1 << (2 * places))
        found = self.divided(page)
        said: list[Sentence | str]
        if page.first == 0:
            said = ["whole.quotient-0"]
        elif page.total == 0:
            said = [*self._sizes(page), "whole.goes-no-time", "whole.remainder"]
        else:
            left_out = takes_left_out(found)
            said = [*self._sizes(page), "quotient.how", *left_out, *self._signs(page), "whole.remainder"]
        dividend = Fraction(abs(page.first), 1 << places)
        return told("divide", said, left=left, dividend=dividend, quotient=found.quotient)

    def _quotient_rows(self, step: Step, _: Facts) -> list[Row]:
        page, places = step.after, self.fixed.places
        found = self.divided(page)
        past = (found.left << PLACES_PAST_THE_CUT) // found.divisor
        lost = f"{to_bits(past, PLACES_PAST_THE_CUT)}\u2026" if found.left else ""
        width = max(found.quotient.bit_length(), places + 1)
        missed = Fraction(found.left, found.divisor << places)
        quotient = digits_row(
            "quotient", found.quotient, width, places, valued=True, lost=lost, lost_value=missed
        )
        return [*divided(found, places, places), quotient]
