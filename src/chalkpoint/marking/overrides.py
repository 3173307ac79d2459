"""A teacher's decisions, read back: they change a mark and never lose what it was."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeAlias

from chalkpoint.marking.cells import tame, untame
from chalkpoint.numbers.datafiles import read_text
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.setting.marks import Mark
from chalkpoint.setting.papers import Papers

__all__ = [
    "ACCEPT",
    "COLUMNS",
    "STAND",
    "Decision",
    "Decisions",
    "Ruling",
    "Rulings",
    "check_decisions",
    "decide_points",
    "overrides_in",
    "read_decisions",
    "write_overrides",
]

COLUMNS = ("student", "question", "line", "marks", "reason")
RULED = ("group", "ruling")
ACCEPT, STAND = "accept", "let it stand"


@dataclass(frozen=True, slots=True)
class Decision:
    """What a teacher gives for one line, and why."""

    marks: int
    reason: str


Decisions: TypeAlias = Mapping[tuple[str, int, str], Decision]
"""By student, question and line."""


@dataclass(frozen=True, slots=True)
class Ruling:
    """What a teacher decides once for every answer that is alike in what is doubtful about it.

    accepted  whether it earns what it could earn; if not, the marks stay as they are
    """

    accepted: bool
    reason: str = ""

    def said(self, group: str) -> str:
        """Return what is ruled on *group*, in words."""
        words = f"{group}: {'accepted' if self.accepted else 'left as marked'}"
        return f"{words} ({self.reason})" if self.reason else words


Rulings: TypeAlias = Mapping[str, Ruling]
"""By what is decided: "exponent in decimal", "right mantissa, wrong exponent"."""


def read_decisions(path: str | Path) -> tuple[dict[tuple[str, int, str], Decision], dict[str, Ruling]]:
    """Return the decisions in a CSV file: those on single lines, and those on groups.

    A row has student, question, line, marks and reason, or group, ruling and reason; one whose marks or ruling is
    left empty is not decided yet. Other columns are for whoever fills it in.

    Raises FileError when it cannot be read, EntryError naming the row where one cannot be taken.
    """
    text = read_text(path, "decisions", f"a .csv with {', '.join(COLUMNS)}", encoding="utf-8-sig")
    return overrides_in(text, str(path))


def overrides_in(text: str, source: str) -> tuple[dict[tuple[str, int, str], Decision], dict[str, Ruling]]:
    r"""Return the decisions in the text of such a file, called *source* in refusals.

    >>> overrides_in("student,question,line,marks,reason\nH01,1,answer exponent,1,seen\n", "decisions")
    ({('H01', 1, 'answer exponent'): Decision(marks=1, reason='seen')}, {})
    """
    reader = csv.DictReader(io.StringIO(text, newline=""))
    heads = set(reader.fieldnames or ())
    missing = [name for name in COLUMNS[:-1] if name not in heads]
    if missing and not heads >= {"group", "ruling"}:
        raise EntryError(f"{source}: there is no column {missing[0]!r}; give {', '.join(COLUMNS)}")
    decisions: dict[tuple[str, int, str], Decision] = {}
    rulings: dict[str, Ruling] = {}
    for number, row in enumerate(reader, start=2):
        cells = {name: untame((row.get(name) or "").strip()) for name in (*COLUMNS, *RULED)}
        where = f"{source}, row {number}"
        if cells["group"] and not cells["student"]:
            if cells["ruling"]:
                rulings[cells["group"]] = _ruling(where, cells)
        elif cells["marks"] or cells["reason"] or not cells["student"]:
            key, decision = _decision(where, cells)
            decisions[key] = decision
    return decisions, rulings


def write_overrides(decisions: Decisions, rulings: Rulings | None = None) -> str:
    """Return *decisions* as the text of such a file, by pupil, question and line; *rulings* on groups before them.

    >>> write_overrides({("H01", 1, "answer"): Decision(1, "seen")}).splitlines()
    ['student,question,line,marks,reason', 'H01,1,answer,1,seen']
    >>> write_overrides({}, {"exponent in decimal": Ruling(True)}).splitlines()
    ['student,question,line,marks,reason,group,ruling', ',,,,,exponent in decimal,accept']
    """
    kept = io.StringIO(newline="")
    writer = csv.writer(kept)
    writer.writerow((*COLUMNS, *RULED) if rulings else COLUMNS)
    for group, ruling in sorted((rulings or {}).items()):
        writer.writerow(
            ["", "", "", "", tame(ruling.reason), tame(group), ACCEPT if ruling.accepted else STAND]
        )
    for (student, question, line), decision in sorted(decisions.items()):
        writer.writerow([tame(student), question, tame(line), decision.marks, tame(decision.reason)])
    return kept.getvalue()


def _decision(where: str, cells: Mapping[str, str]) -> tuple[tuple[str, int, str], Decision]:
    for name in ("question", "marks"):
        if not cells[name].isdigit():
            raise EntryError(
                f"{where}: {name} is {cells[name]!r}; write a whole number (columns: {', '.join(COLUMNS)})"
            )
    key = cells["student"], int(cells["question"]), cells["line"].lower()
    return key, Decision(int(cells["marks"]), cells["reason"])


def _ruling(where: str, cells: Mapping[str, str]) -> Ruling:
    if cells["ruling"].lower() not in {ACCEPT, STAND}:
        raise EntryError(f"{where}: ruling is {cells['ruling']!r}; write {ACCEPT} or {STAND}")
    return Ruling(cells["ruling"].lower() == ACCEPT, cells["reason"])


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
    points: tuple[Mark, ...],
    student: str,
    question: int,
    decisions: Decisions,
    rulings: Rulings | None = None,
) -> tuple[Mark, ...]:
    """Return *points* as the teacher decided them; a decision for more marks than there are is refused.

    What is decided for one answer goes before what is ruled for its group.
    """
    return tuple(_decided(point, student, question, decisions, rulings or {}) for point in points)


def _decided(mark: Mark, student: str, question: int, decisions: Decisions, rulings: Rulings) -> Mark:
    name = mark.name
    decision = decisions.get((student, question, name)) or decisions.get((student, question, mark.rule))
    if decision is None and mark.for_teacher and mark.group in rulings:
        decision = _by_ruling(mark, rulings[mark.group])
    if decision is None:
        return mark
    if decision.marks > mark.marks:
        raise EntryError(
            f"{decision.marks} marks for {student}, question {question}, {name}; it has {mark.marks}"
        )
    why = f"The teacher decided: {decision.reason or 'no reason given'}. Before: {mark.why}"
    return replace(mark, given=decision.marks, was=mark.given, why=why, for_teacher=False)


def _by_ruling(mark: Mark, ruling: Ruling) -> Decision:
    return Decision(mark.most if ruling.accepted else mark.given, ruling.said(mark.group))
