"""How long pupils' answers and marks are kept, and the month's notice before they are deleted."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from sqlalchemy.orm import Session

from chalkpoint.numbers.errors import EntryError
from chalkpoint.records.ids import time_text
from chalkpoint.records.looking import find
from chalkpoint.records.purge import forget_before, written_before
from chalkpoint.records.schema import SettingRow
from chalkpoint.records.store import Store
from chalkpoint.records.upserts import upsert

__all__ = ["FOR_EVER", "MOST", "USUAL_DAYS", "Notice", "days_kept", "keep_for", "notice_of", "tend"]

USUAL_DAYS = 760  # two school years and the summer after them
FOR_EVER = 0
LEAST, MOST = 90, 36_500
NOTICED = timedelta(days=30)  # of notice before anything is deleted
DAYS, NOTICE = "retention", "retention-notice"


@dataclass(frozen=True, slots=True)
class Notice:
    """What will be forgotten.

    before  all that pupils wrote, and all that was made of it, before this time
    on      not before this time
    """

    before: str
    on: str


def days_kept(db: Session) -> int:
    """Return for how many days what pupils wrote is kept; FOR_EVER where it is never forgotten by itself."""
    row = find(db, SettingRow, DAYS)
    return int(row.value) if row else USUAL_DAYS


def keep_for(db: Session, days: int) -> None:
    """Keep what pupils wrote for so many days, or FOR_EVER; a notice in force is withdrawn.

    Raises EntryError for a number that is none of days.
    """
    if days != FOR_EVER and not LEAST <= days <= MOST:
        raise EntryError(
            f"{days} days is not taken; give from {LEAST} to {MOST}, or {FOR_EVER} to keep everything"
        )
    _set(db, DAYS, str(days))
    _set(db, NOTICE, "")


def notice_of(db: Session) -> Notice | None:
    """Return the notice in force, if there is one."""
    row = find(db, SettingRow, NOTICE)
    return Notice(**json.loads(row.value)) if row and row.value else None


def tend(store: Store, clock: Callable[[], datetime] = lambda: datetime.now(UTC)) -> bool:
    """Delete what a notice of full length announced, or give notice of what is due soon.

    So nothing is forgotten that is younger than the days it is kept for, nor without a month's notice, however long
    nobody served. Return whether anything was forgotten.
    """
    with store.write() as db:
        days, notice, time = days_kept(db), notice_of(db), clock()
        if days == FOR_EVER:
            return False
        due = notice is not None and time_text(time) >= notice.on
        if due and notice is not None:
            forget_before(db, notice.before)
            _set(db, NOTICE, "")
        elif notice is None:
            before = time_text(time - timedelta(days=days) + NOTICED)
            if written_before(db, before):
                _set(db, NOTICE, json.dumps({"before": before, "on": time_text(time + NOTICED)}))
    if due:
        store.forget_traces()
    return due


def _set(db: Session, name: str, value: str) -> None:
    upsert(db, SettingRow, {"name": name, "value": value})
