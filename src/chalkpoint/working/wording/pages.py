"""Writing a page of floating-point arithmetic: its rows, and the words where a faulty rule wrote a line.

The lines of right working are in `floating.py` and `multiplying.py`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import count

from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.carriers import fits
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working.methods import keeps_every_place
from chalkpoint.working.page import IN_RANGE, TOO_LONG, ZERO, Page
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.rows import mantissa_row, mark_changes, speak
from chalkpoint.working.wording.writer import StepWriter
from chalkpoint.working.written import Row

__all__ = ["PageWriter"]

BELOW_THE_LINE = ("repair", "normalise", "range")


class PageWriter(StepWriter):
    """Writes the steps of one question; a class under it has a method for each line, named after it."""

    format: FloatFormat
    faulty_titles: Mapping[str, str] = {
        "negate": "negate.faulty",
        "range": "range.write",
        "cut": "cut.faulty",
    }

    def faulty_rows(self, step: Step) -> Sequence[Row]:
        """Return what a faulty rule left: the sum under its two rows, or each row it changed, before and after."""
        before, after = step.before, step.after
        if step.rule == "read":
            return [self.row(name, after, which) for name, which in self.operands()]
        if step.rule == "add":
            rows = [self.row(name, after, which) for name, which in self.operands()]
            total = self.row("sum", after, "total", lead=False)
            if after.outcome == TOO_LONG:  # the carry in front that a faulty rule kept
                total = speak(total, lead="1", lead_is="kept")
            return [rows[0], rows[1]._replace(plus=True), total]
        pairs = self.operands()
        if step.rule in BELOW_THE_LINE:
            pairs = [("", "total")] if after.outcome in {IN_RANGE, ZERO} else []
        rows = []
        for name, which in pairs:
            old = self.row(f"{name} before".strip(), before, which, soft=True, lead=False)
            new = mark_changes(self.row(f"{name} after".strip(), after, which, lead=False), old)
            rows += [old, new] if "1" in new.changed + new.exponent_changed else [new]
        return rows

    def operands(self) -> list[tuple[str, str]]:
        """Return the name of each row above the line, and which it is."""
        return list(zip(self.names, ("first", "second"), strict=True))

    def row(
        self, label: str, page: Page, which: str, *, late: bool = False, lead: bool = True, **marks: object
    ) -> Row:
        """Return the row *which* of *page*: "first", "second" or "total".

        late  the row stands below the repair, where a method that keeps every place shows its spare one
        lead  whether extra sign places are written where the row needs them
        """
        spare = 1 if self.has_spare(page) and not (late and page.overflowed) else 0
        number, extra = getattr(page, which) >> spare, page.extra - spare
        exponent = page.exponent if which == "total" else getattr(page, f"{which}_exponent")
        row = mantissa_row(label, number, exponent, self.format, extra=extra, **marks)
        width = self.format.mantissa_bits + extra
        if not lead or fits(number, width):
            return row
        places = next(more for more in count(1) if fits(number, width + more))
        return speak(row, lead=to_bits(number >> width, places), lead_is="kept")

    def has_spare(self, page: Page) -> bool:
        """Tell whether the last place of *page* is the spare one of a method that keeps every place."""
        return bool(page.extra) and self.keeps_all

    @property
    def keeps_all(self) -> bool:
        """Whether the method keeps every place that a shift moves past the last."""
        return keeps_every_place(self.method)
