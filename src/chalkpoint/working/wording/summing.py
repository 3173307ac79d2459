"""What a chain of additions writes on the board: a line for each addition, and another order."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

from chalkpoint.numbers.exact import write_value
from chalkpoint.working.question import Question
from chalkpoint.working.speech import for_ear
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.heading import bracketed
from chalkpoint.working.wording.patterns import pattern_row
from chalkpoint.working.written import Row, Written

__all__ = ["writer"]


def writer(question: Question) -> Callable[[Step], Written]:
    """Return what writes a step of the sum *question*."""

    def write(step: Step) -> Written:
        title, detail, rows = LINES[step.rule](question, step.after)
        ear = for_ear(detail, point=question.course.point).rstrip(".")
        return Written(
            title, detail, f"{'. '.join([title, ear, *(row.spoken for row in rows)])}.", tuple(rows)
        )

    return write


def _add(question: Question, addition: Any) -> tuple[str, str, list[Row]]:
    fmt, working = question.format, addition.working
    total, term = question.show(addition.total), question.show(addition.term)
    title = f"Add term {addition.number}"
    rows = [
        pattern_row("total", addition.total, fmt),
        replace(pattern_row(f"term {addition.number}", addition.term, fmt), plus=True),
    ]
    if working.pattern is None:
        return (
            title,
            f"{total} + {bracketed(term)} is out of range: {working.outcome}. The chain ends here.",
            rows,
        )
    said = [f"{total} + {bracketed(term)} gives {question.show(working.pattern)}."]
    error = working.check.error
    if addition.absorbed:
        said.append("The term is absorbed: it is too small beside the total to change it.")
    elif error:
        missed = write_value(abs(error), point=question.course.point)
        said.append(
            f"The exact sum is {write_value(working.check.exact, point=question.course.point)}; {missed} is lost here."
        )
    rows.append(pattern_row("new total", working.pattern, fmt))
    return title, " ".join(said), rows


WHY_BETTER = {
    "cancels": ": the two large terms cancel before a small one can be lost beside them",
    "grows": ": small terms together can grow before they meet a large one",
    "": "",
}


def _order(question: Question, order: Any) -> tuple[str, str, list[Row]]:
    point, fmt = question.course.point, question.format
    shown = " + ".join(bracketed(question.show(question.patterns[number - 1])) for number in order.terms)
    if order.result is None:
        return "Another order", f"The smallest first, {shown}, ends in a word too.", []
    result = question.show(order.result)
    off = write_value(abs(order.error or Fraction(0)), point=point)
    how_far = "exact" if order.error == 0 else f"off by {off}"
    if order.better:
        row = pattern_row("result", order.result, fmt)
        return (
            "A better order",
            f"{shown} gives {result}, {how_far}{WHY_BETTER[order.why]}.",
            [row],
        )
    return "Another order", f"The smallest first, {shown}, gives {result}, {how_far}: no nearer.", []


LINES = {"add": _add, "order": _order}
