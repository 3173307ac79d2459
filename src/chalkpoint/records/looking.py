"""Looking things up alike on both databases."""

from __future__ import annotations

from typing import Any, TypeVar

from sqlalchemy import ColumnElement, select
from sqlalchemy.orm import Session

from chalkpoint.records.columns import Unwritable
from chalkpoint.records.schema import Base

__all__ = ["by_bytes", "find", "find_by"]

Row = TypeVar("Row", bound=Base)


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


def by_bytes(db: Session, column: Any) -> ColumnElement[str]:
    """Return a column of text that compares and sorts by its bytes, as no language would.

    Left to itself, each database sorts in its own way.
    """
    ordered: ColumnElement[str] = column.collate(
        "C" if db.get_bind().dialect.name == "postgresql" else "BINARY"
    )
    return ordered
