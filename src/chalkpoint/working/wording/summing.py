"""What a chain of additions writes on the board: a line for each addition, and another order."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from chalkpoint.working.steps import Step
from chalkpoint.working.wording.patterns import pattern_row
from chalkpoint.working.wording.rows import speak
from chalkpoint.working.wording.said import Told, bracketed
from chalkpoint.working.wording.writer import StepWriter, told
from chalkpoint.working.written import Row

__all__ = ["SumWriter"]


class SumWriter(StepWriter):
    """Writes the steps of one sum."""

    def _add(self, step: Step) -> Told:
        addition, show = step.after, self.question.show
        working, check = addition.working, addition.working.check
        stated = {
            "number": addition.number,
            "total": show(addition.total),
            "term": show(addition.term),
            "outcome": working.outcome,
            "exact": check.exact,
            "missed": abs(check.error or Fraction(0)),
            "absorbed": addition.absorbed,
        }
        if working.pattern is None:
            return told("term", ["term.out"], **stated)
        said = ["term.gives"]
        if addition.absorbed:
            said.append("term.absorbed")
        elif check.error:
            said.append("term.lost")
        return told("term", said, **stated, result=show(working.pattern))

    def _add_rows(self, step: Step, _: Mapping[str, object]) -> list[Row]:
        addition, fmt = step.after, self.format
        rows = [
            pattern_row("total", addition.total, fmt),
            pattern_row(f"term {addition.number}", addition.term, fmt)._replace(plus=True),
        ]
        rows += [
            losing(row, addition.number)
            for part in addition.working.steps
            for row in part.rows
            if row.lost_value
        ]
        if addition.working.pattern is not None:
            rows.append(pattern_row("new total", addition.working.pattern, fmt))
        return rows

    def _order(self, step: Step) -> Told:
        order, question = step.after, self.question
        first, *rest = (question.show(question.patterns[number - 1]) for number in order.terms)
        terms = " + ".join([first, *map(bracketed, rest)])
        if order.result is None:
            return told("order", ["order.word"], terms=terms)
        off = abs(order.error or Fraction(0))
        stated = {
            "terms": terms,
            "result": question.show(order.result),
            "off": f"off by {self.value(off)}" if off else "exact",
            "error": order.error,
        }
        if not order.better:
            return told("order", ["order.no-nearer"], **stated)
        why = order.why or "better"
        return told("order.better", [f"order.{why}"], **stated)

    def _order_rows(self, step: Step, _: Mapping[str, object]) -> list[Row]:
        order = step.after
        return [pattern_row("result", order.result, self.format)] if order.better else []


def losing(row: Row, number: int) -> Row:
    """Return a row of one addition that lost digits, named as it is in the chain."""
    labels = {"after": f"term {number} moved", "rounded": "rounded", "repaired": "sum repaired"}
    row = row._replace(soft=True, moved=0, filled=0)
    return speak(row, label=labels.get(row.label, row.label))
