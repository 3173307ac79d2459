"""A class that another teacher may look at: as a viewer its marks and beliefs, as a moderator every script too.

Nobody but its owner changes anything. What is not shared is answered like what does not exist.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from chalkpoint.numbers.errors import EntryError
from chalkpoint.records import audit, kept, pupils
from chalkpoint.records.ids import now
from chalkpoint.records.kept import Kept, NotKept
from chalkpoint.records.looking import find
from chalkpoint.records.schema import KeptRow, ShareRow, TeacherRow
from chalkpoint.records.upserts import upsert

__all__ = ["ROLES", "Shared", "grant", "papers_shared", "revoke", "shared_with", "shares_of"]

KIND = "class"
VIEWER, MODERATOR = "viewer", "moderator"
ROLES = (VIEWER, MODERATOR)


@dataclass(frozen=True, slots=True)
class Shared:
    """A class as somebody who is not its owner sees it.

    owner  the id of the teacher whose it is
    name   what that teacher is called
    role   "viewer" or "moderator"
    """

    one: Kept
    owner: str
    name: str
    role: str

    @property
    def sees_scripts(self) -> bool:
        """Whether every script may be looked at."""
        return self.role == MODERATOR


def grant(db: Session, owner: str, class_id: str, name: str, role: str) -> None:
    """Let the teacher called *name* look at a class; in place of what was granted before.

    Raises NotKept for a class that is not the owner's, EntryError for a name or a role that is none.
    """
    kept.one(db, owner, KIND, class_id)
    if role not in ROLES:
        raise EntryError(f"{role!r} is not a role; give one of: {', '.join(ROLES)}")
    teacher = db.scalar(select(TeacherRow).where(TeacherRow.name == name))
    if teacher is None or teacher.id == owner:
        raise EntryError(
            f"{name!r} is not another teacher here; give the name that the teacher signs in with"
        )
    row = db.get(ShareRow, (class_id, teacher.id))
    before = row.role if row else ""
    upsert(db, ShareRow, {"kept": class_id, "teacher": teacher.id, "role": role, "created": now()})
    audit.note(db, owner, "shared", class_id, before, f"{name}: {role}")


def revoke(db: Session, owner: str, class_id: str, name: str) -> None:
    """Let a teacher look at a class no longer."""
    kept.one(db, owner, KIND, class_id)
    ids = select(TeacherRow.id).where(TeacherRow.name == name)
    db.execute(delete(ShareRow).where(ShareRow.kept == class_id, ShareRow.teacher.in_(ids)))
    audit.note(db, owner, "shared no longer", class_id, name, "")


def shares_of(db: Session, owner: str, class_id: str) -> Sequence[tuple[str, str]]:
    """Return (name, role) of everybody who may look at a class."""
    kept.one(db, owner, KIND, class_id)
    query = select(TeacherRow.name, ShareRow.role).join(ShareRow, ShareRow.teacher == TeacherRow.id)
    return [
        (name, role)
        for name, role in db.execute(query.where(ShareRow.kept == class_id).order_by(TeacherRow.name))
    ]


def shared_with(db: Session, teacher: str, class_id: str | None = None) -> Sequence[Shared]:
    """Return the classes that a teacher may look at, or the one asked for.

    Raises NotKept where the one asked for is not shared, or was deleted.
    """
    query = (
        select(KeptRow.id, KeptRow.teacher, TeacherRow.name, ShareRow.role)
        .join(ShareRow, ShareRow.kept == KeptRow.id)
        .join(TeacherRow, TeacherRow.id == KeptRow.teacher)
        .where(ShareRow.teacher == teacher, KeptRow.deleted.is_(None))
        .order_by(KeptRow.created)
    )
    if class_id is not None:
        if find(db, KeptRow, class_id) is None:
            raise _not_shared(class_id)
        query = query.where(KeptRow.id == class_id)
    found = [
        Shared(kept.one(db, owner, KIND, name), owner, called, role)
        for name, owner, called, role in db.execute(query)
    ]
    if class_id is not None and not found:
        raise _not_shared(class_id)
    return found


def _not_shared(class_id: str) -> NotKept:
    return NotKept(f"no class {class_id!r} is shared with you; open it from the list")


def papers_shared(db: Session, teacher: str, class_id: str, papers: str) -> tuple[Shared, Kept]:
    """Return a shared class and one of the sets of papers that it sat.

    Raises NotKept where the class is not shared or did not sit them.
    """
    (shared,) = shared_with(db, teacher, class_id)
    for one in pupils.papers_of(db, shared.owner, class_id):
        if one.id == papers:
            return shared, one
    raise NotKept(f"no papers {papers!r} were sat by that class; open them from its page")
