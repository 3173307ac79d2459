"""Working that is wrong somewhere, shown so that nothing tells where: every step by one plan, from its page alone."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from chalkpoint.working.page import IN_RANGE, TOO_LONG, ZERO, Page
from chalkpoint.working.procedures import method_named
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.pages import PageWriter
from chalkpoint.working.wording.rows import speak
from chalkpoint.working.wording.words import TITLES
from chalkpoint.working.working import Working
from chalkpoint.working.written import Row, Words, Written

__all__ = ["unmarked"]

BELOW_THE_LINE = ("repair", "normalise", "cut", "range")


def unmarked(wrong: Working, right: Working) -> Working:
    """Return *wrong* with its steps written alike: their names as usual, no sentences, and rows by one plan.

    Right and faulty steps are otherwise written in different ways, which would give the mistake away.
    """
    titles = {step.rule: step.title for step in right.steps}
    plan = _Plan(wrong, titles)
    steps = tuple(Step(step.number, step.rule, step.before, step.after, plan.write) for step in wrong.steps)
    return replace(wrong, steps=steps)


class _Plan:
    """Writes any step as its two operands, or as what is below the line."""

    def __init__(self, wrong: Working, titles: dict[str, str]) -> None:
        self.writer = PageWriter(wrong.question, method_named(wrong.question, wrong.method))
        self.titles = titles

    def write(self, step: Step) -> Written:
        """Return *step* as it is shown: its name, its rows, nothing that is only true of a right or a wrong one."""
        rows = tuple(map(speak, self._rows(step)))
        title = self.titles.get(step.rule, TITLES.get(step.rule, step.rule.capitalize()))
        spoken = ". ".join([title, *(row.spoken for row in rows)])
        return Written(rows, partial(Words, title, "", f"{spoken}."))

    def _rows(self, step: Step) -> list[Row]:
        page: Page = step.after
        if step.rule in BELOW_THE_LINE:
            return [self._total(step, page)] if page.outcome in {IN_RANGE, ZERO, TOO_LONG} else []
        operands = [
            self.writer.row(name, page, which)
            for name, which in zip(self.writer.names, ("first", "second"), strict=True)
        ]
        if step.rule == "read":
            return [operands[0], operands[1]._replace(place_values=True)]
        if step.rule != "add":
            return operands
        return [operands[0], operands[1]._replace(plus=True), self._total(step, page)]

    def _total(self, step: Step, page: Page) -> Row:
        row = self.writer.row("sum" if step.rule == "add" else "line", page, "total")
        return row._replace(lead="1", lead_is="kept") if page.outcome == TOO_LONG else row
