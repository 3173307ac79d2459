"""Long work: counted while its page is open or not, and its sentence where it fails; another's is not found."""

from __future__ import annotations

from collections.abc import Callable
from threading import Event
from time import monotonic, sleep

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.records import jobs as written
from chalkpoint.records import kept, teachers
from chalkpoint.records.schema import JobRow
from chalkpoint.records.store import Store, open_store
from chalkpoint.web import jobs
from chalkpoint.web.jobs import Jobs, Watch
from conftest_records import away, fresh_database


def wait_for(true: Callable[[], bool]) -> None:
    """Wait until something is true."""
    until = monotonic() + 30
    while not true() and monotonic() < until:
        sleep(0.02)
    assert true()


@pytest.fixture
def me(store: Store) -> str:
    """A teacher."""
    with store.write() as db:
        return teachers.local_teacher(db).id


def state(store: Store, me: str, job: str) -> written.Job:
    """Return how far a job is."""
    with store.read() as db:
        return written.state(db, me, job)


def test_work_is_counted_and_leads_to_what_it_made(
    store: Store, me: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each count is written down, at most so often."""
    monkeypatch.setattr(jobs, "SAVED_EVERY", 0.0)
    go, doing = Event(), Jobs(store)

    def work(watch: Watch) -> str:
        watch(3, 7)
        go.wait(10)
        return "/work"

    job = doing.start(me, "Counting", work, of=7)
    wait_for(lambda: state(store, me, job).done == 3)
    go.set()
    wait_for(lambda: state(store, me, job).state == "done")
    assert state(store, me, job).result == "/work"
    doing.close()


def test_work_is_cancelled_at_its_next_count(store: Store, me: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """It does not go on, nothing is said of a result, and nobody else can cancel it."""
    monkeypatch.setattr(jobs, "SAVED_EVERY", 0.0)
    go, doing = Event(), Jobs(store)
    counted: list[int] = []

    def work(watch: Watch) -> str:
        for done in range(1, 4):
            watch(done, 3)
            counted.append(done)
            go.wait(10)
        return "/work"

    job = doing.start(me, "Reading", work, of=3)
    wait_for(lambda: counted == [1])
    with store.write() as db, pytest.raises(kept.NotKept):
        written.cancel(db, "another", job)
    with store.write() as db:
        written.cancel(db, me, job)
    go.set()
    doing.close()
    assert counted == [1]
    assert state(store, me, job).result == "the work was cancelled, and nothing of it was kept"


def test_work_that_counts_nothing_shows_that_it_lives(
    store: Store, me: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Minutes without a count are not taken for a process that is gone."""
    monkeypatch.setattr(jobs, "BEAT", 0.05)
    monkeypatch.setattr(written, "SILENT", written.SILENT / 15)  # 4 s
    go, doing = Event(), Jobs(store)
    job = doing.start(me, "A long video", lambda watch: "/teach" if go.wait(10) else "")
    sleep(5)
    assert state(store, me, job).state == "running"
    go.set()
    wait_for(lambda: state(store, me, job).state == "done")
    doing.close()


def test_work_outlives_a_database_that_is_away(
    postgresql_server: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Counts and signs of life that cannot be written down stop nothing, and the end is written down later."""
    for name in ("SAVED_EVERY", "BEAT", "PAUSE"):
        monkeypatch.setattr(jobs, name, 0.05)
    url = fresh_database(postgresql_server)
    store = open_store(url)
    with store.write() as db:
        me = teachers.local_teacher(db).id
    go, counted, doing = Event(), Event(), Jobs(store)

    def work(watch: Watch) -> str:
        go.wait(10)
        watch(3, 7)
        counted.set()
        return "/work"

    job = doing.start(me, "Counting", work, of=7)
    with away(url):
        go.set()
        assert counted.wait(10)
        sleep(0.2)
    wait_for(lambda: state(store, me, job).state == "done")
    assert state(store, me, job).result == "/work"
    stop = Event()
    lasting = doing.start(me, "Counting on", lambda watch: "/teach" if stop.wait(10) else "")
    began = last_sign(store, lasting)
    wait_for(lambda: last_sign(store, lasting) > began)
    stop.set()
    doing.close()
    store.close()


def test_work_that_was_forgotten_meanwhile_stops_no_other(
    store: Store, me: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A job that is purged while it goes on leaves the others their signs of life."""
    monkeypatch.setattr(jobs, "BEAT", 0.05)
    stop, doing = Event(), Jobs(store)
    gone, lasting = (
        doing.start(me, "Counting", lambda watch: "/teach" if stop.wait(10) else "") for _ in range(2)
    )
    with store.write() as db:
        db.delete(db.get_one(JobRow, gone))
    sleep(0.2)
    began = last_sign(store, lasting)
    wait_for(lambda: last_sign(store, lasting) > began)
    stop.set()
    wait_for(lambda: state(store, me, lasting).state == "done")
    doing.close()


def last_sign(store: Store, job: str) -> str:
    """Return when a job last gave a sign of life."""
    with store.read() as db:
        return db.get_one(JobRow, job).seen


@pytest.mark.parametrize(
    ("reason", "said"),
    [(EntryError("no such trait"), "no such trait"), (KeyError("x"), "a fault of Chalkpoint")],
)
def test_work_that_fails_says_why(store: Store, me: str, reason: Exception, said: str) -> None:
    """A refusal in its own sentence; a fault of ours as that, and nothing of its insides."""

    def work(watch: Watch) -> str:
        raise reason

    doing = Jobs(store)
    job = doing.start(me, "Failing", work)
    wait_for(lambda: state(store, me, job).state == "failed")
    assert said in state(store, me, job).result
    doing.close()
