"""Teachers, and their passwords: kept only as argon2 digests, and tried only so often."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from argon2 import PasswordHasher
from argon2.exceptions import Argon2Error
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from chalkpoint.numbers.errors import EntryError
from chalkpoint.records import tries
from chalkpoint.records.schema import TeacherRow

__all__ = [
    "Teacher",
    "add_teacher",
    "any_password",
    "check_password",
    "local_teacher",
    "set_password",
    "teacher_called",
    "with_passwords",
]

LOCAL = "teacher"
LEAST, MOST = 10, 1000  # characters of a password
LONGEST_NAME = 200


@dataclass(frozen=True, slots=True)
class Teacher:
    """A teacher, as pages know one."""

    id: str
    name: str


def local_teacher(db: Session) -> Teacher:
    """Return the teacher of a laptop, made the first time."""
    row = db.scalar(select(TeacherRow).where(TeacherRow.local))
    if row is None:
        row = TeacherRow(name=LOCAL, local=True)
        db.add(row)
        db.flush()
    return Teacher(row.id, row.name)


def add_teacher(db: Session, name: str) -> Teacher:
    """Add a teacher, who has no password yet."""
    if not name.strip() or len(name) > LONGEST_NAME:
        raise EntryError(
            f"the name {name!r} is not taken; give a login name from 1 to {LONGEST_NAME} characters"
        )
    if db.scalar(select(TeacherRow).where(TeacherRow.name == name)):
        raise EntryError(f"there is a teacher {name!r} already; give another name")
    row = TeacherRow(name=name)
    db.add(row)
    db.flush()
    return Teacher(row.id, row.name)


def teacher_called(db: Session, name: str) -> Teacher | None:
    """Return the teacher of that name."""
    row = db.scalar(select(TeacherRow).where(TeacherRow.name == name))
    return Teacher(row.id, row.name) if row else None


def set_password(db: Session, teacher: Teacher, password: str) -> None:
    """Give a teacher a password, in place of any before."""
    if not LEAST <= len(password) <= MOST:
        raise EntryError(f"the password has {len(password)} characters; give it from {LEAST} to {MOST}")
    row = db.get_one(TeacherRow, teacher.id)
    row.password = _hasher().hash(password)


def any_password(db: Session) -> bool:
    """Tell whether any teacher has a password."""
    return bool(db.scalar(select(func.count()).where(TeacherRow.password.is_not(None))))


def with_passwords(db: Session) -> list[str]:
    """Return the names of those who can sign in."""
    query = select(TeacherRow.name).where(TeacherRow.password.is_not(None))
    return list(db.scalars(query.order_by(TeacherRow.created)))


def check_password(db: Session, name: str, password: str) -> Teacher | None:
    """Return the teacher whose name and password these are, or None.

    After several failed tries at a name in a short time even the right password is refused. A name that nobody
    has takes as long as one that somebody has.
    """
    what = f"password {name[:LONGEST_NAME]}"
    row = db.scalar(select(TeacherRow).where(TeacherRow.name == name))
    digest = row.password if row and row.password else _digest_of_nothing()
    right = _fits(digest, password[:MOST])
    if row is None or not row.password or not right or tries.too_many(db, what):
        tries.note(db, what)
        return None
    tries.forget(db, what)
    if _hasher().check_needs_rehash(row.password):
        row.password = _hasher().hash(password)
    return Teacher(row.id, row.name)


def _fits(digest: str, password: str) -> bool:
    try:
        return _hasher().verify(digest, password)
    except Argon2Error:
        return False


@cache
def _hasher() -> PasswordHasher:
    return PasswordHasher()


@cache
def _digest_of_nothing() -> str:
    return _hasher().hash("nobody has this password")
