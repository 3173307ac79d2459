"""A class's marks, and the teacher's decisions, as tables: text or workbook, written as they come."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path
from types import TracebackType
from typing import Self, TextIO

from chalkpoint.marking.cells import tame, untame
from chalkpoint.marking.groups import READ_ONE_BY_ONE, decisions_in
from chalkpoint.marking.overrides import ACCEPT, STAND, Decisions, Rulings
from chalkpoint.marking.students import Entry
from chalkpoint.marking.summary import Summary
from chalkpoint.publishing.xlsxbook import write_book
from chalkpoint.setting.papers import Papers

__all__ = ["HEADS", "MarksTable", "decision_rows", "write_decisions", "write_workbook"]


def heads(papers: Papers) -> list[str]:
    """Return the heads of the marks table."""
    asked = papers.first.questions
    columns = [f"{one.number} (of {one.marks})" for one in asked]
    return ["student", "variant", *columns, "marks", "could be", "of", "beliefs", "for teacher"]


def row(entry: Entry) -> list[object]:
    """Return one pupil's row; a pupil who handed nothing in has no marks."""
    named = ["/".join(belief["among"]) for belief in entry["beliefs"] if belief["named"]]
    marks = [question["marks"] for question in entry["questions"]]
    if entry["absent"]:
        marks = [""] * len(marks)
    total, could = ("", "") if entry["absent"] else (entry["marks"], entry.get("could", entry["marks"]))
    waiting = decisions_in(entry)
    return [entry["student"], entry["variant"], *marks, total, could, entry["of"], " ".join(named), waiting]


class MarksTable:
    """A CSV file of marks, a row at a time; a cell that a sheet program would run is kept as text."""

    def __init__(self, path: Path, papers: Papers) -> None:
        self.path, self.papers = path, papers

    def __enter__(self) -> Self:
        self.file: TextIO = self.path.open("w", encoding="utf-8-sig", newline="")
        self.writer = csv.writer(self.file)
        self.writer.writerow(heads(self.papers))
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.file.close()

    def add(self, entry: Entry) -> None:
        """Write one pupil's row."""
        self.writer.writerow([tame(cell) if isinstance(cell, str) else cell for cell in row(entry)])


def write_workbook(path: Path, source: Path) -> None:
    """Write the marks in the CSV file *source* as a workbook, a row at a time.

    A cell of a workbook that is said to be text is never run, so what begins like a formula is kept as it is.
    """
    with source.open(encoding="utf-8-sig", newline="") as file:
        rows = (
            [int(cell) if number and _is_mark(at, cell) else untame(cell) for at, cell in enumerate(cells)]
            for number, cells in enumerate(csv.reader(file))
        )
        write_book(path, "marks", rows, frozen=1)


def _is_mark(at: int, cell: str) -> bool:
    return at > 0 and cell.isdigit() and len(cell) < 6


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
