"""Bringing a database up to date, or back, by the migrations in `migrations/`; an empty one is given its tables."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from importlib.resources import files
from threading import Lock
from typing import TYPE_CHECKING

from sqlalchemy import (
    Column,
    Connection,
    Engine,
    MetaData,
    PrimaryKeyConstraint,
    String,
    Table,
    func,
    insert,
    inspect,
    select,
)

from chalkpoint.numbers.errors import EntryError
from chalkpoint.records.schema import Base

if TYPE_CHECKING:
    from alembic.config import Config
    from alembic.script import ScriptDirectory

__all__ = ["LATEST", "WRITES", "check", "current", "downgrade", "head", "upgrade"]

LATEST = "0006"  # the revision that this version writes; known without the library, which is slow to import
#: The table that a revision is noted in, as the library has it.
NOTED = Table(
    "alembic_version",
    MetaData(),
    Column("version_num", String(32), nullable=False),
    PrimaryKeyConstraint("version_num", name="alembic_version_pkc"),
)
MIGRATING = 0x6368616C  # the number of the lock, on a PostgreSQL
_turn = Lock()  # the library keeps what it migrates in its modules, so one thread at a time
WRITES = "chalkpoint_writes"  # a connection's option: it is going to write


def upgrade(engine: Engine, to: str = "head") -> None:
    """Bring the database up to a revision, the latest by default; in one transaction."""
    if to == "head":
        found = current(engine)
        if found == LATEST:
            return
        if found is not None:
            _check_known(engine, found)
    with _alone(engine) as connection:
        if to == "head" and not inspect(connection).get_table_names():
            _make_tables(connection)
            return
        from alembic import command

        command.upgrade(_config(connection), to)


def _make_tables(connection: Connection) -> None:
    """Make the tables of this version: the same as all migrations make, without the library and much sooner."""
    Base.metadata.create_all(connection)
    NOTED.create(connection)
    connection.execute(insert(NOTED).values(version_num=LATEST))


def downgrade(engine: Engine, to: str) -> None:
    """Take the database back to an earlier revision; "base" is an empty one."""
    from alembic import command

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
        if not inspect(connection).has_table(NOTED.name):
            return None
        return connection.scalar(select(NOTED.c.version_num))


def head() -> str:
    """Return the latest revision."""
    found = _scripts().get_current_head()
    assert found is not None  # noqa: S101 - the package has migrations
    return found


def check(engine: Engine) -> None:
    """Raise EntryError unless the database is up to date."""
    found = current(engine)
    if found != LATEST:
        _check_known(engine, found)
        where = engine.url.render_as_string()
        raise EntryError(
            f"the database {where} is at revision {found or 'none'}, and this version needs {head()}; run chalkpoint "
            "records migrate --database URL, after a backup"
        )


def _check_known(engine: Engine, found: str | None) -> None:
    """Raise EntryError where the database was made by a newer version."""
    known = {one.revision for one in _scripts().walk_revisions()}
    if found is not None and found not in known:
        raise EntryError(
            f"the database {engine.url.render_as_string()} was made by a newer version of Chalkpoint (revision "
            f"{found}, and this one knows up to {head()}); install that version, or give another --database"
        )


def _scripts() -> ScriptDirectory:
    from alembic.script import ScriptDirectory

    return ScriptDirectory.from_config(_config())


def _config(connection: object = None) -> Config:
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(files("chalkpoint.records") / "migrations"))
    config.attributes["connection"] = connection
    return config
