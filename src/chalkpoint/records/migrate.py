"""Bringing a database up to date, or back, by the migrations in `migrations/`."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from importlib.resources import files
from threading import Lock

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, Engine, func, select

from chalkpoint.numbers.errors import EntryError

__all__ = ["WRITES", "check", "current", "downgrade", "head", "upgrade"]

MIGRATING = 0x6368616C  # the number of the lock, on a PostgreSQL
_turn = Lock()  # the library keeps what it migrates in its modules, so one thread at a time
WRITES = "chalkpoint_writes"  # a connection's option: it is going to write


def upgrade(engine: Engine, to: str = "head") -> None:
    """Bring the database up to a revision, the latest by default; in one transaction."""
    if to == "head":
        found = current(engine)
        if found == head():
            return
        _check_known(engine, found)
    with _alone(engine) as connection:
        command.upgrade(_config(connection), to)


def downgrade(engine: Engine, to: str) -> None:
    """Take the database back to an earlier revision; "base" is an empty one."""
    with _alone(engine) as connection:
        command.downgrade(_config(connection), to)


@contextmanager
def _alone(engine: Engine) -> Iterator[Connection]:
    """Open a transaction while no other thread or process migrates: the second waits, and finds it done."""
    with _turn, engine.execution_options(**{WRITES: True}).begin() as connection:
        if engine.dialect.name == "postgresql":  # a file is written by one at a time anyway
            connection.execute(select(func.pg_advisory_xact_lock(MIGRATING)))
        yield connection


def current(engine: Engine) -> str | None:
    """Return the revision of a database; None for an empty one."""
    with engine.connect() as connection:
        return MigrationContext.configure(connection).get_current_revision()


def head() -> str:
    """Return the latest revision."""
    found = ScriptDirectory.from_config(_config()).get_current_head()
    assert found is not None  # noqa: S101 - the package has migrations
    return found


def check(engine: Engine) -> None:
    """Raise EntryError unless the database is up to date."""
    found = current(engine)
    _check_known(engine, found)
    if found != head():
        where = engine.url.render_as_string()
        raise EntryError(
            f"the database {where} is at revision {found or 'none'}, and this version needs {head()}; run chalkpoint "
            "records migrate --database URL, after a backup"
        )


def _check_known(engine: Engine, found: str | None) -> None:
    """Raise EntryError where the database was made by a newer version."""
    known = {one.revision for one in ScriptDirectory.from_config(_config()).walk_revisions()}
    if found is not None and found not in known:
        raise EntryError(
            f"the database {engine.url.render_as_string()} was made by a newer version of Chalkpoint (revision "
            f"{found}, and this one knows up to {head()}); install that version, or give another --database"
        )


def _config(connection: object = None) -> Config:
    config = Config()
    config.set_main_option("script_location", str(files("chalkpoint.records") / "migrations"))
    config.attributes["connection"] = connection
    return config
