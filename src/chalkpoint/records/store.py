"""The store: one database, SQLite or PostgreSQL, opened once and asked in transactions."""

from __future__ import annotations

import sqlite3
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager, nullcontext, suppress
from pathlib import Path
from threading import Lock
from typing import Any, TypeAlias, cast

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url, select
from sqlalchemy.exc import ArgumentError, DatabaseError, InterfaceError, OperationalError, SQLAlchemyError
from sqlalchemy.orm import Session

from chalkpoint.numbers.errors import EntryError, FileError, missing_extra
from chalkpoint.records import migrate
from chalkpoint.records.migrate import WRITES

__all__ = [
    "LOST",
    "PRIVATE",
    "Store",
    "Transaction",
    "back_up",
    "bring_up_to_date",
    "default_url",
    "open_engine",
    "open_store",
    "read_url",
]

#: What is opened to read or to write, and handed to the other modules of this room.
Transaction: TypeAlias = Session

#: What is raised where the database does not answer, or goes away in mid-transaction; the same may be tried again.
LOST = (OperationalError, InterfaceError)

PRIVATE = 0o600  # read and written by its owner alone, where the system has such modes
WAIT = 10.0  # seconds that a writer waits for another
CONNECTIONS = 20  # at once


class Store:
    """An open database.

    url  where it is
    """

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        self._writing = engine.execution_options(**{WRITES: True})
        # SQLite lets waiting writers try again by chance, so one of many may wait for ever; here they wait in line
        self._turn = Lock() if self.is_file else nullcontext()

    @property
    def url(self) -> URL:
        """Where the database is."""
        return self.engine.url

    @property
    def is_file(self) -> bool:
        """Whether it is a SQLite file."""
        return self.engine.dialect.name == "sqlite"

    @contextmanager
    def write(self) -> Iterator[Session]:
        """Open a transaction that is committed at the end, or undone whole when anything is raised."""
        with self._turn, Session(self._writing, expire_on_commit=False) as db, db.begin():
            yield db

    @contextmanager
    def read(self) -> Iterator[Session]:
        """Open a transaction for looking; whatever it changes is undone."""
        with Session(self.engine) as db:
            yield db

    def answers(self) -> bool:
        """Tell whether the database answers."""
        try:
            with self.engine.connect() as connection:
                return connection.scalar(select(1)) == 1
        except SQLAlchemyError:
            return False

    def forget_traces(self) -> None:
        """Take what was deleted out of the file's log of writes too, as far as nobody reads it just now."""
        if self.is_file:
            with self.engine.execution_options(isolation_level="AUTOCOMMIT").connect() as connection:
                connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")

    def close(self) -> None:
        """Let the database go."""
        self.engine.dispose()


def default_url() -> str:
    """Return where everything is kept if nothing else is said: a file in the user's data folder."""
    from platformdirs import user_data_path

    return f"sqlite:///{(user_data_path('chalkpoint') / 'chalkpoint.db').as_posix()}"


def read_url(text: str | None) -> URL:
    """Return a database's URL as the library takes it.

    >>> read_url("postgresql://heron@localhost/brackwater").drivername
    'postgresql+psycopg'

    Raises EntryError for what is none.
    """
    try:
        url = make_url(text or default_url())
    except ArgumentError as reason:
        raise EntryError(_not_taken(text)) from reason
    match url.get_backend_name():
        case "sqlite" if url.database and url.database != ":memory:":
            return url
        case "postgresql" | "postgres":
            return url.set(drivername="postgresql+psycopg")
    raise EntryError(_not_taken(text))


def _not_taken(text: str | None) -> str:
    return f"--database {text!r} is not taken; give postgresql://USER@HOST/NAME or sqlite:////FOLDER/FILE"


def open_store(url: str | None = None) -> Store:
    """Return the store at *url*, the file in the user's data folder by default.

    A SQLite file is made where there is none, and brought up to date by itself.

    Raises EntryError for a URL that is none or a database that must be brought up to date first, FileError
    for one that cannot be opened.
    """
    engine = open_engine(url)
    with _cannot_be_opened(engine):
        if engine.dialect.name == "sqlite":
            file = Path(str(engine.url.database)).resolve()
            file.parent.mkdir(parents=True, exist_ok=True)
            file.touch(mode=PRIVATE)
            with suppress(PermissionError):  # another's file stays as it is
                file.chmod(PRIVATE)  # its log of writes is made with the same mode
            migrate.upgrade(engine)
        else:
            migrate.check(engine)
    return Store(engine)


def bring_up_to_date(url: str | None = None) -> tuple[str | None, str]:
    """Bring the database at *url* up to date; return its revisions before and after.

    Raises EntryError for a URL that is none, FileError for a database that cannot be opened.
    """
    engine = open_engine(url)
    with _cannot_be_opened(engine):
        before = migrate.current(engine)
        migrate.upgrade(engine)
    engine.dispose()
    return before, migrate.head()


@contextmanager
def _cannot_be_opened(engine: Engine) -> Iterator[None]:
    """Let a database go that is refused, and say in a sentence why it cannot be opened."""
    try:
        yield
    except (DatabaseError, OSError) as reason:
        engine.dispose()
        said = str(getattr(reason, "orig", None) or reason).strip().splitlines()[0]
        raise FileError(
            f"the database {engine.url.render_as_string()!r} cannot be opened ({said}); see that it is there and may "
            "be written to, or give another --database"
        ) from reason
    except EntryError:
        engine.dispose()
        raise


def open_engine(url: str | None = None) -> Engine:
    """Return the engine of the database at *url*, without checking its tables.

    Raises EntryError for a URL that is none.
    """
    return _engine(read_url(url))


def _engine(url: URL) -> Engine:
    if url.get_backend_name() != "sqlite":
        try:
            return create_engine(url, pool_size=CONNECTIONS, pool_pre_ping=True, hide_parameters=True)
        except ModuleNotFoundError as reason:
            raise missing_extra("PostgreSQL", str(reason.name), "postgresql") from reason
    engine = create_engine(url, pool_size=CONNECTIONS, connect_args={"timeout": WAIT}, hide_parameters=True)
    event.listen(engine, "connect", _prepare_file)
    event.listen(engine, "begin", _begin_file)
    return engine


def _prepare_file(connection: Any, record: Any) -> None:
    """Set up a connection.

    Readers do not wait for the writer; what was acknowledged is on the disk; what is deleted is overwritten.
    """
    connection.isolation_level = None  # transactions are begun below, not by the driver
    # in a browser's tab the file alone is kept: what is written must be in it, and not in a log beside it
    journal = "DELETE" if sys.platform == "emscripten" else "WAL"
    for pragma in (
        f"journal_mode = {journal}",
        "synchronous = FULL",
        "foreign_keys = ON",
        "secure_delete = ON",
    ):
        connection.execute(f"PRAGMA {pragma}")


def _begin_file(connection: Connection) -> None:
    """Begin a transaction; one that is going to write takes the right to at once, since SQLite lets none wait later."""
    writes = connection.get_execution_options().get(WRITES)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


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
