"""What adding and subtracting write on the board in ones' complement, sign and magnitude and excess codes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import TypeAlias

from chalkpoint.numbers.bits import shorten, to_bits
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.working.codes import CodePage
from chalkpoint.working.methods import Method
from chalkpoint.working.page import OVERFLOW
from chalkpoint.working.question import Question
from chalkpoint.working.speech import for_ear, say_bits
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.rows import differences
from chalkpoint.working.wording.said import bracketed
from chalkpoint.working.written import Row, Written

__all__ = ["writer"]

Said: TypeAlias = tuple[str, str, list[Row]]
OVER = "The answer is the word overflow; no bits are written."


def writer(question: Question, method: Method) -> Callable[[Step], Written]:
    """Return what writes a step of *question*."""
    return Writer(question).write


class Writer:
    """Writes the steps of one question; a method of it for each line."""

    def __init__(self, question: Question) -> None:
        self.question = question
        self.format: FixedFormat = question.format
        self.kind = self.format.field.kind
        self.names = question.names

    def write(self, step: Step) -> Written:
        """Return *step* as it stands on the board."""
        line: Callable[[Step], Said] = getattr(self, f"_{step.rule}")
        title, detail, rows = line(step)
        ear = for_ear(detail, point=self.question.course.point).rstrip(".")
        spoken = ". ".join([title, ear, *(row.spoken for row in rows if row.spoken)])
        return Written(title, detail, f"{spoken}.", tuple(rows))

    def value(self, x: Fraction | int) -> str:
        """Return *x* as the course writes it."""
        return write_value(Fraction(x), point=self.question.course.point)

    def row(self, label: str, code: int, *, valued: bool = True, **marks: str | bool) -> Row:
        """Return the row of a pattern, given as an unsigned number; its carry in front where it has one."""
        bits, fmt = to_bits(code, self.format.bits), self.format
        shown = shorten(bits)
        row = Row(
            label=label,
            bits=shown,
            places=min(fmt.places, len(shown)),
            value=fmt.value(bits) if valued else None,
            spoken=f"{label}: {say_bits(shown, min(fmt.places, len(shown)))}",
        )
        return replace(row, **marks)  # type: ignore[arg-type]

    def carries(self, page: CodePage) -> list[Row]:
        """Return the row of carries, where a column carries."""
        carried = to_bits(page.first ^ page.second ^ page.total, self.format.bits)
        if "1" not in carried:
            return []
        shown = shorten(carried).replace("0", " ")
        return [Row(label="carries", carries=shown, places=min(self.format.places, len(shown)))]

    def zero_too(self, total: int) -> str:
        """Return what is said where the sum is the second pattern for zero."""
        return " A row of 1s is zero too." if total == (1 << self.format.bits) - 1 else ""

    # === Lines ===

    def _read(self, step: Step) -> Said:
        page = step.after
        rows = [self.row(self.names[0], page.first), self.row(self.names[1], page.second)]
        shown = self.question.shown
        return "Read", f"The numbers are {shown[0]} and {shown[1]}.", rows

    def _negate(self, step: Step) -> Said:
        before, after = step.before.second, step.after.second
        old = self.row(self.names[1], before, soft=True)
        new = self.row("opposite", after)
        new = replace(new, changed=differences(old.bits, new.bits))
        said = "Invert every bit: in ones\u2019 complement that is the opposite."
        if self.kind == "sign and magnitude":
            said = "Change the sign bit, and no other; then add."
        return f"Negate the {self.names[1]}", said, [old, new]

    def _add(self, step: Step) -> Said:
        page = step.after
        if self.kind == "sign and magnitude":
            return self._combine(page)
        over = page.total >> self.format.bits
        lead = {"lead": "1", "lead_is": "kept"} if over else {}
        rows = [
            *self.carries(page),
            self.row(self.names[0], page.first),
            self.row(self.names[1], page.second, plus=True),
            self.row("sum", page.total, valued=self.kind == "ones' complement" and not over, **lead),
        ]
        if self.kind == "excess":
            said = f"Add the codes: {page.first} + {page.second} = {page.total}. Now the excess is in twice."
        elif over:
            said = "A carry leaves the sign place: it is not dropped here."
        else:
            said = "No carry leaves the sign place, so none is brought round."
            said += self.zero_too(page.total)
        return "Add", said, rows

    def _combine(self, page: CodePage) -> Said:
        place = self.format.bits - 1
        signs = [row >> place for row in (page.first, page.second)]
        sizes = [
            self.size(row - (sign << place))
            for row, sign in zip((page.first, page.second), signs, strict=True)
        ]
        rows = [self.row(self.names[0], page.first), self.row(self.names[1], page.second, plus=True)]
        if signs[0] == signs[1]:
            total = self.size((page.first & ((1 << place) - 1)) + (page.second & ((1 << place) - 1)))
            said = (
                f"The signs are alike, so add the sizes and keep the sign: {sizes[0]} + {sizes[1]} = {total}."
            )
            if page.outcome == OVERFLOW:
                return "Add", f"{said} That needs more than {place} digits: overflow. {OVER}", rows
        elif page.total & ((1 << place) - 1) == 0:
            said = "The signs differ and the sizes are equal, so the answer is 0."
        else:
            first_larger = page.first & ((1 << place) - 1) > page.second & ((1 << place) - 1)
            large, small = sizes if first_larger else sizes[::-1]
            said = (
                f"The signs differ, so take the smaller size from the larger, and give it the sign of the larger: "
                f"{large} \u2212 {small} = {self.size(page.total & ((1 << place) - 1))}."
            )
        return "Add", said, [*rows, self.row("answer", page.total)]

    def size(self, units: int) -> str:
        """Return a size given in units of the last place."""
        return self.value(units * self.format.unit_value)

    def _around(self, step: Step) -> Said:
        before, after = step.before, step.after
        old = self.row("sum", before.total, valued=False, lead="1", lead_is="dropped")
        one = self.row("carry", 1, valued=False, plus=True)
        new = self.row("answer", after.total)
        said = "Bring the carry round: take it away in front, and add it in the last place."
        said += self.zero_too(after.total)
        return "End-around carry", said, [old, one, new]

    def _judge(self, step: Step) -> Said:
        negative = step.after.first >> (self.format.bits - 1)
        signs, other = ("negatives", "positive") if negative else ("positives", "negative")
        return "Overflow", f"Two {signs} have given a {other}: overflow. {OVER}", []

    def _take_away(self, step: Step) -> Said:
        page = step.after
        rows = [self.row(self.names[0], page.first), self.row(f"\u2212{self.names[1]}", page.second)]
        difference = self.value(page.total)
        said = (
            f"Take one code from the other: {page.first} \u2212 {page.second} = {difference}. "
            "The excess was in both, so it is gone."
        )
        return "Take away", said, rows

    def _excess(self, step: Step) -> Said:
        before, after, excess = step.before.total, step.after.total, self.format.field.excess
        adds = self.question.operation.name == "add"
        sign = "\u2212" if adds else "+"
        sum_of = f"{bracketed(self.value(before))} {sign} {excess} = {self.value(after)}"
        said = f"{'Take the excess off once' if adds else 'Put the excess back'}: {sum_of}."
        if after < 0 or after >> self.format.bits:
            highest = (1 << self.format.bits) - 1
            return "Overflow", f"{said} {self.format.bits} bits hold codes from 0 to {highest}. {OVER}", []
        return "Excess", f"{said} In {self.format.bits} bits that is the answer.", [self.row("answer", after)]
