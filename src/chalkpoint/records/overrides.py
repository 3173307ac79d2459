"""A teacher's decisions on marks: added and withdrawn, never changed, and each told in the audit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from sqlalchemy import select
from sqlalchemy.orm import Session

from chalkpoint.marking.overrides import Decision
from chalkpoint.numbers.errors import EntryError
from chalkpoint.records import audit, kept
from chalkpoint.records.ids import now
from chalkpoint.records.kept import NotKept
from chalkpoint.records.looking import find
from chalkpoint.records.schema import DecisionRow

__all__ = ["Decided", "decide", "decided_together", "decisions_of", "standing", "undo", "withdraw"]

LONGEST = 1000  # characters of a reason


@dataclass(frozen=True, slots=True)
class Decided:
    """A decision as it was written down."""

    id: str
    student: str
    question: int
    line: str
    marks: int
    reason: str
    at: str
    withdrawn: str | None


def decide(
    db: Session,
    teacher: str,
    papers: str,
    *,
    student: str,
    question: int,
    line: str,
    marks: int,
    reason: str,
    before: str = "",
    at: str = "",
) -> Decided:
    """Write down a decision; *before* says what stood there, for the audit.

    at  when it was made, now by default; decisions of one moment can be undone together

    Raises NotKept for papers that are not the teacher's, EntryError for a decision without a reason.
    """
    kept.one(db, teacher, "papers", papers)
    if not reason or len(reason) > LONGEST:
        raise EntryError(f"the reason has {len(reason)} characters; give one of 1 to {LONGEST}")
    row = DecisionRow(
        papers=papers,
        teacher=teacher,
        student=student,
        question=question,
        line=line,
        marks=marks,
        reason=reason,
        at=at or now(),
    )
    db.add(row)
    db.flush()
    what = f"{student}, question {question}, {line}"
    audit.note(db, teacher, "decided", papers, f"{what}: {before}", f"{what}: {marks}, {reason}")
    return _decided(row)


def withdraw(db: Session, teacher: str, papers: str, id: str) -> Decided:
    """Take a decision back; it stays written down.

    Raises NotKept where there is none, or it was withdrawn.
    """
    kept.one(db, teacher, "papers", papers)
    row = find(db, DecisionRow, id)
    if row is None or row.papers != papers or row.withdrawn:
        raise NotKept(f"there is no decision {id!r} here, or it was withdrawn; open it from the pupil's page")
    row.withdrawn = now()
    what = f"{row.student}, question {row.question}, {row.line}"
    audit.note(db, teacher, "withdrawn", papers, f"{what}: {row.marks}, {row.reason}", f"{what}: as marked")
    db.flush()
    return _decided(row)


def undo(db: Session, teacher: str, papers: str, at: str) -> None:
    """Take back every decision that was made at one moment and was not withdrawn; twice is as good as once."""
    for one in decisions_of(db, teacher, papers):
        if one.at == at and not one.withdrawn:
            withdraw(db, teacher, papers, one.id)


def decided_together(db: Session, teacher: str, papers: str) -> list[list[Decided]]:
    """Return the decisions that were not withdrawn, those of one moment together, the latest first."""
    made = [one for one in decisions_of(db, teacher, papers) if not one.withdrawn]
    made.sort(key=lambda one: (one.at, one.student, one.question, one.line))
    return [list(few) for _, few in groupby(made, key=lambda one: one.at)][::-1]


def standing(db: Session, teacher: str, papers: str) -> dict[tuple[str, int, str], Decision]:
    """Return the decisions that were not withdrawn, as marking takes them; of two on one line the later one."""
    return {
        (one.student, one.question, one.line): Decision(one.marks, one.reason)
        for one in decisions_of(db, teacher, papers)
        if not one.withdrawn
    }


def decisions_of(db: Session, teacher: str, papers: str, student: str | None = None) -> Sequence[Decided]:
    """Return every decision on a set of papers, or on one pupil's, withdrawn ones too, oldest first."""
    kept.one(db, teacher, "papers", papers)
    query = select(DecisionRow).where(DecisionRow.papers == papers)
    if student is not None:
        query = query.where(DecisionRow.student == student)
    return [_decided(row) for row in db.scalars(query.order_by(DecisionRow.at, DecisionRow.id))]


def _decided(row: DecisionRow) -> Decided:
    return Decided(row.id, row.student, row.question, row.line, row.marks, row.reason, row.at, row.withdrawn)
