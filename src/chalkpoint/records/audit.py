"""The audit: what was decided about marks and who looked at scripts, by whom and when, and the state before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from sqlalchemy import ColumnElement, and_, or_, select
from sqlalchemy.orm import Session

from chalkpoint.records.ids import time_text
from chalkpoint.records.schema import AuditRow, TeacherRow

__all__ = ["LOOKED", "Noted", "about_pupil", "audit_of", "looks_at", "note", "note_look"]

LOOKED = "looked at a script"
ONE_LOOK = timedelta(hours=1)  # in which the same eyes on the same script are one look


@dataclass(frozen=True, slots=True)
class Noted:
    """One line of the audit.

    who  the name of the teacher who did it
    """

    at: str
    what: str
    object: str
    before: str
    after: str
    who: str = ""


def note(db: Session, teacher: str, what: str, object: str, before: str = "", after: str = "") -> None:
    """Write a line, in the transaction of what it tells of."""
    db.add(AuditRow(teacher=teacher, what=what, object=object, before=before, after=after))


def note_look(db: Session, teacher: str, papers: str, student: str) -> None:
    """Note that a teacher looked at a script of a class that is shared; again within the hour is the same look."""
    since = time_text(datetime.now(UTC) - ONE_LOOK)
    same = (AuditRow.teacher == teacher, AuditRow.object == papers, AuditRow.what == LOOKED)
    if db.scalar(select(AuditRow.id).where(*same, AuditRow.after == student, AuditRow.at > since)) is None:
        note(db, teacher, LOOKED, papers, after=student)


def audit_of(db: Session, teacher: str, object: str) -> Sequence[Noted]:
    """Return what a teacher did about a thing, oldest first."""
    return _lines(db, and_(AuditRow.teacher == teacher, AuditRow.object == object))


def looks_at(db: Session, objects: Sequence[str]) -> Sequence[Noted]:
    """Return who looked at the scripts of sets of papers, oldest first."""
    return _lines(db, and_(AuditRow.object.in_(objects), AuditRow.what == LOOKED))


def _lines(db: Session, which: ColumnElement[bool]) -> Sequence[Noted]:
    query = select(AuditRow, TeacherRow.name).join(TeacherRow, TeacherRow.id == AuditRow.teacher)
    rows = db.execute(query.where(which).order_by(AuditRow.at, AuditRow.id))
    return [Noted(row.at, row.what, row.object, row.before, row.after, who) for row, who in rows]


def about_pupil(code: str) -> ColumnElement[bool]:
    """Return the condition that a line is about the pupil of that code."""
    begins = f"{code}, question "
    return or_(
        AuditRow.before.startswith(begins, autoescape=True),
        AuditRow.after.startswith(begins, autoescape=True),
        and_(AuditRow.what == LOOKED, AuditRow.after == code),
    )
