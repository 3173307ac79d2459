"""Stores on both databases: whatever is promised is promised of either."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from functools import cache
from itertools import count
from pathlib import Path

import pytest
from sqlalchemy import create_engine, text

from chalkpoint.records import teachers
from chalkpoint.records.migrate import upgrade
from chalkpoint.records.store import Store, open_engine, open_store, read_url

__all__ = [
    "DATABASES",
    "away",
    "cut_connections",
    "fresh_database",
    "fresh_server_database",
    "make_store",
    "new_store",
    "other",
    "store",
    "teacher",
]

DATABASES = ("sqlite", "postgresql")
numbers = count(1)


@contextmanager
def new_store(request: pytest.FixtureRequest, folder: Path) -> Iterator[Store]:
    """Give an empty store on the database that a fixture is asked for, and let it go.

    The fixture is parametrised by DATABASES; a server is started only where one is needed.
    """
    if request.param == "sqlite":
        store = open_store(f"sqlite:///{(folder / f'chalkpoint-{next(numbers)}.db').as_posix()}")
        yield store
        store.close()
        return
    server = request.getfixturevalue("postgresql_server")
    store = open_store(fresh_database(server))
    yield store
    store.close()
    _order(server, f"DROP DATABASE {store.url.database} WITH (FORCE)")


@pytest.fixture(params=DATABASES)
def make_store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Callable[[], Store]]:
    """What makes empty stores on one of the databases."""
    with ExitStack() as made:
        yield lambda: made.enter_context(new_store(request, tmp_path))


def fresh_database(server: str) -> str:
    """Return the URL of a new database with the tables in it: a copy of one, which is much faster than making them."""
    name = f"store_{next(numbers)}"
    _order(server, f"CREATE DATABASE {name} TEMPLATE {_model(server)} STRATEGY FILE_COPY")
    return _beside(server, name)


def fresh_server_database(server: str) -> str:
    """Return the URL of a new database with nothing in it."""
    name = f"empty_{next(numbers)}"
    _order(server, f"CREATE DATABASE {name}")
    return _beside(server, name)


@cache
def _model(server: str) -> str:
    """Return the name of the database that others are copied from, made once a server."""
    _order(server, "CREATE DATABASE model")
    engine = open_engine(_beside(server, "model"))
    upgrade(engine)
    engine.dispose()
    return "model"


def _beside(server: str, name: str) -> str:
    return server.rsplit("/", 1)[0] + f"/{name}"


def _order(server: str, words: str) -> None:
    """Let the server do what no transaction can."""
    engine = create_engine(read_url(server), isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.execute(text(words))
    engine.dispose()


def cut_connections(url: str) -> None:
    """Break every connection to a PostgreSQL's database."""
    name = read_url(url).database
    words = f"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{name}'"  # noqa: S608 - our words
    _order(_beside(url, "postgres"), words)


@contextmanager
def away(url: str) -> Iterator[None]:
    """Break every connection to a PostgreSQL's database and let nobody in, as if it were away."""
    change = f"ALTER DATABASE {read_url(url).database} ALLOW_CONNECTIONS"
    _order(_beside(url, "postgres"), f"{change} false")
    cut_connections(url)
    try:
        yield
    finally:
        _order(_beside(url, "postgres"), f"{change} true")


@pytest.fixture
def store(make_store: Callable[[], Store]) -> Store:
    """An empty store."""
    return make_store()


@pytest.fixture
def teacher(store: Store) -> str:
    """The id of a teacher."""
    with store.write() as db:
        return teachers.add_teacher(db, "ada").id


@pytest.fixture
def other(store: Store) -> str:
    """The id of another teacher."""
    with store.write() as db:
        return teachers.add_teacher(db, "grace").id
