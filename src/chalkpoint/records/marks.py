"""Marks: a run each time papers are marked, with the version of the rules that made it; older runs stay."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

from sqlalchemy import func, insert, select
from sqlalchemy.orm import Session

from chalkpoint.finding.cache import rules_digest
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.records import kept
from chalkpoint.records.ids import now
from chalkpoint.records.kept import NotKept
from chalkpoint.records.looking import find
from chalkpoint.records.schema import BeliefRow, EntryRow, RunRow

__all__ = ["Run", "entries_of", "entry_of", "find_entry", "keep_marks", "latest", "rules_version", "runs_of"]

AT_ONCE = 200  # entries written or read at a time
DIGITS = 16  # of the digest of the rules


@dataclass(frozen=True, slots=True)
class Run:
    """One marking of a set of papers.

    rules   which version of the package and of its rules made it
    pupils  how many
    """

    id: str
    papers: str
    rules: str
    created: str
    pupils: int


def rules_version() -> str:
    """Return the version of the package and a digest of the text of its rules.

    >>> version, _, digest = rules_version().partition(" ")
    >>> version.count("."), len(digest)
    (2, 16)
    """
    from importlib.metadata import version

    return f"{version('chalkpoint')} {rules_digest()[:DIGITS]}"


def keep_marks(
    db: Session,
    teacher: str,
    papers: str,
    entries: Iterable[JsonObject],
    *,
    rules: str = "",
    created: str = "",
) -> Run:
    """Keep the entries of one marking, as they come.

    created  when the answers that were marked were in that state; now by default

    Raises NotKept for papers that are not the teacher's.
    """
    kept.one(db, teacher, "papers", papers)
    run = RunRow(papers=papers, rules=rules or rules_version(), created=created or now())
    db.add(run)
    db.flush()
    count, source = 0, iter(entries)
    while few := list(islice(source, AT_ONCE)):
        db.execute(insert(EntryRow), [_entry(run.id, count + at, entry) for at, entry in enumerate(few)])
        beliefs = [belief for entry in few for belief in _beliefs(run.id, entry)]
        if beliefs:
            db.execute(insert(BeliefRow), beliefs)
        count += len(few)
    return Run(run.id, papers, run.rules, run.created, count)


def _entry(run: str, place: int, entry: JsonObject) -> JsonObject:
    return {
        "run": run,
        "student": entry["student"],
        "place": place,
        "marks": entry["marks"],
        "of": entry["of"],
        "body": json.dumps(entry, ensure_ascii=False),
    }


def _beliefs(run: str, entry: JsonObject) -> Iterator[JsonObject]:
    for belief in entry["beliefs"]:
        yield {
            "run": run,
            "student": entry["student"],
            "misconception": belief["misconception"],
            "shown": len(belief["shown_on"]),
            "could": len(belief["could_show_on"]),
            "named": belief["named"],
        }


def latest(db: Session, teacher: str, papers: str) -> Run | None:
    """Return the last marking of a set of papers; None where it was never marked."""
    return next(iter(runs_of(db, teacher, papers, limit=1)), None)


def runs_of(db: Session, teacher: str, papers: str, *, limit: int | None = None) -> Sequence[Run]:
    """Return the markings of a set of papers, the latest first."""
    kept.one(db, teacher, "papers", papers)
    pupils = select(func.count()).where(EntryRow.run == RunRow.id).scalar_subquery()
    query = (
        select(RunRow.id, RunRow.papers, RunRow.rules, RunRow.created, pupils)
        .where(RunRow.papers == papers)
        .order_by(RunRow.created.desc())
        .limit(limit)
    )
    return [Run(*row) for row in db.execute(query)]


def entries_of(db: Session, run: Run) -> Iterator[JsonObject]:
    """Yield the entries of a marking in the order they were made."""
    query = select(EntryRow.body).where(EntryRow.run == run.id).order_by(EntryRow.place)
    for body in db.scalars(query).yield_per(AT_ONCE):
        yield json.loads(body)


def entry_of(db: Session, run: Run, student: str) -> JsonObject:
    """Return one pupil's entry.

    Raises NotKept where there is none.
    """
    entry = find_entry(db, run, student)
    if entry is None:
        raise NotKept(f"{student!r} was not marked here; open the pupil from the list")
    return entry


def find_entry(db: Session, run: Run, student: str) -> JsonObject | None:
    """Return one pupil's entry, or None."""
    row = find(db, EntryRow, (run.id, student))
    return json.loads(row.body) if row else None
