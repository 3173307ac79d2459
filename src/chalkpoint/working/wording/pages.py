"""Writing a page of addition or subtraction: its rows, and what stands where a faulty rule wrote a line.

The lines of right working are in `floating.py`.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from chalkpoint.numbers.exact import write_value
from chalkpoint.working.floating import keep_all_places
from chalkpoint.working.losing import row_loss
from chalkpoint.working.methods import Method
from chalkpoint.working.page import IN_RANGE, TOO_LONG, ZERO, Page
from chalkpoint.working.question import Question
from chalkpoint.working.speech import for_ear
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.rows import mantissa_row, mark_changes, speak
from chalkpoint.working.written import Row, Written

__all__ = ["PageWriter"]

TITLES = {
    "read": "Read",
    "ready": "Normalise the operands",
    "align": "Match the exponents",
    "negate": "Negate",
    "add": "Add",
    "repair": "Repair the overflow",
    "normalise": "Normalise",
    "range": "Write the exponent",
    "exponents": "Add the exponents",
    "product": "Multiply the mantissas",
    "quotient": "Divide the sizes",
    "sign": "Give it its sign",
    "cut": "Bring it to its width",
}
BELOW_THE_LINE = ("repair", "normalise", "range")


class PageWriter:
    """Writes the steps of one question; a class under it has a method for each line, named after it."""

    def __init__(self, question: Question, method: Method) -> None:
        self.format = question.format
        self.question = question
        self.method = method
        # A method that changes the order puts the second operand on the first row.
        self.names = question.names[::-1] if "order" in method.rules else question.names
        self.lines = {line.name: line for line in method.lines}

    def write(self, step: Step) -> Written:
        """Return *step* as it stands on the board."""
        title, detail, rows = self._line(step)
        point = self.question.course.point
        spoken = ". ".join(
            [title, for_ear(detail, point=point).rstrip("."), *(row.spoken for row in rows if row.spoken)]
        )
        return Written(title, detail, f"{spoken}.", tuple(rows))

    def _line(self, step: Step) -> tuple[str, str, list[Row]]:
        line = self.lines[step.rule]
        if line.name not in self.method.says or not self.method.departs(
            line, step.before, step.after, self.format
        ):
            return getattr(self, f"_{step.rule}")(step)  # type: ignore[no-any-return]
        return TITLES[line.name], self.method.says[line.name], self._faulty_rows(step)

    def _faulty_rows(self, step: Step) -> list[Row]:
        """Return what a faulty rule left: the sum under its two rows, or each row it changed, before and after."""
        before, after = step.before, step.after
        if step.rule == "read":
            return [self.row(name, after, which) for name, which in self._operands()]
        if step.rule == "add":
            rows = [self.row(name, after, which) for name, which in self._operands()]
            total = self.row("sum", after, "total")
            return [rows[0], replace(rows[1], plus=True), self._with_carry(total, after)]
        if step.rule in BELOW_THE_LINE:
            pairs = [("", "total")] if after.outcome in {IN_RANGE, ZERO} else []
        else:
            pairs = self._operands()
        rows = []
        for name, which in pairs:
            old = self.row(f"{name} before".strip(), before, which, soft=True)
            new = mark_changes(self.row(f"{name} after".strip(), after, which), old)
            rows += [old, new] if "1" in new.changed + new.exponent_changed else [new]
        return rows

    def _operands(self) -> list[tuple[str, str]]:
        """Return the name of each row above the line, and which it is."""
        return list(zip(self.names, ("first", "second"), strict=True))

    def _with_carry(self, row: Row, page: Page) -> Row:
        """Return the sum's *row* with the carry in front that a faulty rule kept."""
        return speak(replace(row, lead="1", lead_is="kept")) if page.outcome == TOO_LONG else row

    # === Rows ===

    def row(self, label: str, page: Page, which: str, *, late: bool = False, **marks: object) -> Row:
        """Return the row *which* of *page*: "first", "second" or "total".

        late  the row stands below the repair, where a method that keeps every place shows its spare one
        """
        mantissa = getattr(page, which)
        exponent = page.exponent if which == "total" else getattr(page, f"{which}_exponent")
        spare = 1 if self._has_spare(page) and not (late and page.overflowed) else 0
        return mantissa_row(
            label, mantissa >> spare, exponent, self.format, extra=page.extra - spare, **marks
        )

    def _has_spare(self, page: Page) -> bool:
        return bool(page.extra) and self.method.rules.get("places") is keep_all_places

    def value(self, x: Fraction) -> str:
        """Return *x* as the course writes it."""
        return write_value(x, point=self.question.course.point)

    def _lost(self, step: Step, which: str) -> tuple[str, Fraction]:
        return row_loss(step, which, self.format.places)
