"""A teacher's decisions, read back: they change a mark and never lose what stood there before."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeAlias

from chalkpoint.marking.cells import untame
from chalkpoint.marking.points import PointMark
from chalkpoint.numbers.errors import EntryError, FileError, near_misses
from chalkpoint.setting.papers import Papers

__all__ = ["COLUMNS", "Decision", "Decisions", "check_decisions", "decide_points", "read_overrides"]

COLUMNS = ("student", "question", "line", "marks", "reason")


@dataclass(frozen=True, slots=True)
class Decision:
    """What a teacher gives for one line, and why."""

    marks: int
    reason: str


Decisions: TypeAlias = Mapping[tuple[str, int, str], Decision]
"""By student, question and line."""


def read_overrides(path: str | Path) -> dict[tuple[str, int, str], Decision]:
    """Return the decisions in a CSV file with the columns student, question, line, marks, reason.

    Raises FileError when it cannot be read, EntryError naming the row where one cannot be taken.
    """
    try:
        with Path(path).open(encoding="utf-8-sig", newline="") as file:
            return dict(
                _decision(path, number, row) for number, row in enumerate(csv.DictReader(file), start=2)
            )
    except (OSError, UnicodeDecodeError) as reason:
        why = getattr(reason, "strerror", None) or "not text in UTF-8"
        raise FileError(
            f"the decisions {str(path)!r} cannot be read ({why}); give a .csv with {', '.join(COLUMNS)}"
        ) from reason


def _decision(
    path: str | Path, number: int, row: Mapping[str, str | None]
) -> tuple[tuple[str, int, str], Decision]:
    cells = {name: untame((row.get(name) or "").strip()) for name in COLUMNS}
    for name in ("question", "marks"):
        if not cells[name].isdigit():
            raise EntryError(
                f"{path}, row {number}: {name} is {cells[name]!r}; write a whole number "
                f"(columns: {', '.join(COLUMNS)})"
            )
    key = cells["student"], int(cells["question"]), cells["line"].lower()
    return key, Decision(int(cells["marks"]), cells["reason"])


def check_decisions(decisions: Decisions, papers: Papers) -> None:
    """Raise EntryError for a decision on a question or line that was not set, or for more marks than it has."""
    most: dict[int, dict[str, int]] = {}
    for paper in papers.variants.values():
        for asked in paper.questions:
            lines = most.setdefault(asked.number, {})
            for point in asked.points:
                for name in (point.name, point.rule):
                    lines[name] = max(lines.get(name, 0), point.marks)
    for (student, question, line), decision in decisions.items():
        where = f"the decision for {student}, question {question}, {line}"
        if question not in most:
            raise EntryError(f"{where}: there is no such question; they are {min(most)} to {max(most)}")
        if line not in most[question]:
            raise EntryError(f"{where}: there is no such line; {near_misses(line, sorted(most[question]))}")
        if decision.marks > most[question][line]:
            raise EntryError(f"{where}: {decision.marks} marks; it has {most[question][line]}")


def decide_points(
    points: tuple[PointMark, ...], student: str, question: int, decisions: Decisions
) -> tuple[PointMark, ...]:
    """Return *points* as the teacher decided them; a decision for more marks than there are is refused."""
    return tuple(_decided(point, student, question, decisions) for point in points)


def _decided(mark: PointMark, student: str, question: int, decisions: Decisions) -> PointMark:
    name = mark.point.name
    decision = decisions.get((student, question, name)) or decisions.get((student, question, mark.point.rule))
    if decision is None:
        return mark
    if decision.marks > mark.point.marks:
        raise EntryError(
            f"{decision.marks} marks for {student}, question {question}, {name}; it has {mark.point.marks}"
        )
    why = f"The teacher decided: {decision.reason or 'no reason given'}. Before: {mark.why}"
    return replace(mark, marks=decision.marks, was=mark.marks, why=why, for_teacher=False)
