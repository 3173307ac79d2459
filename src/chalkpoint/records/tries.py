"""Failed tries at a secret, counted in the database so that no second process gives a second chance.

Tries are counted for each browser and each address that makes them, never for the secret alone: nobody can keep
another out by trying. After a few, each next try must wait longer; one that does not wait is not counted.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from sqlalchemy import delete, func, select
from sqlalchemy.orm import Session

from chalkpoint.records.ids import time_text
from chalkpoint.records.schema import TryRow

__all__ = ["FREE", "forget", "note", "too_many", "wait_for"]

FREE = 5  # failed tries before a wait
LONGEST_WAIT = 60  # seconds
WITHIN = timedelta(minutes=15)  # after which a try is forgotten


def note(db: Session, what: str) -> None:
    """Note a try at *what*, and forget the ones that no longer count."""
    db.execute(delete(TryRow).where(TryRow.at < _since()))
    db.add(TryRow(what=what))
    db.flush()


def wait_for(db: Session, what: str) -> int:
    """Return how many seconds the next try at *what* must wait: 0 at first, then 1, 2, 4 and so on up to 60."""
    count, last = db.execute(
        select(func.count(), func.max(TryRow.at)).where(TryRow.what == what, TryRow.at >= _since())
    ).one()
    if count < FREE:
        return 0
    wait: int = min(LONGEST_WAIT, 1 << min(count - FREE, 10))
    passed = datetime.now(UTC) - datetime.fromisoformat(last)
    return max(0, wait - int(passed.total_seconds()))


def too_many(db: Session, what: str, *, most: int) -> bool:
    """Tell whether *what* was tried in vain too often of late."""
    found = db.scalar(select(func.count()).where(TryRow.what == what, TryRow.at >= _since()))
    return (found or 0) >= most


def forget(db: Session, what: str) -> None:
    """Forget the tries at *what*: the right one came."""
    db.execute(delete(TryRow).where(TryRow.what == what))


def _since() -> str:
    return time_text(datetime.now(UTC) - WITHIN)
