"""Forgetting by age: what pupils wrote and what was made of it, what was deleted, and old sessions."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from sqlalchemy import ColumnElement, delete, func, or_, select

from chalkpoint.numbers.errors import EntryError
from chalkpoint.records.ids import time_text
from chalkpoint.records.schema import (
    AuditRow,
    DecisionRow,
    JobRow,
    KeptRow,
    RoomRow,
    RunRow,
    ScriptRow,
    SessionRow,
    TryRow,
)
from chalkpoint.records.store import Store

__all__ = ["purge"]

MOST_DAYS = 36_500


def purge(store: Store, days: int, *, dry_run: bool = False) -> dict[str, int]:
    """Forget what is older than so many days; return how much of each.

    Courses, questions, blueprints, papers, lessons and classes stay unless they were deleted so long ago. With
    scripts go their lines, with markings every pupil's marks and beliefs.

    dry_run  count, and forget nothing
    """
    if not 0 <= days <= MOST_DAYS:
        raise EntryError(f"{days} days is not taken; give a whole number from 0 to {MOST_DAYS}")
    before = time_text(datetime.now(UTC) - timedelta(days=days))
    with store.write() as db:
        counts: dict[str, int] = {}
        for name, row, old in _old(before):
            counts[name] = db.scalar(select(func.count()).select_from(row).where(old)) or 0
            if not dry_run:
                db.execute(delete(row).where(old))
    if not dry_run:
        store.forget_traces()
    return counts


def _old(before: str) -> list[tuple[str, Any, ColumnElement[bool]]]:
    gone = select(KeptRow.id).where(KeptRow.deleted < before)  # what belongs to them goes with them
    return [
        ("scripts", ScriptRow, or_(ScriptRow.changed < before, ScriptRow.papers.in_(gone))),
        ("markings", RunRow, or_(RunRow.created < before, RunRow.papers.in_(gone))),
        ("decisions", DecisionRow, or_(DecisionRow.at < before, DecisionRow.papers.in_(gone))),
        ("lines of the audit", AuditRow, AuditRow.at < before),
        ("deleted things", KeptRow, KeptRow.deleted < before),
        ("live rooms", RoomRow, RoomRow.opened < before),
        ("sessions", SessionRow, SessionRow.created < before),
        ("finished work", JobRow, JobRow.created < before),
        ("failed tries", TryRow, TryRow.at < before),
    ]
