"""Long work, written down: a page may be left and the work found again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

from sqlalchemy import update
from sqlalchemy.orm import Session

from chalkpoint.records.ids import new_id, now, time_text
from chalkpoint.records.kept import NotKept
from chalkpoint.records.looking import find
from chalkpoint.records.schema import JobRow

__all__ = ["Job", "beat", "cancel", "fail", "finish", "is_cancelled", "progress", "start", "state"]

SILENT = timedelta(seconds=60)  # after which the process that did the work is taken to be gone
PROCESS = new_id()  # this one
CANCELLED = "cancelled"
WHY_CANCELLED = "the work was cancelled, and nothing of it was kept"


@dataclass(frozen=True, slots=True)
class Job:
    """How far a job is.

    state   "running", "cancelled", "done", "failed" or "stopped"
    result  the address of what was made; or why it was not, in a sentence
    back    the address of the page it was begun on
    """

    id: str
    what: str
    state: str
    done: int
    of: int
    result: str
    back: str = ""


def start(db: Session, teacher: str, what: str, of: int = 0, back: str = "") -> str:
    """Write down that work begins, and return its id."""
    row = JobRow(teacher=teacher, what=what, of=of, by=PROCESS, back=back)
    db.add(row)
    db.flush()
    return row.id


def progress(db: Session, id: str, done: int, of: int) -> None:
    """Write down how far it is."""
    _write(db, id, done=done, of=of)


def cancel(db: Session, teacher: str, id: str) -> None:
    """Write down that work is to stop at its next count; what is done already stays so.

    Raises NotKept for one that is none of the teacher's.
    """
    state(db, teacher, id)
    db.execute(
        update(JobRow)
        .where(JobRow.id == id, JobRow.state == "running")
        .values(state=CANCELLED, result=WHY_CANCELLED)
    )


def is_cancelled(db: Session, id: str) -> bool:
    """Tell whether work is to stop."""
    row = find(db, JobRow, id)
    return row is not None and row.state == CANCELLED


def beat(db: Session, id: str) -> None:
    """Write down that the work still goes on."""
    _write(db, id)


def finish(db: Session, id: str, result: str) -> None:
    """Write down what was made."""
    _write(db, id, state="done", result=result, done=JobRow.of)


def fail(db: Session, id: str, sentence: str) -> None:
    """Write down why nothing was made."""
    _write(db, id, state="failed", result=sentence)


def _write(db: Session, id: str, **columns: Any) -> None:
    """Write something down and that the work lives; a job that was forgotten meanwhile is not asked for."""
    db.execute(update(JobRow).where(JobRow.id == id).values(seen=now(), **columns))


def state(db: Session, teacher: str, id: str) -> Job:
    """Return how far a job is; one whose process is gone has stopped.

    Raises NotKept for one that is none of the teacher's.
    """
    row = find(db, JobRow, id)
    if row is None or row.teacher != teacher:
        raise NotKept(f"no work {id!r} is under way here; begin it again")
    silent = time_text(datetime.now(UTC) - SILENT)
    if row.state == "running" and row.seen < silent:
        why = "the work was stopped before it was done, and nothing was kept; begin it again"
        return Job(row.id, row.what, "stopped", row.done, row.of, why, row.back)
    return Job(row.id, row.what, row.state, row.done, row.of, row.result, row.back)
