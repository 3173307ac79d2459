"""What adding and subtracting write on the board in ones' complement, sign and magnitude and excess codes."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.exact import MINUS
from chalkpoint.working import facts
from chalkpoint.working.codes import CodePage
from chalkpoint.working.methods import Method
from chalkpoint.working.page import OVERFLOW, TOO_LONG
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.adding import carries_row
from chalkpoint.working.wording.byhand import digits_row
from chalkpoint.working.wording.rows import differences
from chalkpoint.working.wording.said import Told
from chalkpoint.working.wording.writer import StepWriter, told
from chalkpoint.working.written import Row

__all__ = ["CodeWriter"]

Facts = Mapping[str, object]


class CodeWriter(StepWriter):
    """Writes the steps of one question; a method of it for each line."""

    faulty_titles: Mapping[str, str] = {
        "negate": "negate.faulty",
        "around": "codes.around",
        "judge": "range.overflow",
        "take_away": "take-away",
        "excess": "codes.excess",
    }

    def __init__(self, question: Question, method: Method) -> None:
        super().__init__(question, method)
        self.fixed = question.fixed_format
        self.kind = self.fixed.field.kind

    def row(self, label: str, code: int, *, valued: bool = True, **marks: Any) -> Row:
        """Return the row of a pattern, given as an unsigned number; its carry in front where it has one."""
        bits = to_bits(code, self.fixed.bits)
        row = digits_row(label, int(bits, 2), len(bits), self.fixed.places, **marks)
        return row._replace(value=self.fixed.value(bits) if valued else None)

    def operand_rows(self, page: CodePage, minus: str = "") -> list[Row]:
        """Return the rows of both operands, *minus* before the name of the second where it was negated."""
        return [self.row(self.names[0], page.first), self.row(f"{minus}{self.names[1]}", page.second)]

    def zero_too(self, total: int) -> list[str]:
        """Return what is said where the sum is the second pattern for zero."""
        return ["codes.zero-too"] if total == (1 << self.fixed.bits) - 1 else []

    def faulty_rows(self, step: Step) -> list[Row]:
        """Return the rows a faulty rule left."""
        page = step.after
        if step.rule in {"read", "negate"}:
            return self.operand_rows(page)
        lead = {"lead": "1", "lead_is": "kept"} if page.outcome == TOO_LONG else {}
        return [] if page.outcome == OVERFLOW else [self.row("answer", page.total, valued=not lead, **lead)]

    def end_says(self) -> str:
        """Return the key of what is written for an overflow: the word, or the end of the range."""
        return "code.end" if self.question.course.overflow == "largest" else "codes.word"

    def end_rows(self) -> list[Row]:
        """Return the row of the end of the range, where the course writes that for an overflow."""
        if self.question.course.overflow != "largest":
            return []
        first, second = (value / self.fixed.unit_value for value in self.question.values)
        field = self.fixed.field
        end = field.nearest_end(
            int(first + second if self.question.operation.name == "add" else first - second)
        )
        return [self.row("answer", int(field.write(end), 2))]

    # === Lines ===

    def _read(self, step: Step) -> Told:
        first, second = self.question.shown
        return told("read", [*self.stored_first(), "codes.read"], first=first, second=second)

    def _read_rows(self, step: Step, _: Facts) -> list[Row]:
        return self.operand_rows(step.after)

    def _negate(self, step: Step) -> Told:
        said = "codes.negate-sign" if self.kind == "sign and magnitude" else "codes.negate-ones"
        return told("negate", [said], operand="second")

    def _negate_rows(self, step: Step, _: Facts) -> list[Row]:
        old = self.row(self.names[1], step.before.second, soft=True)
        new = self.row("opposite", step.after.second)
        return [old, new._replace(changed=differences(old.bits, new.bits))]

    def _add(self, step: Step) -> Told:
        page = step.after
        if self.kind == "sign and magnitude":
            return self._combine(page)
        found = facts.addition(page.first, page.second, self.fixed.bits, signed=False)
        if self.kind == "excess":
            return told("add", ["codes.add"], found, first=page.first, second=page.second, total=page.total)
        said = ["codes.leaves"] if found.carry_out else ["codes.stays", *self.zero_too(page.total)]
        return told("add", said, found)

    def _add_rows(self, step: Step, found: Facts) -> list[Row]:
        page = step.after
        first, second = self.operand_rows(page, MINUS if self.question.operation.name == "subtract" else "")
        if self.kind == "sign and magnitude":
            rows = [first, second._replace(plus=bool(found["alike"]))]
            return [
                *rows,
                *(self.end_rows() if page.outcome == OVERFLOW else [self.row("answer", page.total)]),
            ]
        over = page.total >> self.fixed.bits
        lead = {"lead": "1", "lead_is": "kept"} if over else {}
        total = self.row("sum", page.total, valued=self.kind == "ones' complement" and not over, **lead)
        carries = carries_row(facts.addition(page.first, page.second, self.fixed.bits, signed=False), first)
        return [*carries, first, second._replace(plus=True), total]

    def _combine(self, page: CodePage) -> Told:
        place = self.fixed.bits - 1
        mask = (1 << place) - 1
        sizes = (page.first & mask, page.second & mask)
        alike = page.first >> place == page.second >> place
        total = sizes[0] + sizes[1] if alike else page.total & mask
        if alike:
            said = ["codes.alike", *(["codes.too-long", self.end_says()] if page.outcome == OVERFLOW else [])]
        else:
            said = ["codes.differ" if total else "codes.equal"]
        stated = {
            "first": sizes[0],
            "second": sizes[1],
            "large": max(sizes),
            "small": min(sizes),
            "total": total,
        }
        values = {name: units * self.fixed.unit_value for name, units in stated.items()}
        return told("add", said, alike=alike, digits=place, **values)

    def _around(self, step: Step) -> Told:
        return told("codes.around", ["codes.around", *self.zero_too(step.after.total)])

    def _around_rows(self, step: Step, _: Facts) -> list[Row]:
        old = self.row("sum", step.before.total, valued=False, lead="1", lead_is="dropped")
        return [old, self.row("carry", 1, valued=False, plus=True), self.row("answer", step.after.total)]

    def _judge(self, step: Step) -> Told:
        negative = step.after.first >> (self.fixed.bits - 1)
        return told("range.overflow", [f"codes.{'negatives' if negative else 'positives'}", self.end_says()])

    def _judge_rows(self, step: Step, _: Facts) -> list[Row]:
        return self.end_rows()

    def _take_away(self, step: Step) -> Told:
        page = step.after
        return told("take-away", ["codes.take-away"], first=page.first, second=page.second, total=page.total)

    def _take_away_rows(self, step: Step, _: Facts) -> list[Row]:
        first, second = self.operand_rows(step.after)
        return [first, second._replace(minus=True)]

    def _excess(self, step: Step) -> Told:
        before, after, bits = step.before.total, step.after.total, self.fixed.bits
        said = "codes.excess-off" if self.question.operation.name == "add" else "codes.excess-back"
        stated = {"before": before, "excess": self.fixed.field.excess, "after": after, "bits": bits}
        if after < 0 or after >> bits:
            highest = Fraction((1 << bits) - 1)
            return told("range.overflow", [said, "codes.hold", self.end_says()], **stated, highest=highest)
        return told("codes.excess", [said, "codes.answer"], **stated)

    def _excess_rows(self, step: Step, _: Facts) -> list[Row]:
        after = step.after.total
        return self.end_rows() if after < 0 or after >> self.fixed.bits else [self.row("answer", after)]
