"""Long work: begun by a form, counted on a page of its own, and finished whether or not anybody looks."""

from __future__ import annotations

import logging
from collections.abc import Callable
from functools import partial
from threading import Event
from time import monotonic
from typing import TypeAlias

from chalkpoint.numbers.errors import DISK_FULL, ChalkpointError, is_disk_full
from chalkpoint.records import jobs
from chalkpoint.records.store import LOST, Store, Transaction
from chalkpoint.web.faultlog import log_fault
from chalkpoint.web.runners import Runner, ThreadRunner

__all__ = ["Jobs", "Watch"]

Watch: TypeAlias = Callable[[int, int], None]
Work: TypeAlias = Callable[[Watch], str]

AT_ONCE = 2
SAVED_EVERY = 0.25  # seconds between two counts that are written down
BEAT = 15.0  # seconds between two signs of life
PAUSE = 3.0  # seconds between two tries to write down how a job ended, where the database is away
TRIES = 20

log = logging.getLogger("chalkpoint")


class Cancelled(ChalkpointError):  # noqa: N818 - it is no error
    """Work that the teacher cancelled."""


class Jobs:
    """Does long work beside the pages, and writes down how far it is."""

    def __init__(self, store: Store, runner: Runner | None = None) -> None:
        runner = runner or ThreadRunner()
        self.store = store
        self.runner = runner
        self.pool = runner.pool(AT_ONCE, "job")
        self._under_way: set[str] = set()
        self._closed = Event()
        runner.background(self._beat, "job-beat")

    def start(self, teacher: str, what: str, work: Work, *, of: int = 0, back: str = "") -> str:
        """Begin *work* and return the id of its job.

        what  a sentence's beginning, such as "Setting 30 papers"
        work  is given what it calls with (done, of), and returns the address of what it made
        of    how many things are to be done, where it is known
        back  the page it is begun on, for when it fails
        """
        with self.store.write() as db:
            job = jobs.start(db, teacher, what, of, back)
        self._under_way.add(job)
        self.pool.submit(self._do, job, work)
        return job

    def _do(self, job: str, work: Work) -> None:
        saved = 0.0

        def watch(done: int, of: int) -> None:
            nonlocal saved
            self.runner.breathe(done, of)
            if monotonic() - saved >= SAVED_EVERY:
                saved = monotonic()
                self._note(lambda db: jobs.progress(db, job, done, of))
                if self._is_cancelled(job):
                    raise Cancelled("the work was cancelled, and nothing of it was kept")

        try:
            result = work(watch)
        except ChalkpointError as reason:
            said = str(reason)
            self._end(lambda db: jobs.fail(db, job, said))
        except LOST as reason:
            log.warning("a job lost the database: %s", type(reason).__name__)
            away = DISK_FULL if is_disk_full(reason) else "the database did not answer; begin it again"
            self._end(lambda db: jobs.fail(db, job, away))
        except Exception as reason:  # noqa: BLE001 - whatever it is, it is a fault of ours
            full = is_disk_full(reason)
            if not full:
                log_fault("a job broke", reason)
            said = DISK_FULL if full else "this is a fault of Chalkpoint, not yours; nothing was kept"
            self._end(lambda db: jobs.fail(db, job, said))
        else:
            self._end(lambda db: jobs.finish(db, job, result))
        finally:
            self._under_way.discard(job)

    def _note(self, write: Callable[[Transaction], None]) -> bool:
        """Write something down about a job, and tell whether it was: the job goes on where the database is away."""
        try:
            with self.store.write() as db:
                write(db)
        except LOST as reason:
            log.warning("a job could not be written down: %s", type(reason).__name__)
            return False
        return True

    def _is_cancelled(self, job: str) -> bool:
        """Tell whether the teacher cancelled a job; where the database is away nobody could."""
        try:
            with self.store.read() as db:
                return jobs.is_cancelled(db, job)
        except LOST:
            return False

    def _end(self, write: Callable[[Transaction], None]) -> None:
        """Write down how a job ended, as soon as the database is there."""
        for _ in range(TRIES):
            if self._note(write) or self._closed.wait(PAUSE):
                return

    def _beat(self) -> None:
        """Write down, time and again, that what is under way still is: work may count nothing for minutes."""
        while not self._closed.wait(BEAT):
            for job in tuple(self._under_way):
                self._note(partial(jobs.beat, id=job))

    def close(self) -> None:
        """Wait for what is being done; begin nothing that waits."""
        self._closed.set()
        self.pool.shutdown(wait=True, cancel_futures=True)
