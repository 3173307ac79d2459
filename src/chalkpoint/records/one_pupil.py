"""All that is kept under one pupil's code: carried away, or erased, from every set of papers that a class sat.

The same code may be another pupil in another class, so a class says which one is meant; without one, every set of
papers of the teacher is gone through.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, and_, delete, select
from sqlalchemy.orm import Session

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.records import kept, stacks
from chalkpoint.records.audit import LOOKED, about_pupil
from chalkpoint.records.ids import now
from chalkpoint.records.schema import (
    AnswerRow,
    AuditRow,
    BeliefRow,
    DecisionRow,
    EntryRow,
    KeptRow,
    RunRow,
    ScriptRow,
    TeacherRow,
)

__all__ = ["BACKUPS", "SCHEMA", "Erased", "erase_pupil", "export_pupil"]

SCHEMA = "chalkpoint.pupil/1"
BACKUPS = (
    "Backups made before today, files carried away and papers printed still hold this pupil's answers and marks; "
    "they are forgotten when those are destroyed."
)


@dataclass(frozen=True, slots=True)
class Erased:
    """What was erased.

    counts  how much of each, by what it is called
    runs    (papers, marking) whose marks are fewer now; files made of them say too much
    """

    counts: dict[str, int]
    runs: Sequence[tuple[str, str]]


def export_pupil(db: Session, teacher: str, code: str, class_id: str | None = None) -> JsonObject:
    """Return all that is kept under a code (chalkpoint.pupil/1): deleted scripts and older markings too.

    Raises NotKept for a class that is not the teacher's.
    """
    papers = [
        found
        for one in _papers(db, teacher, class_id)
        if len(found := _of_papers(db, one, code)) > len(_head(one))
    ]
    return {
        "schema": SCHEMA,
        "code": code,
        "made": now(),
        "classes": [one.title for one in _classes(db, teacher, code, class_id)],
        "papers": papers,
        "backups": BACKUPS,
    }


def _head(one: KeptRow) -> JsonObject:
    return {"title": one.title, "created": one.created, "deleted": one.deleted}


def _of_papers(db: Session, one: KeptRow, code: str) -> JsonObject:
    """Return what is kept under a code of one set of papers; parts that are empty are left out."""
    marked = select(RunRow.created, RunRow.rules, EntryRow.body).join(EntryRow, EntryRow.run == RunRow.id)
    marked = marked.where(RunRow.papers == one.id, EntryRow.student == code).order_by(RunRow.created)
    decided = select(DecisionRow).where(DecisionRow.papers == one.id, DecisionRow.student == code)
    audit = select(AuditRow, TeacherRow.name).join(TeacherRow, TeacherRow.id == AuditRow.teacher)
    lines = [(row, who) for row, who in db.execute(audit.where(_told(one.id, code)).order_by(AuditRow.at))]
    parts = {
        "script": _script(db, one.id, code),
        "pages": stacks.carried_away(db, one.id, code),
        "markings": [
            {"at": at, "rules": rules, "entry": json.loads(body)} for at, rules, body in db.execute(marked)
        ],
        "decisions": [
            {
                "at": row.at,
                "question": row.question,
                "line": row.line,
                "marks": row.marks,
                "reason": row.reason,
                "withdrawn": row.withdrawn,
            }
            for row in db.scalars(decided.order_by(DecisionRow.at))
        ],
        "audit": [
            {"at": row.at, "what": row.what, "before": row.before, "after": row.after}
            for row, _ in lines
            if row.what != LOOKED
        ],
        "looked_at": [{"at": row.at, "by": who} for row, who in lines if row.what == LOOKED],
    }
    return _head(one) | {name: part for name, part in parts.items() if part}


def _script(db: Session, papers: str, code: str) -> JsonObject | None:
    row = db.scalar(select(ScriptRow).where(ScriptRow.papers == papers, ScriptRow.student == code))
    if row is None:
        return None
    lines = db.scalars(select(AnswerRow).where(AnswerRow.script == row.id).order_by(AnswerRow.place))
    return {
        "variant": row.variant,
        "created": row.created,
        "changed": row.changed,
        "deleted": row.deleted,
        "lines": [{"question": line.question, "line": line.line, "written": line.written} for line in lines],
        "repaired": json.loads(row.troubles),
    }


def erase_pupil(db: Session, teacher: str, code: str, class_id: str | None = None) -> Erased:
    """Erase all that is kept under a code, for good; that it was done is noted, without the code.

    What is deleted is overwritten on the disk once the transaction is done and `Store.forget_traces` was called.

    Raises NotKept for a class that is not the teacher's.
    """
    counts = dict.fromkeys(
        ("scripts", "pages", "marks", "decisions", "lines of the audit", "entries in a class"), 0
    )
    runs: list[tuple[str, str]] = []
    for one in _papers(db, teacher, class_id):
        mine = select(RunRow.id).where(RunRow.papers == one.id)
        entries = and_(EntryRow.run.in_(mine), EntryRow.student == code)
        runs += [(one.id, run) for run in db.scalars(select(EntryRow.run).where(entries))]
        db.execute(delete(BeliefRow).where(BeliefRow.run.in_(mine), BeliefRow.student == code))
        counts["pages"] += stacks.erase(db, one.id, code)
        for what, table, which in (
            ("scripts", ScriptRow, and_(ScriptRow.papers == one.id, ScriptRow.student == code)),
            ("marks", EntryRow, entries),
            ("decisions", DecisionRow, and_(DecisionRow.papers == one.id, DecisionRow.student == code)),
            ("lines of the audit", AuditRow, _told(one.id, code)),
        ):
            done: Any = db.execute(delete(table).where(which))
            counts[what] += done.rowcount
    for group in _classes(db, teacher, code, class_id):
        group.body = "\n".join(other for other in group.body.split() if other != code)
        counts["entries in a class"] += 1
    if any(counts.values()):
        db.add(AuditRow(teacher=teacher, what="erased a pupil", object=class_id or ""))
    return Erased({what: count for what, count in counts.items() if count}, runs)


def _told(papers: str, code: str) -> ColumnElement[bool]:
    return and_(AuditRow.object == papers, about_pupil(code))


def _papers(db: Session, teacher: str, class_id: str | None) -> list[KeptRow]:
    """Return the papers a class sat, or all of a teacher's; deleted ones too, since they can be brought back."""
    if class_id is not None:
        kept.one(db, teacher, "class", class_id)
    query = select(KeptRow).where(KeptRow.teacher == teacher, KeptRow.kind == "papers")
    found = db.scalars(query.order_by(KeptRow.created)).all()
    return [one for one in found if class_id in {None, json.loads(one.about).get("class")}]


def _classes(db: Session, teacher: str, code: str, class_id: str | None) -> list[KeptRow]:
    query = select(KeptRow).where(KeptRow.teacher == teacher, KeptRow.kind == "class")
    chosen = query if class_id is None else query.where(KeptRow.id == class_id)
    return [one for one in db.scalars(chosen.order_by(KeptRow.created)) if code in one.body.split()]
