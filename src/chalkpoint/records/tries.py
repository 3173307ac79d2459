"""Failed tries at a secret, counted in the database so that no second process gives a second chance."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from sqlalchemy import delete, func, select
from sqlalchemy.orm import Session

from chalkpoint.records.ids import time_text
from chalkpoint.records.schema import TryRow

__all__ = ["MOST", "forget", "note", "too_many"]

MOST = 10  # failed tries at one secret within the time below
WITHIN = timedelta(minutes=5)


def note(db: Session, what: str) -> None:
    """Note a failed try at *what*, and forget the ones that no longer count."""
    db.execute(delete(TryRow).where(TryRow.at < _since()))
    db.add(TryRow(what=what))


def too_many(db: Session, what: str, *, most: int = MOST) -> bool:
    """Tell whether *what* was tried in vain too often of late."""
    found = db.scalar(select(func.count()).where(TryRow.what == what, TryRow.at >= _since()))
    return (found or 0) >= most


def forget(db: Session, what: str) -> None:
    """Forget the failed tries at *what*: the right one came."""
    db.execute(delete(TryRow).where(TryRow.what == what))


def _since() -> str:
    return time_text(datetime.now(UTC) - WITHIN)
