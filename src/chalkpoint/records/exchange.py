"""Everything out into one file, and in again: JSON lines, one row a line, parents before children.

Passwords, sessions, live rooms and work under way are left out. The same rows always give the same bytes,
whichever database they are in; `docs/records.md` says what each line has.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from typing import Any, TextIO

from sqlalchemy import Column, Connection, Table, collate, func, insert, select
from sqlalchemy.exc import SQLAlchemyError
from sqlalchemy.orm import Session

from chalkpoint.numbers.datafiles import JsonMapping, JsonObject, load_json
from chalkpoint.numbers.errors import ChalkpointError, EntryError
from chalkpoint.records.columns import Unwritable
from chalkpoint.records.schema import (
    AnswerRow,
    AuditRow,
    Base,
    BeliefRow,
    DecisionRow,
    EntryRow,
    KeptRow,
    RunRow,
    ScriptRow,
    ShareRow,
    TeacherRow,
)
from chalkpoint.records.store import Store
from chalkpoint.records.teachers import teacher_called
from chalkpoint.setting.paperfile import papers_from

__all__ = ["SCHEMA", "export_all", "import_all"]

SCHEMA = "chalkpoint.records/1"
ROWS: tuple[type[Base], ...] = (
    TeacherRow,
    KeptRow,
    ShareRow,
    ScriptRow,
    AnswerRow,
    RunRow,
    EntryRow,
    BeliefRow,
    DecisionRow,
    AuditRow,
)
TABLES: dict[str, Table] = {row.__tablename__: Base.metadata.tables[row.__tablename__] for row in ROWS}
LEFT_OUT = {"teacher": ("password",)}
AT_ONCE = 500  # rows
LONGEST_REASON = 200  # characters


def export_all(store: Store, file: TextIO) -> dict[str, int]:
    """Write everything that is kept to *file*; return how many rows of each table."""
    counts = {}
    with store.read() as db:
        connection = _at_one_moment(db)
        totals = {
            name: connection.scalar(select(func.count()).select_from(table)) for name, table in TABLES.items()
        }
        _write(file, {"schema": SCHEMA, "rows": totals})
        for name, table in TABLES.items():
            counts[name] = 0
            for row in _rows(connection, table):
                _write(file, {"table": name, **row})
                counts[name] += 1
    return counts


def _at_one_moment(db: Session) -> Connection:
    """Return a connection that sees the data as of now, whatever is written meanwhile."""
    if db.get_bind().dialect.name == "sqlite":  # which gives nothing else
        return db.connection()
    return db.connection(execution_options={"isolation_level": "REPEATABLE READ"})


def _rows(connection: Connection, table: Table) -> Iterator[JsonObject]:
    columns = [column for column in table.columns if column.name not in LEFT_OUT.get(table.name, ())]
    order = [_in_order(connection, column) for column in table.primary_key.columns]
    query = select(*columns).order_by(*order)
    for row in connection.execution_options(yield_per=AT_ONCE).execute(query).mappings():
        yield dict(row)


def _in_order(connection: Connection, column: Column[Any]) -> Any:
    """Return what orders by a column as its bytes do, which is how SQLite orders texts by itself."""
    is_text = column.type.python_type is str
    return collate(column, "C") if is_text and connection.dialect.name == "postgresql" else column


def _write(file: TextIO, line: JsonMapping) -> None:
    file.write(json.dumps(line, ensure_ascii=False, separators=(",", ":")) + "\n")


def import_all(store: Store, file: Iterable[str], *, teacher: str | None = None) -> dict[str, int]:
    """Bring in what `export_all` wrote, all of it or nothing; return how many rows of each table were new.

    A row that is already here unchanged is left alone. A teacher of a name that is here already is
    that teacher; but every laptop's own teacher has one name, so on a server it must be said whose they are.

    teacher  the name of the teacher here whose a laptop's things are to be

    Raises EntryError, naming the line, for a file that is none of ours or a row that is another one here.
    """
    lines = enumerate(file, start=1)
    totals = _head(next(lines, (1, ""))[1])
    counts = dict.fromkeys(TABLES, 0)
    seen = dict.fromkeys(TABLES, 0)
    with store.write() as db:
        connection = db.connection()
        owners = _Owners(connection, None if teacher is None else _known(db, teacher), one=store.is_file)
        for number, text in lines:
            name, row = _read(number, text)
            seen[name] += 1
            counts[name] += _put(connection, TABLES[name], row, owners, number)
        if seen != totals:
            found = f"{sum(seen.values())} of {sum(totals.values())} rows"
            raise EntryError(f"the file has {found}; it is not whole, so nothing was brought in")
    return counts


def _head(text: str) -> dict[str, int]:
    try:
        head = load_json(text)
        totals = head["rows"]
        if head["schema"] == SCHEMA and set(totals) == set(TABLES):
            return {name: int(totals[name]) for name in TABLES}
    except (ValueError, KeyError, TypeError, OverflowError):  # 1e999 is read as an infinity
        pass
    raise EntryError(
        f'the file does not begin with {{"schema": "{SCHEMA}", ...}}; give one that `records export` wrote'
    )


def _read(number: int, text: str) -> tuple[str, JsonObject]:
    try:
        row = load_json(text)
        name = row.pop("table")
        table = TABLES[name]
    except (ValueError, KeyError, TypeError, AttributeError) as reason:
        raise EntryError(f"line {number} is not a row of ours; nothing was brought in") from reason
    known = {column.name for column in table.columns if column.name not in LEFT_OUT.get(name, ())}
    if set(row) != known:
        raise EntryError(
            f"line {number}: a row of {name} has {', '.join(sorted(known))}; nothing was brought in"
        )
    return name, row


class _Owners:
    """Whose the rows of a file are here: by the file's id of a teacher, the id here.

    given  the id of the teacher who takes what a laptop's own teacher has, or None
    one    whether only one teacher is at home here, so that a laptop's own is that one
    """

    def __init__(self, connection: Connection, given: str | None, *, one: bool) -> None:
        self.connection = connection
        self.given = given
        self.one = one
        self.here: dict[str, str] = {}

    def meet(self, row: JsonMapping) -> bool:
        """Tell whether the teacher in *row* is somebody here; if so, whose rows are whose is remembered."""
        teacher = TABLES["teacher"].c
        found = self.connection.scalar(select(teacher.id).where(teacher.name == row["name"]))
        if row["local"] and self.given is not None:
            found = self.given
        elif row["local"] and found not in {None, row["id"]} and not self.one:
            raise EntryError(
                f"a laptop's teacher, {row['name']!r}, was brought in here before, perhaps another; say whose these "
                "things are with --teacher NAME"
            )
        if found is not None:
            self.here[row["id"]] = found
        return found is not None


def _known(db: Session, name: str) -> str:
    found = teacher_called(db, name)
    if found is None:
        raise EntryError(f"there is no teacher {name!r} here; add one with chalkpoint records teacher {name}")
    return found.id


def _put(connection: Connection, table: Table, row: JsonObject, owners: _Owners, number: int) -> int:
    """Put a row in its table; return 0 if it is already there, 1 if it is new."""
    try:
        if table.name == "teacher" and owners.meet(row):
            return 0
        if "teacher" in row:
            row["teacher"] = owners.here.get(row["teacher"], row["teacher"])
        key = [column == row[column.name] for column in table.primary_key.columns]
        here = connection.execute(select(*(table.c[name] for name in row)).where(*key)).mappings().first()
        if here is None:
            _check_drawn(table.name, row, number)
            connection.execute(insert(table).values(row))
            return 1
    except (SQLAlchemyError, TypeError, Unwritable) as reason:  # TypeError: a list where a text belongs
        raise EntryError(
            f"line {number}: this {table.name} does not fit with what is here; nothing was brought in"
        ) from reason
    if dict(here) == row:
        return 0
    raise EntryError(
        f"line {number}: this {table.name} is kept here already, otherwise; nothing was brought in"
    )


def _check_drawn(table: str, row: JsonMapping, number: int) -> None:
    """Raise EntryError for papers whose page could not be drawn."""
    if table != "kept" or row["kind"] != "papers":
        return
    try:
        papers_from(load_json(row["body"]))
    except (ChalkpointError, ValueError, TypeError) as reason:
        raise EntryError(
            f"line {number}: these papers cannot be shown ({str(reason)[:LONGEST_REASON]}); nothing was brought in"
        ) from reason
