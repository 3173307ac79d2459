"""Looking things up alike on both databases."""

from __future__ import annotations

import json
from collections.abc import Collection, Sequence
from typing import Any, TypeVar

from sqlalchemy import ARRAY, ColumnElement, CursorResult, Executable, Text, any_, func, literal, select
from sqlalchemy.orm import Session

from chalkpoint.numbers.datafiles import JsonMapping
from chalkpoint.records.columns import Unwritable
from chalkpoint.records.schema import Base

__all__ = ["among", "by_bytes", "find", "find_by", "run"]

Row = TypeVar("Row", bound=Base)
TEXTS = ARRAY(Text)  # made once: the library thinks long about each new type


def find(db: Session, table: type[Row], key: Any) -> Row | None:
    """Return the row of that key, or None; a key that could not be kept is no row's."""
    try:
        return db.get(table, key)
    except Unwritable:
        return None


def find_by(db: Session, table: type[Row], **columns: Any) -> Row | None:
    """Return the row whose columns have these values, or None."""
    try:
        return db.scalar(select(table).filter_by(**columns))
    except Unwritable:
        return None


def run(
    db: Session, statement: Executable, rows: Sequence[JsonMapping] | None = None
) -> CursorResult[*tuple[Any, ...]]:
    """Run a statement on columns, without making objects of rows; what was changed before is written first."""
    db.flush()
    return db.connection().execute(statement, rows)


def among(db: Session, column: Any, texts: Collection[str]) -> ColumnElement[bool]:
    """Return the condition that a column of text is one of *texts*: one statement, however many they are."""
    met: ColumnElement[bool]
    if db.get_bind().dialect.name == "postgresql":
        met = column == any_(literal(list(texts), TEXTS))
    else:
        met = column.in_(select(func.json_each(json.dumps(list(texts))).table_valued("value").c.value))
    return met


def by_bytes(db: Session, column: Any) -> ColumnElement[str]:
    """Return a column of text that compares and sorts by its bytes, as no language would.

    Left to itself, each database sorts in its own way.
    """
    ordered: ColumnElement[str] = column.collate(
        "C" if db.get_bind().dialect.name == "postgresql" else "BINARY"
    )
    return ordered
