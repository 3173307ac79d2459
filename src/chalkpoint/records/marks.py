"""Marks: a run each time papers are marked, with the version of the rules that made it; older runs stay."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from chalkpoint.finding.cache import rules_digest
from chalkpoint.records import kept
from chalkpoint.records.kept import NotKept
from chalkpoint.records.looking import find
from chalkpoint.records.schema import BeliefRow, EntryRow, RunRow

__all__ = ["Run", "entries_of", "entry_of", "find_entry", "keep_marks", "latest", "rules_version", "runs_of"]

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
    >>> version, len(digest)
    ('0.1.0', 16)
    """
    from importlib.metadata import version

    return f"{version('chalkpoint')} {rules_digest()[:DIGITS]}"


def keep_marks(
    db: Session, teacher: str, papers: str, entries: Iterable[dict[str, Any]], *, rules: str = ""
) -> Run:
    """Keep the entries of one marking, as they come.

    Raises NotKept for papers that are not the teacher's.
    """
    kept.one(db, teacher, "papers", papers)
    run = RunRow(papers=papers, rules=rules or rules_version())
    db.add(run)
    db.flush()
    count = 0
    for entry in entries:
        body = json.dumps(entry, ensure_ascii=False)
        row = EntryRow(
            run=run.id,
            student=entry["student"],
            place=count,
            marks=entry["marks"],
            of=entry["of"],
            body=body,
        )
        db.add_all([row, *_beliefs(run.id, entry)])
        count += 1
    return Run(run.id, papers, run.rules, run.created, count)


def _beliefs(run: str, entry: dict[str, Any]) -> Iterator[BeliefRow]:
    for belief in entry["beliefs"]:
        yield BeliefRow(
            run=run,
            student=entry["student"],
            misconception=belief["misconception"],
            shown=len(belief["shown_on"]),
            could=len(belief["could_show_on"]),
            named=belief["named"],
        )


def runs_of(db: Session, teacher: str, papers: str) -> Sequence[Run]:
    """Return every marking of a set of papers, the latest first."""
    kept.one(db, teacher, "papers", papers)
    query = (
        select(RunRow.id, RunRow.papers, RunRow.rules, RunRow.created, func.count(EntryRow.student))
        .outerjoin(EntryRow, EntryRow.run == RunRow.id)
        .where(RunRow.papers == papers)
        .group_by(RunRow.id, RunRow.papers, RunRow.rules, RunRow.created)
        .order_by(RunRow.created.desc())
    )
    return [Run(*row) for row in db.execute(query)]


def latest(db: Session, teacher: str, papers: str) -> Run | None:
    """Return the last marking of a set of papers; None where it was never marked."""
    return next(iter(runs_of(db, teacher, papers)), None)


def entries_of(db: Session, run: Run) -> Iterator[dict[str, Any]]:
    """Yield the entries of a marking in the order they were made."""
    query = select(EntryRow.body).where(EntryRow.run == run.id).order_by(EntryRow.place)
    for body in db.scalars(query).yield_per(200):
        yield json.loads(body)


def entry_of(db: Session, run: Run, student: str) -> dict[str, Any]:
    """Return one pupil's entry.

    Raises NotKept where there is none.
    """
    entry = find_entry(db, run, student)
    if entry is None:
        raise NotKept(f"{student!r} was not marked here; open the pupil from the list")
    return entry


def find_entry(db: Session, run: Run, student: str) -> dict[str, Any] | None:
    """Return one pupil's entry, or None."""
    row = find(db, EntryRow, (run.id, student))
    return json.loads(row.body) if row else None
