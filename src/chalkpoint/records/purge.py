"""Forgetting by age: what pupils wrote and what was made of it, what was deleted, and old sessions."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from sqlalchemy import ColumnElement, delete, func, or_, select

from chalkpoint.numbers.errors import EntryError
from chalkpoint.records.ids import time_text
from chalkpoint.records.schema import (
    AuditRow,
    Base,
    DecisionRow,
    JobRow,
    KeptRow,
    RoomRow,
    RunRow,
    ScriptRow,
    SecurityRow,
    SessionRow,
    StackRow,
    TryRow,
)
from chalkpoint.records.store import Store, Transaction

__all__ = ["forget_before", "purge", "written_before"]

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
        counts = _counted(db, [*_of_pupils(before), *_others(before)])
        if not dry_run:
            forget_before(db, before)
    if not dry_run:
        store.forget_traces()
    return counts


def forget_before(db: Transaction, before: str) -> None:
    """Forget all that is older than a time."""
    for _, row, old in [*_of_pupils(before), *_others(before)]:
        db.execute(delete(row).where(old))


def written_before(db: Transaction, before: str) -> dict[str, int]:
    """Return how much of what pupils wrote, and of what was made of it, is older than a time; only what there is."""
    return {name: count for name, count in _counted(db, _of_pupils(before)).items() if count}


Old = tuple[str, type[Base], ColumnElement[bool]]


def _counted(db: Transaction, olds: Sequence[Old]) -> dict[str, int]:
    return {name: db.scalar(select(func.count()).select_from(row).where(old)) or 0 for name, row, old in olds}


def _of_pupils(before: str) -> list[Old]:
    gone = select(KeptRow.id).where(KeptRow.deleted < before)  # what belongs to them goes with them
    return [
        ("scripts", ScriptRow, or_(ScriptRow.changed < before, ScriptRow.papers.in_(gone))),
        ("markings", RunRow, or_(RunRow.created < before, RunRow.papers.in_(gone))),
        ("stacks of pages", StackRow, or_(StackRow.changed < before, StackRow.papers.in_(gone))),
        ("decisions", DecisionRow, or_(DecisionRow.at < before, DecisionRow.papers.in_(gone))),
        ("lines of the audit", AuditRow, AuditRow.at < before),
    ]


def _others(before: str) -> list[Old]:
    return [
        ("deleted things", KeptRow, KeptRow.deleted < before),
        ("live rooms", RoomRow, RoomRow.opened < before),
        ("sessions", SessionRow, SessionRow.created < before),
        ("finished work", JobRow, JobRow.created < before),
        ("failed tries", TryRow, TryRow.at < before),
        ("lines of the security log", SecurityRow, SecurityRow.at < before),
    ]
