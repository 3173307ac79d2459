"""What pupils wrote: a script a pupil of a set of papers, a row a line."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from sqlalchemy import delete, func, select
from sqlalchemy.orm import Session

from chalkpoint.marking.answers import Script
from chalkpoint.marking.cells import Trouble
from chalkpoint.records import kept
from chalkpoint.records.ids import now
from chalkpoint.records.kept import NotKept
from chalkpoint.records.looking import by_bytes, find_by
from chalkpoint.records.schema import AnswerRow, ScriptRow

__all__ = [
    "HandedIn",
    "count_of",
    "delete_script",
    "deleted_of",
    "handed_in",
    "put_script",
    "put_scripts",
    "restore_script",
    "script_of",
    "scripts_of",
]

AT_ONCE = 200  # scripts read from the database at a time, which bounds the memory


@dataclass(frozen=True, slots=True)
class HandedIn:
    """A script in a list: whose it is, which variant, and how many lines it has."""

    student: str
    variant: int
    lines: int
    changed: str


def put_scripts(db: Session, teacher: str, papers: str, scripts: Iterable[Script]) -> int:
    """Keep scripts, each in place of the same pupil's before; return how many.

    Raises NotKept for papers that are not the teacher's.
    """
    kept.one(db, teacher, "papers", papers)
    count = 0
    for script in scripts:
        _put(db, papers, script)
        count += 1
    return count


def put_script(db: Session, teacher: str, papers: str, script: Script) -> None:
    """Keep one script, in place of the same pupil's before."""
    put_scripts(db, teacher, papers, [script])


def _put(db: Session, papers: str, script: Script) -> None:
    row = db.scalar(select(ScriptRow).where(ScriptRow.papers == papers, ScriptRow.student == script.student))
    if row is None:
        row = ScriptRow(papers=papers, student=script.student, variant=script.variant)
        db.add(row)
        db.flush()
    else:
        db.execute(delete(AnswerRow).where(AnswerRow.script == row.id))
    row.variant, row.deleted, row.changed = script.variant, None, now()
    row.troubles = json.dumps(
        [[one.place, one.written, one.what, one.repaired] for one in script.troubles], ensure_ascii=False
    )
    place = 0
    for question, lines in script.written.items():
        for line, written in lines.items():
            db.add(AnswerRow(script=row.id, question=question, line=line, place=place, written=written))
            place += 1


def scripts_of(db: Session, teacher: str, papers: str) -> Iterator[Script]:
    """Yield the scripts of a set of papers, by pupil, a few at a time in memory.

    Raises NotKept for papers that are not the teacher's.
    """
    kept.one(db, teacher, "papers", papers)
    last, student = "", by_bytes(db, ScriptRow.student)
    while True:
        query = select(ScriptRow).where(
            ScriptRow.papers == papers, ScriptRow.deleted.is_(None), student > last
        )
        rows = db.scalars(query.order_by(student).limit(AT_ONCE)).all()
        if not rows:
            return
        yield from _scripts(db, rows)
        last = rows[-1].student
        db.expunge_all()


def script_of(db: Session, teacher: str, papers: str, student: str) -> Script:
    """Return one pupil's script.

    Raises NotKept where there is none.
    """
    return next(_scripts(db, [_row(db, teacher, papers, student)]))


def _scripts(db: Session, rows: Sequence[ScriptRow]) -> Iterator[Script]:
    written: dict[str, dict[int, dict[str, str]]] = {row.id: {} for row in rows}
    query = select(AnswerRow).where(AnswerRow.script.in_(written)).order_by(AnswerRow.script, AnswerRow.place)
    for answer in db.scalars(query):
        written[answer.script].setdefault(answer.question, {})[answer.line] = answer.written
    for row in rows:
        troubles = [Trouble(*parts) for parts in json.loads(row.troubles)]
        yield Script(row.student, row.variant, written[row.id], troubles)


def handed_in(db: Session, teacher: str, papers: str, *, limit: int = 500) -> Sequence[HandedIn]:
    """Return the list of scripts, by pupil."""
    kept.one(db, teacher, "papers", papers)
    query = (
        select(ScriptRow.student, ScriptRow.variant, func.count(AnswerRow.line), ScriptRow.changed)
        .outerjoin(AnswerRow, AnswerRow.script == ScriptRow.id)
        .where(ScriptRow.papers == papers, ScriptRow.deleted.is_(None))
        .group_by(ScriptRow.student, ScriptRow.variant, ScriptRow.changed)
        .order_by(by_bytes(db, ScriptRow.student))
        .limit(limit)
    )
    return [HandedIn(*row) for row in db.execute(query)]


def count_of(db: Session, teacher: str, papers: Sequence[str]) -> Mapping[str, int]:
    """Return how many scripts there are of each set of papers."""
    query = select(ScriptRow.papers, func.count()).where(
        ScriptRow.papers.in_(papers), ScriptRow.deleted.is_(None)
    )
    found = {name: count for name, count in db.execute(query.group_by(ScriptRow.papers))}  # noqa: C416
    return {name: found.get(name, 0) for name in papers}


def delete_script(db: Session, teacher: str, papers: str, student: str) -> None:
    """Delete a script; it can be brought back."""
    _row(db, teacher, papers, student).deleted = now()


def restore_script(db: Session, teacher: str, papers: str, student: str) -> None:
    """Bring a deleted script back."""
    _row(db, teacher, papers, student, deleted=True).deleted = None


def deleted_of(db: Session, teacher: str, papers: str) -> Sequence[str]:
    """Return whose scripts were deleted and can be brought back."""
    kept.one(db, teacher, "papers", papers)
    query = select(ScriptRow.student).where(ScriptRow.papers == papers, ScriptRow.deleted.is_not(None))
    return list(db.scalars(query.order_by(by_bytes(db, ScriptRow.student))))


def _row(db: Session, teacher: str, papers: str, student: str, *, deleted: bool = False) -> ScriptRow:
    kept.one(db, teacher, "papers", papers)
    row = find_by(db, ScriptRow, papers=papers, student=student)
    if row is None or (row.deleted is not None) != deleted:
        raise NotKept(f"there is no script of {student!r} here; open it from the list")
    return row
