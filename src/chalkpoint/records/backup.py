"""A copy of the whole database, made while it is in use."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import cast

from chalkpoint.numbers.errors import EntryError, FileError
from chalkpoint.records.store import PRIVATE, Store

__all__ = ["back_up"]


def back_up(store: Store, path: Path) -> None:
    """Write a copy of a SQLite store to *path*, whole or not at all.

    Raises EntryError for a PostgreSQL, whose own tools do it better, and FileError where it cannot be written.
    """
    if not store.is_file:
        raise EntryError(
            f"{store.url.render_as_string()} is a PostgreSQL; back it up with pg_dump, or write everything to a file "
            "with chalkpoint records export"
        )
    if path.exists():
        raise FileError(f"{str(path)!r} is there already; give another name")
    fresh = path.with_name(f".{path.name}-making")
    try:
        fresh.touch(mode=PRIVATE)
        with closing(store.engine.raw_connection()) as pooled, closing(sqlite3.connect(fresh)) as copy:
            # In one go: it sees one moment, writers need not wait for it, and none makes it begin again.
            cast("sqlite3.Connection", pooled.driver_connection).backup(copy)
        fresh.replace(path)
    except (OSError, sqlite3.Error) as reason:
        fresh.unlink(missing_ok=True)
        raise FileError(
            f"{str(path)!r} cannot be written ({reason}); give a file in a folder you may write to"
        ) from reason
