"""Everything out into one file, and in again: JSON lines, a row a line, parents before their children.

Passwords, sessions, live rooms and work under way are left out. The same rows always give the same bytes,
whichever database they stand in; `docs/records.md` says what each line has.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, TextIO

from sqlalchemy import Column, Connection, Table, collate, func, insert, select
from sqlalchemy.exc import SQLAlchemyError

from chalkpoint.numbers.errors import EntryError
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


def export_all(store: Store, file: TextIO) -> dict[str, int]:
    """Write everything that is kept to *file*; return how many rows of each table."""
    counts = {}
    with store.read() as db:
        connection = db.connection()
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


def _rows(connection: Connection, table: Table) -> Iterator[dict[str, Any]]:
    columns = [column for column in table.columns if column.name not in LEFT_OUT.get(table.name, ())]
    order = [_in_order(connection, column) for column in table.primary_key.columns]
    query = select(*columns).order_by(*order)
    for row in connection.execution_options(yield_per=AT_ONCE).execute(query).mappings():
        yield dict(row)


def _in_order(connection: Connection, column: Column[Any]) -> Any:
    """Return what orders by a column as its bytes do, which is how SQLite orders texts by itself."""
    is_text = column.type.python_type is str
    return collate(column, "C") if is_text and connection.dialect.name == "postgresql" else column


def _write(file: TextIO, line: Mapping[str, Any]) -> None:
    file.write(json.dumps(line, ensure_ascii=False, separators=(",", ":")) + "\n")


def import_all(store: Store, file: Iterable[str]) -> dict[str, int]:
    """Bring in what `export_all` wrote, all of it or nothing; return how many rows of each table were new.

    A row that stands here already, just as it is, is left alone. A teacher of a name that is here already is
    that teacher.

    Raises EntryError, naming the line, for a file that is none of ours or a row that is another one here.
    """
    lines = enumerate(file, start=1)
    totals = _head(next(lines, (1, ""))[1])
    counts = dict.fromkeys(TABLES, 0)
    seen = dict.fromkeys(TABLES, 0)
    renamed: dict[str, str] = {}
    with store.write() as db:
        connection = db.connection()
        for number, text in lines:
            name, row = _read(number, text)
            seen[name] += 1
            counts[name] += _put(connection, TABLES[name], row, renamed, number)
        if seen != totals:
            found = f"{sum(seen.values())} of {sum(totals.values())} rows"
            raise EntryError(f"the file has {found}; it is not whole, so nothing was brought in")
    return counts


def _head(text: str) -> dict[str, int]:
    try:
        head = json.loads(text)
        totals = head["rows"]
        if head["schema"] == SCHEMA and set(totals) == set(TABLES):
            return {name: int(totals[name]) for name in TABLES}
    except (ValueError, KeyError, TypeError):
        pass
    raise EntryError(
        f'the file does not begin with {{"schema": "{SCHEMA}", ...}}; give one that `records export` wrote'
    )


def _read(number: int, text: str) -> tuple[str, dict[str, Any]]:
    try:
        row = json.loads(text)
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


def _put(
    connection: Connection, table: Table, row: dict[str, Any], renamed: dict[str, str], number: int
) -> int:
    if table.name == "teacher":
        return _put_teacher(connection, table, row, renamed)
    if "teacher" in row:
        row["teacher"] = renamed.get(row["teacher"], row["teacher"])
    key = [column == row[column.name] for column in table.primary_key.columns]
    here = connection.execute(select(*(table.c[name] for name in row)).where(*key)).mappings().first()
    if here is not None:
        if dict(here) == row:
            return 0
        raise EntryError(
            f"line {number}: this {table.name} is kept here already, otherwise; nothing was brought in"
        )
    try:
        connection.execute(insert(table).values(row))
    except SQLAlchemyError as reason:
        raise EntryError(
            f"line {number}: this {table.name} does not fit with what is here; nothing was brought in"
        ) from reason
    return 1


def _put_teacher(connection: Connection, table: Table, row: dict[str, Any], renamed: dict[str, str]) -> int:
    here = connection.execute(select(table.c.id).where(table.c.name == row["name"])).scalar()
    if here is not None:
        renamed[row["id"]] = here
        return 0
    connection.execute(insert(table).values(row))
    return 1
