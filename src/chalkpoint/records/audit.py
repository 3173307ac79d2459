"""The audit: what was decided about marks, by whom and when, and what stood there before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from chalkpoint.records.schema import AuditRow

__all__ = ["Noted", "audit_of", "note"]


@dataclass(frozen=True, slots=True)
class Noted:
    """One line of the audit."""

    at: str
    what: str
    object: str
    before: str
    after: str


def note(db: Session, teacher: str, what: str, object: str, before: str = "", after: str = "") -> None:
    """Write a line, in the transaction of what it tells of."""
    db.add(AuditRow(teacher=teacher, what=what, object=object, before=before, after=after))


def audit_of(db: Session, teacher: str, object: str) -> Sequence[Noted]:
    """Return the lines about a thing, oldest first."""
    query = select(AuditRow).where(AuditRow.teacher == teacher, AuditRow.object == object)
    rows = db.scalars(query.order_by(AuditRow.at, AuditRow.id))
    return [Noted(row.at, row.what, row.object, row.before, row.after) for row in rows]
