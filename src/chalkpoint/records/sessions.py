"""Sessions: a secret in the browser, its digest in the database, ended whenever the teacher says so."""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from sqlalchemy import ColumnElement, and_, delete, or_, select, update
from sqlalchemy.orm import Session

from chalkpoint.records.ids import now, secret_digest, time_text
from chalkpoint.records.schema import SessionRow, TeacherRow
from chalkpoint.records.teachers import Teacher
from chalkpoint.records.upserts import upsert

__all__ = [
    "Open",
    "close_all",
    "close_one",
    "close_session",
    "forget_old",
    "needs_touch",
    "open_session",
    "sessions_of",
    "share_session",
    "touch",
    "who",
]

BYTES = 32
LASTS = timedelta(days=30)  # since it was opened
IDLE = timedelta(hours=12)  # since it was last used, where it was opened by a password
TOUCHED_EVERY = timedelta(minutes=5)
LONGEST_BROWSER = 80
SHOWN = 16  # signs of the digest that name a session to its teacher


@dataclass(frozen=True, slots=True)
class Open:
    """A session as its teacher sees it.

    name     what it is ended by; nobody gets in with it
    current  whether it is the one that asks
    """

    name: str
    browser: str
    created: str
    seen: str
    current: bool


def open_session(db: Session, teacher: Teacher, *, browser: str = "", by_password: bool = False) -> str:
    """Open a session and return its secret, which is kept nowhere here.

    browser      a few words for the list of sessions
    by_password  whether a password was given; the others end when one is set
    """
    secret = secrets.token_urlsafe(BYTES)
    row = SessionRow(
        digest=secret_digest(secret),
        teacher=teacher.id,
        browser=browser[:LONGEST_BROWSER],
        by_password=by_password,
    )
    db.add(row)
    db.flush()
    return secret


def share_session(db: Session, teacher: Teacher, secret: str) -> None:
    """Open the one session that every browser of a machine shares where nobody is asked who he is."""
    row = {"digest": secret_digest(secret), "teacher": teacher.id, "created": now(), "seen": now()}
    upsert(db, SessionRow, row)


def who(db: Session, secret: str) -> Teacher | None:
    """Return the teacher whose session it is; None where it is none, ended, too old or unused for too long."""
    query = select(TeacherRow).join(SessionRow, SessionRow.teacher == TeacherRow.id)
    row = db.scalar(query.where(SessionRow.digest == secret_digest(secret), _lasts()))
    return Teacher(row.id, row.name) if row else None


def touch(db: Session, secret: str) -> bool:
    """Note that a session is used, every few minutes only; tell whether it was noted."""
    stale = time_text(datetime.now(UTC) - TOUCHED_EVERY)
    found = db.execute(
        update(SessionRow)
        .where(SessionRow.digest == secret_digest(secret), SessionRow.seen < stale)
        .values(seen=now())
    )
    return bool(found.rowcount)  # type: ignore[attr-defined]


def needs_touch(db: Session, secret: str) -> bool:
    """Tell whether it is a while since a session's use was noted."""
    stale = time_text(datetime.now(UTC) - TOUCHED_EVERY)
    query = select(SessionRow.digest).where(
        SessionRow.digest == secret_digest(secret), SessionRow.seen < stale
    )
    return db.scalar(query) is not None


def sessions_of(db: Session, teacher: Teacher, secret: str) -> Sequence[Open]:
    """Return a teacher's open sessions, the last used first; *secret* is that of the one who asks."""
    query = (
        select(SessionRow).where(SessionRow.teacher == teacher.id, _lasts()).order_by(SessionRow.seen.desc())
    )
    mine = secret_digest(secret)
    return [
        Open(row.digest[:SHOWN], row.browser, row.created, row.seen, current=row.digest == mine)
        for row in db.scalars(query)
    ]


def close_one(db: Session, teacher: Teacher, name: str) -> bool:
    """End the session of that name; tell whether there was one."""
    found = (
        db.execute(
            delete(SessionRow).where(
                SessionRow.teacher == teacher.id, SessionRow.digest.startswith(name, autoescape=True)
            )
        )
        if len(name) == SHOWN
        else None
    )
    return found is not None and bool(found.rowcount)  # type: ignore[attr-defined]


def close_session(db: Session, secret: str) -> None:
    """End a session."""
    db.execute(delete(SessionRow).where(SessionRow.digest == secret_digest(secret)))


def close_all(db: Session, teacher: Teacher, *, but: str = "") -> None:
    """End every session of a teacher, but for the one with the secret *but*."""
    db.execute(
        delete(SessionRow).where(SessionRow.teacher == teacher.id, SessionRow.digest != secret_digest(but))
    )


def forget_old(db: Session) -> None:
    """Forget the sessions that have run out."""
    db.execute(delete(SessionRow).where(~_lasts()))


def _lasts() -> ColumnElement[bool]:
    """Return the condition that a session still lasts."""
    oldest, idle = (time_text(datetime.now(UTC) - age) for age in (LASTS, IDLE))
    return and_(SessionRow.created >= oldest, or_(~SessionRow.by_password, SessionRow.seen >= idle))
