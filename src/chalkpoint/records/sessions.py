"""Sessions: a secret in the browser, its digest in the database, ended whenever the teacher says so."""

from __future__ import annotations

import secrets
from datetime import UTC, datetime, timedelta
from hashlib import sha256

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from chalkpoint.records.ids import time_text
from chalkpoint.records.schema import SessionRow, TeacherRow
from chalkpoint.records.teachers import Teacher

__all__ = ["close_all", "close_session", "forget_old", "open_session", "who"]

BYTES = 32
LASTS = timedelta(days=30)  # since it was opened


def open_session(db: Session, teacher: Teacher) -> str:
    """Open a session and return its secret, which is kept nowhere here."""
    secret = secrets.token_urlsafe(BYTES)
    db.add(SessionRow(digest=_digest(secret), teacher=teacher.id))
    return secret


def who(db: Session, secret: str) -> Teacher | None:
    """Return the teacher whose session it is; None where it is none, ended or too old."""
    query = select(TeacherRow).join(SessionRow, SessionRow.teacher == TeacherRow.id)
    row = db.scalar(query.where(SessionRow.digest == _digest(secret), SessionRow.created >= _oldest()))
    return Teacher(row.id, row.name) if row else None


def close_session(db: Session, secret: str) -> None:
    """End a session."""
    db.execute(delete(SessionRow).where(SessionRow.digest == _digest(secret)))


def close_all(db: Session, teacher: Teacher) -> None:
    """End every session of a teacher."""
    db.execute(delete(SessionRow).where(SessionRow.teacher == teacher.id))


def forget_old(db: Session) -> None:
    """Forget the sessions that have run out."""
    db.execute(delete(SessionRow).where(SessionRow.created < _oldest()))


def _digest(secret: str) -> str:
    return sha256(secret.encode()).hexdigest()


def _oldest() -> str:
    return time_text(datetime.now(UTC) - LASTS)
