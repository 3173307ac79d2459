"""Teachers, and the digests of their passwords."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import delete, func, select
from sqlalchemy.orm import Session

from chalkpoint.numbers.errors import EntryError
from chalkpoint.records.ids import new_id, now
from chalkpoint.records.passwords import digest_of, nobodys_digest
from chalkpoint.records.schema import SessionRow, TeacherRow
from chalkpoint.records.upserts import insert_if_new

__all__ = [
    "Teacher",
    "add_teacher",
    "any_password",
    "digest_for",
    "keep_digest",
    "local_teacher",
    "one_meant",
    "set_password",
    "teacher_called",
    "with_passwords",
]

LOCAL = "teacher"
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
        insert_if_new(db, TeacherRow, {"id": new_id(), "name": LOCAL, "local": True, "created": now()})
        row = db.scalars(select(TeacherRow).where(TeacherRow.name == LOCAL)).one()
        row.local = True
    return Teacher(row.id, row.name)


def add_teacher(db: Session, name: str) -> Teacher:
    """Add a teacher, who has no password yet."""
    if not name.strip() or len(name) > LONGEST_NAME:
        raise EntryError(
            f"the name {name!r} is not taken; give a login name from 1 to {LONGEST_NAME} characters"
        )
    own = new_id()
    if not insert_if_new(db, TeacherRow, {"id": own, "name": name, "local": False, "created": now()}):
        raise EntryError(f"there is a teacher {name!r} already; give another name")
    return Teacher(own, name)


def teacher_called(db: Session, name: str) -> Teacher | None:
    """Return the teacher of that name."""
    row = db.scalar(select(TeacherRow).where(TeacherRow.name == name))
    return Teacher(row.id, row.name) if row else None


def one_meant(db: Session, name: str | None) -> Teacher:
    """Return the teacher called *name*, or the only one there is; a laptop's own is made where there is none.

    Raises EntryError where there is none of that name, or several and none is named.
    """
    everyone = [Teacher(row.id, row.name) for row in db.scalars(select(TeacherRow).order_by(TeacherRow.name))]
    meant = [one for one in everyone if name in {None, one.name}]
    if not everyone and name is None:
        return local_teacher(db)
    if len(meant) != 1:
        said = f"there is no teacher {name!r} here" if name else "several teachers keep things here"
        raise EntryError(
            f"{said}; give --teacher and one of: {', '.join(one.name for one in everyone) or 'none'}"
        )
    return meant[0]


def set_password(db: Session, teacher: Teacher, password: str) -> None:
    """Give a teacher a password, in place of any before; whoever is in without one is out.

    Where pages wait for the transaction, make the digest before it (`passwords.digest_of`) and keep that.
    """
    keep_digest(db, teacher, digest_of(password))


def keep_digest(db: Session, teacher: Teacher, digest: str) -> None:
    """Keep the digest of a teacher's new password, and end every session that was opened without one."""
    db.get_one(TeacherRow, teacher.id).password = digest
    db.execute(delete(SessionRow).where(~SessionRow.by_password))


def digest_for(db: Session, name: str) -> tuple[Teacher | None, str]:
    """Return the teacher of that name, if there is one with a password, and the digest to try."""
    row = db.scalar(select(TeacherRow).where(TeacherRow.name == name)) if len(name) <= LONGEST_NAME else None
    if row is None or not row.password:
        return None, nobodys_digest()
    return Teacher(row.id, row.name), row.password


def any_password(db: Session) -> bool:
    """Tell whether any teacher has a password."""
    return bool(db.scalar(select(func.count()).where(TeacherRow.password.is_not(None))))


def with_passwords(db: Session) -> list[str]:
    """Return the names of those who can sign in."""
    query = select(TeacherRow.name).where(TeacherRow.password.is_not(None))
    return list(db.scalars(query.order_by(TeacherRow.created)))
