"""What pupils wrote: one script for each pupil and set of papers, one row for each line."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from sqlalchemy import and_, delete, func, insert, or_, select, update
from sqlalchemy.orm import Session

from chalkpoint.marking.answers import Script
from chalkpoint.marking.cells import Trouble
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import EntryError
from chalkpoint.records import kept
from chalkpoint.records.ids import new_id, now
from chalkpoint.records.kept import NotKept
from chalkpoint.records.looking import by_bytes, find_by
from chalkpoint.records.marks import Run
from chalkpoint.records.schema import AnswerRow, EntryRow, RunRow, ScriptRow

__all__ = [
    "HandedIn",
    "check_changed",
    "check_deleted",
    "codes_of",
    "count_of",
    "delete_script",
    "deleted_of",
    "handed_in",
    "put_script",
    "put_scripts",
    "restore_script",
    "script_of",
    "scripts_of",
    "touched_since",
    "unmarked_of",
]

AT_ONCE = 200  # scripts read or written at a time, which bounds the memory
SHOWN = 5  # codes said in a refusal


@dataclass(frozen=True, slots=True)
class HandedIn:
    """A script in a list: whose it is, which variant, how many lines it has, and its marks where it is marked."""

    student: str
    variant: int
    lines: int
    marks: int | None


def put_scripts(
    db: Session, teacher: str, papers: str, scripts: Iterable[Script], *, over: bool = False, at: str = ""
) -> int:
    """Keep scripts, each in place of the same pupil's before; return how many.

    over  in place of deleted ones too, which then cannot be brought back
    at    the time they are kept as changed at; now by default

    Raises NotKept for papers that are not the teacher's, EntryError where a deleted one would be lost.
    """
    given = list(scripts)
    kept.lock(db, teacher, "papers", papers)
    if not over:
        check_deleted(db, teacher, papers, given)
    at = at or now()
    for start in range(0, len(given), AT_ONCE):
        _put(db, papers, {script.student: script for script in given[start : start + AT_ONCE]}, at)
    db.expire_all()  # what is loaded may have been written past
    return len(given)


def put_script(db: Session, teacher: str, papers: str, script: Script, *, over: bool = False) -> None:
    """Keep one script, in place of the same pupil's before."""
    put_scripts(db, teacher, papers, [script], over=over)


def check_deleted(db: Session, teacher: str, papers: str, scripts: Iterable[Script]) -> None:
    """Raise EntryError where scripts would take the place of deleted ones, which could not be brought back."""
    deleted = set(deleted_of(db, teacher, papers))
    found = [script.student for script in scripts if script.student in deleted]
    if found:
        raise EntryError(
            f"{_whose(found)} {'was' if len(found) == 1 else 'were'} deleted and can still be brought back; "
            "bring back what you want to keep, or say that these answers take the place for good"
        )


def check_changed(db: Session, teacher: str, papers: str, scripts: Iterable[Script]) -> None:
    """Raise EntryError where scripts would take the place of ones with something else written, which would be lost."""
    kept.one(db, teacher, "papers", papers)
    given = list(scripts)
    found = []
    for start in range(0, len(given), AT_ONCE):
        some = {script.student: script for script in given[start : start + AT_ONCE]}
        query = select(ScriptRow).where(
            ScriptRow.papers == papers, ScriptRow.deleted.is_(None), ScriptRow.student.in_(some)
        )
        for old in _scripts(db, db.scalars(query.order_by(by_bytes(db, ScriptRow.student))).all()):
            new = some[old.student]
            if (old.variant, old.written) != (new.variant, new.written):
                found.append(old.student)
    if found:
        raise EntryError(
            f"{_whose(found)} {'is' if len(found) == 1 else 'are'} kept already, with something else written; "
            "leave out what you want to keep, or say that these answers take the place for good"
        )


def _whose(students: Sequence[str]) -> str:
    """Return whose scripts they are, in words; of many the first."""
    first = ", ".join(repr(student) for student in students[:SHOWN])
    more = f" and {len(students) - SHOWN} more" if len(students) > SHOWN else ""
    return f"{'a script' if len(students) == 1 else 'scripts'} of {first}{more}"


def _put(db: Session, papers: str, scripts: Mapping[str, Script], at: str) -> None:
    """Keep a few scripts by few statements: asked one by one, 20,000 take a minute."""
    mine = select(ScriptRow.student, ScriptRow.id).where(
        ScriptRow.papers == papers, ScriptRow.student.in_(scripts)
    )
    known = {student: row_id for student, row_id in db.execute(mine)}  # noqa: C416
    db.execute(delete(AnswerRow).where(AnswerRow.script.in_(known.values())))
    new: list[JsonObject] = []
    changed: list[JsonObject] = []
    answers: list[JsonObject] = []
    for student, script in scripts.items():
        row: JsonObject = {
            "variant": script.variant,
            "troubles": _troubles(script),
            "changed": at,
            "deleted": None,
        }
        if student in known:
            row["id"] = known[student]
            changed.append(row)
        else:
            row |= {"id": new_id(), "papers": papers, "student": student}
            new.append(row)
        answers += _answers(row["id"], script)
    for statement, rows in (
        (update(ScriptRow), changed),
        (insert(ScriptRow), new),
        (insert(AnswerRow), answers),
    ):
        if rows:
            db.execute(statement, rows)


def _troubles(script: Script) -> str:
    return json.dumps(
        [[one.place, one.written, one.what, one.repaired] for one in script.troubles], ensure_ascii=False
    )


def _answers(script_id: str, script: Script) -> Iterator[JsonObject]:
    lines = (
        (question, line, written)
        for question, of_question in script.written.items()
        for line, written in of_question.items()
    )
    for place, (question, line, written) in enumerate(lines):
        yield {"script": script_id, "question": question, "line": line, "place": place, "written": written}


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


def handed_in(
    db: Session, teacher: str, papers: str, run: str = "", *, start: int = 0, limit: int = 100
) -> Sequence[HandedIn]:
    """Return a part of the list of scripts, by pupil.

    run    the marking whose marks are shown beside them
    start  how many are left out before it
    """
    kept.one(db, teacher, "papers", papers)
    lines = select(func.count()).where(AnswerRow.script == ScriptRow.id).scalar_subquery()
    query = (
        select(ScriptRow.student, ScriptRow.variant, lines, EntryRow.marks)
        .outerjoin(EntryRow, and_(EntryRow.run == run, EntryRow.student == ScriptRow.student))
        .where(ScriptRow.papers == papers, ScriptRow.deleted.is_(None))
        .order_by(by_bytes(db, ScriptRow.student))
        .offset(start)
        .limit(limit)
    )
    return [HandedIn(*row) for row in db.execute(query)]


def unmarked_of(db: Session, teacher: str, papers: str, run: Run) -> int:
    """Return how many scripts are not in a marking in their present form."""
    kept.one(db, teacher, "papers", papers)
    query = (
        select(func.count())
        .select_from(ScriptRow)
        .outerjoin(EntryRow, and_(EntryRow.run == run.id, EntryRow.student == ScriptRow.student))
        .where(ScriptRow.papers == papers, ScriptRow.deleted.is_(None))
        .where(or_(EntryRow.student.is_(None), ScriptRow.changed > run.created))
    )
    return db.scalar(query) or 0


def touched_since(db: Session, teacher: str, papers: str, at: str) -> bool:
    """Tell whether a script of some papers was changed or deleted, or they were marked, after *at*."""
    kept.one(db, teacher, "papers", papers)
    scripts = select(ScriptRow.id).where(
        ScriptRow.papers == papers, or_(ScriptRow.changed > at, ScriptRow.deleted > at)
    )
    runs = select(RunRow.id).where(RunRow.papers == papers, RunRow.created > at)
    return any(db.scalar(query.limit(1)) is not None for query in (scripts, runs))


def codes_of(db: Session, teacher: str, papers: str) -> set[str]:
    """Return whose scripts there are."""
    kept.one(db, teacher, "papers", papers)
    query = select(ScriptRow.student).where(ScriptRow.papers == papers, ScriptRow.deleted.is_(None))
    return set(db.scalars(query))


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
