"""Stores on both databases: whatever is promised is promised of either."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path

import pytest
from sqlalchemy import create_engine, text

from chalkpoint.records import teachers
from chalkpoint.records.migrate import upgrade
from chalkpoint.records.store import Store, open_engine, open_store, read_url

numbers = count(1)


@pytest.fixture(params=["sqlite", "postgresql"])
def make_store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Callable[[], Store]]:
    """What makes empty stores on one of the databases."""
    made: list[Store] = []

    def make() -> Store:
        number = next(numbers)
        if request.param == "sqlite":
            url = f"sqlite:///{(tmp_path / f'store-{number}.db').as_posix()}"
        else:
            url = fresh_database(request.getfixturevalue("postgresql_server"), f"store_{number}")
        made.append(open_store(url))
        return made[-1]

    yield make
    for store in made:
        store.close()


def fresh_database(server: str, name: str) -> str:
    """Return the URL of a new database with the tables in it."""
    admin = create_engine(read_url(server), isolation_level="AUTOCOMMIT")
    with admin.connect() as connection:
        connection.execute(text(f"CREATE DATABASE {name}"))
    admin.dispose()
    url = server.rsplit("/", 1)[0] + f"/{name}"
    engine = open_engine(url)
    upgrade(engine)
    engine.dispose()
    return url


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
