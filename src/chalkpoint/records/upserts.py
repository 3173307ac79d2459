"""Rows that may be there already: written alike on both databases, however many write them at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from importlib import import_module
from typing import TYPE_CHECKING, Any

from sqlalchemy import inspect
from sqlalchemy.orm import Session

from chalkpoint.numbers.datafiles import JsonMapping
from chalkpoint.records.looking import run
from chalkpoint.records.schema import Base

if TYPE_CHECKING:
    from sqlalchemy.dialects import sqlite

__all__ = ["insert_if_new", "upsert"]

Rows = JsonMapping | Sequence[JsonMapping]


def insert_if_new(db: Session, table: type[Base], rows: Rows) -> int:
    """Write the *rows* that are not there by any of the table's keys; return how many were written."""
    keys = inspect(table).primary_key
    written = db.execute(
        _insert(db.get_bind().dialect.name, table).values(rows).on_conflict_do_nothing().returning(*keys)
    )
    return len(written.all())


def upsert(db: Session, table: type[Base], rows: Rows) -> None:
    """Write *rows*; one that is there already, by its primary key, takes the new values."""
    many = [rows] if isinstance(rows, Mapping) else list(rows)
    run(db, _upserting(db.get_bind().dialect.name, table, tuple(many[0])), many)


@cache
def _upserting(dialect: str, table: type[Base], columns: tuple[str, ...]) -> sqlite.Insert:
    """Return the statement, made once for all rows of these columns."""
    keys = tuple(column.name for column in inspect(table).primary_key)
    made = _insert(dialect, table)
    changed = {name: made.excluded[name] for name in columns if name not in keys}
    return made.on_conflict_do_update(index_elements=keys, set_=changed)


def _insert(dialect: str, table: type[Base]) -> sqlite.Insert:
    on: Any = import_module(f"sqlalchemy.dialects.{dialect}")  # one of two; each is slow to import
    made: sqlite.Insert = on.insert(table.__table__)
    return made
