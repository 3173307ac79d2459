"""Rows that may be there already: written alike on both databases, however many write them at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from importlib import import_module
from typing import TYPE_CHECKING, Any

from sqlalchemy import inspect
from sqlalchemy.orm import Session

from chalkpoint.numbers.datafiles import JsonMapping
from chalkpoint.records.schema import Base

if TYPE_CHECKING:
    from sqlalchemy.dialects import sqlite

__all__ = ["insert_if_new", "upsert"]

Rows = JsonMapping | Sequence[JsonMapping]


def insert_if_new(db: Session, table: type[Base], rows: Rows) -> int:
    """Write the *rows* that are not there by any of the table's keys; return how many were written."""
    keys = inspect(table).primary_key
    written = db.execute(_insert(db, table).values(rows).on_conflict_do_nothing().returning(*keys))
    return len(written.all())


def upsert(db: Session, table: type[Base], rows: Rows, *, key: Sequence[str] = ()) -> None:
    """Write *rows*; one that is there already, by *key*, takes the new values.

    key  columns that are unique together; the primary key where none are given
    """
    keys = list(key) or [column.name for column in inspect(table).primary_key]
    made = _insert(db, table).values(rows)
    first = rows if isinstance(rows, Mapping) else rows[0]
    changed = {name: made.excluded[name] for name in first if name not in keys}
    db.execute(made.on_conflict_do_update(index_elements=keys, set_=changed))


def _insert(db: Session, table: type[Base]) -> sqlite.Insert:
    on: Any = import_module(
        f"sqlalchemy.dialects.{db.get_bind().dialect.name}"
    )  # one of two; each is slow to import
    made: sqlite.Insert = on.insert(table)
    return made
