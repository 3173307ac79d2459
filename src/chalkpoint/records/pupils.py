"""A pupil's history, by code: the marks of every set of papers that a class was set."""

from __future__ import annotations

from collections.abc import Iterator

from sqlalchemy.orm import Session

from chalkpoint.marking.histories import SCHEMA, History, histories
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.records import kept, marks
from chalkpoint.records.kept import Kept

__all__ = ["history", "papers_of"]

MOST_PAPERS = 500


def papers_of(db: Session, teacher: str, class_id: str) -> list[Kept]:
    """Return the papers that a class was set, oldest first."""
    kept.one(db, teacher, "class", class_id)
    found = kept.all_of(db, teacher, "papers", limit=MOST_PAPERS)
    return [one for one in reversed(found) if one.about.get("class") == class_id]


def history(db: Session, teacher: str, class_id: str, code: str) -> History:
    """Return what a pupil of a class did, paper by paper, by the latest marks of each."""
    found = histories(_marked(db, teacher, class_id, code))
    return found.get(code, History(code))


def _marked(db: Session, teacher: str, class_id: str, code: str) -> Iterator[JsonObject]:
    for papers in papers_of(db, teacher, class_id):
        run = marks.latest(db, teacher, papers.id)
        if run is not None:
            entry = marks.find_entry(db, run, code)
            yield {"schema": SCHEMA, "title": papers.title, "students": [entry] if entry else []}
