"""The file of decisions: what was decided so far, and a row for whatever waits, to be filled in and read back."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path

from chalkpoint.marking.cells import tame
from chalkpoint.marking.groups import READ_ONE_BY_ONE
from chalkpoint.marking.overrides import ACCEPT, STAND, Decisions, Rulings
from chalkpoint.marking.summary import Summary

__all__ = ["HEADS", "decision_rows", "write_decisions"]

HEADS = ("group", "ruling", "student", "question", "line", "marks", "reason", "written", "answers", "could")


def write_decisions(path: Path, summary: Summary, decisions: Decisions, rulings: Rulings) -> None:
    """Write what `marking.overrides.read_decisions` reads back."""
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(HEADS)
        for row in decision_rows(summary, decisions, rulings):
            writer.writerow([tame(str(row.get(head, ""))) for head in HEADS])


def decision_rows(summary: Summary, decisions: Decisions, rulings: Rulings) -> Iterator[dict[str, object]]:
    """Yield the rows: rulings, groups that wait for one, decisions on single lines, lines that wait for one.

    Of what waits, "written" is what was written, or what most of a group wrote; "could" is the marks that would be
    added.
    """
    for name, ruling in rulings.items():
        yield {"group": name, "ruling": ACCEPT if ruling.accepted else STAND, "reason": ruling.reason}
    for group in summary.groups:
        if group.is_ruled_together:
            yield {
                "group": group.name,
                "written": group.example,
                "answers": group.answers,
                "could": group.at_stake,
            }
    for (student, question, line), decision in decisions.items():
        yield {
            "student": student,
            "question": question,
            "line": line,
            "marks": decision.marks,
            "reason": decision.reason,
        }
    for student, question, point in summary.waiting:
        if point.get("group", "") in READ_ONE_BY_ONE:
            yield {
                "student": student,
                "question": question,
                "line": point["name"],
                "written": point.get("written", ""),
                "could": point["could"] - point["marks"],
            }
