"""Stacks of handwritten papers: one for a set of papers, what was read as its own text, and a picture a page."""

from __future__ import annotations

import json
from base64 import b64encode

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.records import kept
from chalkpoint.records.ids import now
from chalkpoint.records.kept import NotKept
from chalkpoint.records.schema import PageRow, StackRow

__all__ = ["carried_away", "erase", "forget", "keep", "keep_picture", "picture_of", "stack_of"]

ERASED = "all of this pupil was erased"


def stack_of(db: Session, teacher: str, papers: str) -> JsonObject | None:
    """Return what was read of a stack; None where there is none.

    Raises NotKept for papers that are not the teacher's.
    """
    kept.one(db, teacher, "papers", papers)
    row = db.get(StackRow, papers)
    return None if row is None else json.loads(row.body)


def keep(db: Session, teacher: str, papers: str, stack: JsonObject) -> None:
    """Keep what was read, in place of what was there."""
    kept.lock(db, teacher, "papers", papers)
    body = json.dumps(stack, ensure_ascii=False, separators=(",", ":"))
    row = db.get(StackRow, papers)
    if row is None:
        db.add(StackRow(papers=papers, body=body))
    else:
        row.body, row.changed = body, now()
    db.flush()


def keep_picture(db: Session, papers: str, number: int, picture: bytes) -> None:
    """Keep the picture of a page, in place of the one before."""
    db.execute(delete(PageRow).where(PageRow.papers == papers, PageRow.number == number))
    db.add(PageRow(papers=papers, number=number, picture=picture))


def picture_of(db: Session, teacher: str, papers: str, number: int) -> bytes:
    """Return the picture of a page.

    Raises NotKept where there is none.
    """
    kept.one(db, teacher, "papers", papers)
    row = db.get(PageRow, (papers, number))
    if row is None:
        raise NotKept(f"there is no page {number} in this stack")
    return row.picture


def forget(db: Session, teacher: str, papers: str) -> None:
    """Forget a stack with its pictures, for good."""
    kept.lock(db, teacher, "papers", papers)
    db.execute(delete(PageRow).where(PageRow.papers == papers))
    db.execute(delete(StackRow).where(StackRow.papers == papers))


def _pages_of(stack: JsonObject, code: str) -> set[int]:
    return {page["number"] for page in stack["pages"] if page["pupil"] == code}


def carried_away(db: Session, papers: str, code: str) -> list[JsonObject]:
    """Return the pictures of a pupil's pages, as base64, for the pupil to carry away."""
    row = db.get(StackRow, papers)
    numbers = _pages_of(json.loads(row.body), code) if row else set()
    query = select(PageRow).where(PageRow.papers == papers, PageRow.number.in_(numbers))
    return [
        {"page": page.number, "jpeg": b64encode(page.picture).decode()}
        for page in db.scalars(query.order_by(PageRow.number))
    ]


def erase(db: Session, papers: str, code: str) -> int:
    """Erase a pupil's pages from a stack; return how many."""
    row = db.get(StackRow, papers)
    if row is None:
        return 0
    stack = json.loads(row.body)
    gone = _pages_of(stack, code)
    if not gone:
        return 0
    db.execute(delete(PageRow).where(PageRow.papers == papers, PageRow.number.in_(gone)))
    at = stack["columns"].index("page")
    stack["places"] = [place for place in stack["places"] if place[at] not in gone]
    stack["rulings"] = {
        name: ruling for name, ruling in stack["rulings"].items() if int(name.partition(".")[0]) not in gone
    }
    for page in stack["pages"]:
        if page["number"] in gone:
            page.update(source="", code="", pupil="", named="", trouble=ERASED, dropped=True)
    row.body = json.dumps(stack, ensure_ascii=False, separators=(",", ":"))
    return len(gone)
