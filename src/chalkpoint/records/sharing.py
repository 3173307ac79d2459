"""Who else may look at a class or a set of papers: read, never write.

A thing belongs to the teacher who keeps it. A class that is shared shows the papers it was set too. Whoever may
read gets the owner's id from `owner_of`, and reads with it through the same functions as the owner does.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.records import audit, kept
from chalkpoint.records.kept import Kept, NotKept
from chalkpoint.records.looking import find
from chalkpoint.records.schema import KeptRow, ShareRow, TeacherRow
from chalkpoint.records.teachers import Teacher

__all__ = ["MODERATOR", "ROLES", "VIEWER", "Shared", "grant", "may_read", "may_write", "owner_of", "revoke"]
__all__ += ["shared_by", "shared_with"]

VIEWER = "viewer"  # a colleague who teaches the class too
MODERATOR = "moderator"  # checks that marks are fair
ROLES = (VIEWER, MODERATOR)
SHARED_KINDS = ("class", "papers")


@dataclass(frozen=True, slots=True)
class Shared:
    """A thing of another teacher's, and as what one may look at it."""

    thing: Kept
    owner: Teacher
    role: str


def grant(db: Session, teacher: str, kind: str, id: str, reader: Teacher, role: str = VIEWER) -> None:
    """Let another teacher look at a class or papers; a second time changes the role.

    Raises NotKept where it is not the teacher's own, EntryError for another kind or role.
    """
    if kind not in SHARED_KINDS:
        raise EntryError(f"a {kind} is not shared; share a class or papers")
    if role not in ROLES:
        raise EntryError(f"{role!r} is no role; {near_misses(role, ROLES)}")
    kept.one(db, teacher, kind, id)
    if reader.id == teacher:
        raise EntryError(f"{reader.name!r} keeps it and sees all of it; name another teacher")
    row = find(db, ShareRow, (id, reader.id))
    before = row.role if row else ""
    if row is None:
        db.add(ShareRow(kept=id, teacher=reader.id, role=role))
    else:
        row.role = role
    audit.note(db, teacher, "shared", id, f"{reader.name}: {before}", f"{reader.name}: {role}")
    db.flush()


def revoke(db: Session, teacher: str, kind: str, id: str, reader: Teacher) -> None:
    """Let another teacher look no longer.

    Raises NotKept where it is not the teacher's own.
    """
    kept.one(db, teacher, kind, id)
    row = find(db, ShareRow, (id, reader.id))
    if row is not None:
        audit.note(db, teacher, "no longer shared", id, f"{reader.name}: {row.role}", f"{reader.name}: ")
        db.execute(delete(ShareRow).where(ShareRow.kept == id, ShareRow.teacher == reader.id))
        db.expire_all()


def may_write(db: Session, teacher: str, kind: str, id: str) -> bool:
    """Tell whether a thing is the teacher's own."""
    row = _row(db, kind, id)
    return row is not None and row.teacher == teacher


def may_read(db: Session, teacher: str, kind: str, id: str) -> bool:
    """Tell whether a thing is the teacher's own, or shared, or of a class that is shared."""
    row = _row(db, kind, id)
    return row is not None and (row.teacher == teacher or _role(db, teacher, row) is not None)


def owner_of(db: Session, teacher: str, kind: str, id: str) -> str:
    """Return the id of whose a thing is, where the teacher may read it.

    Raises NotKept where there is none, or none that may be read.
    """
    row = _row(db, kind, id)
    if row is None or not (row.teacher == teacher or _role(db, teacher, row)):
        raise NotKept(f"no {kind} {id!r} is kept here; open it from its list")
    return row.teacher


def shared_with(db: Session, teacher: str) -> Sequence[Shared]:
    """Return what other teachers let this one look at, by title."""
    query = (
        select(KeptRow, TeacherRow, ShareRow.role)
        .join(ShareRow, ShareRow.kept == KeptRow.id)
        .join(TeacherRow, TeacherRow.id == KeptRow.teacher)
        .where(ShareRow.teacher == teacher, KeptRow.deleted.is_(None))
    )
    found = [
        Shared(kept.one(db, owner.id, row.kind, row.id), Teacher(owner.id, owner.name), role)
        for row, owner, role in db.execute(query)
    ]
    return sorted(found, key=lambda one: (one.thing.title, one.thing.id))


def shared_by(db: Session, teacher: str, kind: str, id: str) -> Sequence[tuple[Teacher, str]]:
    """Return who may look at a thing, and as what, by name.

    Raises NotKept where it is not the teacher's own.
    """
    kept.one(db, teacher, kind, id)
    query = select(TeacherRow, ShareRow.role).join(ShareRow, ShareRow.teacher == TeacherRow.id)
    rows = db.execute(query.where(ShareRow.kept == id))
    return sorted(((Teacher(row.id, row.name), role) for row, role in rows), key=lambda one: one[0].name)


def _row(db: Session, kind: str, id: str) -> KeptRow | None:
    row = find(db, KeptRow, id)
    return row if row is not None and row.kind == kind and row.deleted is None else None


def _role(db: Session, teacher: str, row: KeptRow) -> str | None:
    """Return as what a teacher may look at another's thing: by itself, or by the class it was set."""
    share = find(db, ShareRow, (row.id, teacher))
    if share is None and row.kind == "papers":
        of = _row(db, "class", json.loads(row.about).get("class", ""))
        share = find(db, ShareRow, (of.id, teacher)) if of is not None and of.teacher == row.teacher else None
    return share.role if share else None
