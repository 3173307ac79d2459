"""Long work: counted while its page is open or not, and its sentence where it fails; another's is not found."""

from __future__ import annotations

from collections.abc import Callable
from threading import Event
from time import monotonic, sleep

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.records import jobs as written
from chalkpoint.records import teachers
from chalkpoint.records.store import Store
from chalkpoint.web import jobs
from chalkpoint.web.jobs import Jobs, Watch


def wait_for(true: Callable[[], bool]) -> None:
    """Wait until something is true."""
    until = monotonic() + 10
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


def test_work_that_counts_nothing_shows_that_it_lives(
    store: Store, me: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Minutes without a count are not taken for a process that is gone."""
    monkeypatch.setattr(jobs, "BEAT", 0.05)
    monkeypatch.setattr(written, "SILENT", written.SILENT / 60)  # 1 s
    go, doing = Event(), Jobs(store)
    job = doing.start(me, "A long video", lambda watch: "/teach" if go.wait(10) else "")
    sleep(1.5)
    assert state(store, me, job).state == "running"
    go.set()
    wait_for(lambda: state(store, me, job).state == "done")
    doing.close()


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
