"""What a teacher keeps: courses, questions, blueprints, papers, lessons and classes, all alike.

Each is a title and a text of its own (a course's TOML, the JSON of papers). What is deleted can be brought
back until it is purged. Nothing of one teacher's is found by another, and what is not found is not told from
what does not exist.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from sqlalchemy import Select, func, select
from sqlalchemy.orm import Session

from chalkpoint.numbers.errors import EntryError
from chalkpoint.records.ids import now
from chalkpoint.records.looking import find
from chalkpoint.records.schema import KeptRow

__all__ = [
    "KINDS",
    "LONGEST_TITLE",
    "Kept",
    "NotKept",
    "Titled",
    "all_of",
    "change",
    "count_of",
    "delete",
    "deleted",
    "examples_of",
    "keep",
    "lock",
    "one",
    "restore",
    "titles_of",
]

KINDS = ("course", "question", "blueprint", "papers", "lesson", "class")
LONGEST_TITLE = 200  # characters


class NotKept(EntryError):  # noqa: N818 - it reads as what it says: there is no such thing here
    """There is no such thing, or it is somebody else's."""


@dataclass(frozen=True, slots=True)
class Kept:
    """A kept thing.

    body     its own text
    about    where it comes from, such as {"blueprint": id}
    deleted  when it was deleted, or None
    """

    id: str
    kind: str
    title: str
    body: str
    created: str
    changed: str
    deleted: str | None = None
    about: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Titled:
    """A kept thing in a list: what is needed to find it, without its text, which may be long."""

    id: str
    title: str
    created: str
    changed: str
    about: Mapping[str, str]


def keep(
    db: Session,
    teacher: str,
    kind: str,
    title: str,
    body: str,
    *,
    about: Mapping[str, str] | None = None,
    created: str = "",
) -> Kept:
    """Keep a new thing; it was made now, unless it is said when."""
    _check(kind, title)
    at = {"created": created, "changed": created} if created else {}
    row = KeptRow(teacher=teacher, kind=kind, title=title, body=body, about=_written(about or {}), **at)
    db.add(row)
    db.flush()
    return _kept(row)


def change(
    db: Session,
    teacher: str,
    kind: str,
    id: str,
    *,
    title: str | None = None,
    body: str | None = None,
    about: Mapping[str, str] | None = None,
) -> Kept:
    """Change the title, the text or what is said about a thing; what is left out stays."""
    row = _row(db, teacher, kind, id)
    _check(kind, row.title if title is None else title)
    row.title = row.title if title is None else title
    row.body = row.body if body is None else body
    row.about = row.about if about is None else _written(about)
    row.changed = now()
    db.flush()
    return _kept(row)


def one(db: Session, teacher: str, kind: str, id: str) -> Kept:
    """Return a thing.

    Raises NotKept where there is none, it was deleted, or it is another teacher's.
    """
    return _kept(_row(db, teacher, kind, id))


def lock(db: Session, teacher: str, kind: str, id: str) -> None:
    """Let nobody else write what belongs to a thing until this transaction ends; two who do so wait in line.

    Raises NotKept as `one` does.
    """
    _row(db, teacher, kind, id)
    db.execute(select(KeptRow.id).where(KeptRow.id == id).with_for_update())


def all_of(db: Session, teacher: str, kind: str, *, start: int = 0, limit: int = 50) -> Sequence[Kept]:
    """Return a part of the things of a kind, newest first; *start* says how many are left out before it."""
    return [_kept(row) for row in db.scalars(_newest(teacher, kind, start, limit))]


def titles_of(db: Session, teacher: str, kind: str, *, start: int = 0, limit: int = 50) -> Sequence[Titled]:
    """Return a part of the titles of a kind, newest first; *start* says how many are left out before it."""
    query = _newest(teacher, kind, start, limit).with_only_columns(
        KeptRow.id, KeptRow.title, KeptRow.created, KeptRow.changed, KeptRow.about
    )
    return [
        Titled(own, title, created, changed, json.loads(about))
        for own, title, created, changed, about in db.execute(query)
    ]


def count_of(db: Session, teacher: str, kind: str) -> int:
    """Return how many things of a kind there are."""
    return db.scalar(select(func.count()).select_from(_mine(teacher, kind).subquery())) or 0


def examples_of(db: Session, teacher: str, kind: str) -> Sequence[Titled]:
    """Return the titles of the ready examples of a kind: what was made with {"example": "yes"} said about it."""
    listed = titles_of(db, teacher, kind, limit=count_of(db, teacher, kind))
    return [one for one in listed if one.about.get("example") == "yes"]


def delete(db: Session, teacher: str, kind: str, id: str) -> Kept:
    """Delete a thing; it can be brought back."""
    row = _row(db, teacher, kind, id)
    row.deleted = now()
    db.flush()
    return _kept(row)


def restore(db: Session, teacher: str, kind: str, id: str) -> Kept:
    """Bring a deleted thing back."""
    row = _row(db, teacher, kind, id, deleted=True)
    row.deleted = None
    db.flush()
    return _kept(row)


def deleted(db: Session, teacher: str) -> Iterator[Kept]:
    """Yield the deleted things of all kinds, the last deleted first."""
    query = select(KeptRow).where(KeptRow.teacher == teacher, KeptRow.deleted.is_not(None))
    for row in db.scalars(query.order_by(KeptRow.deleted.desc())):
        yield _kept(row)


def _mine(teacher: str, kind: str) -> Select[KeptRow]:
    return select(KeptRow).where(KeptRow.teacher == teacher, KeptRow.kind == kind, KeptRow.deleted.is_(None))


def _newest(teacher: str, kind: str, start: int, limit: int) -> Select[KeptRow]:
    return _mine(teacher, kind).order_by(KeptRow.created.desc(), KeptRow.id).offset(start).limit(limit)


def _row(db: Session, teacher: str, kind: str, id: str, *, deleted: bool = False) -> KeptRow:
    row = find(db, KeptRow, id)
    if row is None or row.teacher != teacher or row.kind != kind or (row.deleted is not None) != deleted:
        raise NotKept(f"no {kind} {id!r} is kept here; open it from its list")
    return row


def _check(kind: str, title: str) -> None:
    if kind not in KINDS:
        raise EntryError(f"{kind!r} is not kept; give one of: {', '.join(KINDS)}")
    if not title.strip() or len(title) > LONGEST_TITLE:
        raise EntryError(
            f"the title has {len(title.strip())} characters; give it from 1 to {LONGEST_TITLE}, so that it can be found"
        )


def _written(about: Mapping[str, str]) -> str:
    return json.dumps(dict(about), ensure_ascii=False, sort_keys=True)


def _kept(row: KeptRow) -> Kept:
    about = json.loads(row.about)
    return Kept(row.id, row.kind, row.title, row.body, row.created, row.changed, row.deleted, about)
