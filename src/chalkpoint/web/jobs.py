"""Long work: begun by a form, counted on a page of its own, and finished whether or not anybody looks."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import AsyncIterator, Callable
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from threading import Event, Thread
from time import monotonic
from typing import TypeAlias

from starlette.concurrency import run_in_threadpool
from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.numbers.errors import ChalkpointError
from chalkpoint.records import jobs
from chalkpoint.records.jobs import Job
from chalkpoint.records.store import LOST, Store, Transaction
from chalkpoint.web.asking import Asking, see, teacher_page
from chalkpoint.web.events import event, event_stream
from chalkpoint.web.showing import show

__all__ = ["ROUTES", "Jobs", "Watch"]

Watch: TypeAlias = Callable[[int, int], None]
Work: TypeAlias = Callable[[Watch], str]

AT_ONCE = 2
SAVED_EVERY = 0.25  # seconds between two counts that are written down
BEAT = 15.0  # seconds between two signs of life
LOOKED_EVERY = 0.5  # seconds between two looks at what was written down
PAUSE = 3.0  # seconds between two tries to write down how a job ended, where the database is away
TRIES = 20

log = logging.getLogger("chalkpoint")


class Jobs:
    """Does long work beside the pages, and writes down how far it is."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self.pool = ThreadPoolExecutor(AT_ONCE, thread_name_prefix="job")
        self._under_way: set[str] = set()
        self._closed = Event()
        Thread(target=self._beat, name="job-beat", daemon=True).start()

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
            if monotonic() - saved >= SAVED_EVERY:
                saved = monotonic()
                self._note(lambda db: jobs.progress(db, job, done, of))

        try:
            result = work(watch)
        except ChalkpointError as reason:
            said = str(reason)
            self._end(lambda db: jobs.fail(db, job, said))
        except LOST as reason:
            log.warning("a job lost the database: %s", type(reason).__name__)
            self._end(lambda db: jobs.fail(db, job, "the database did not answer; begin it again"))
        except Exception:
            log.exception("a job broke")
            said = "this is a fault of Chalkpoint, not yours; nothing was kept"
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


def job_page(asking: Asking) -> Response:
    """Show how far a job is; lead to what it made once it is done."""
    job = _state(asking)
    return see(job.result) if job.state == "done" else show(asking, "job.html.jinja", job=job)


def _state(asking: Asking) -> Job:
    with asking.house.store.read() as db:
        return jobs.state(db, asking.teacher, asking.path["id"])


def job_events(asking: Asking) -> Response:
    """Tell an open page how far its job is, whenever that changes."""
    _state(asking)  # another teacher's job is not found
    return event_stream(_told(asking))


async def _told(asking: Asking) -> AsyncIterator[bytes]:
    told: tuple[str, int, int] | None = None
    while not await asking.request.is_disconnected():
        job = await run_in_threadpool(_state, asking)
        now = (job.state, job.done, job.of)
        if now != told:
            yield event("progress", {"state": job.state, "done": job.done, "of": job.of})
            told = now
        if job.state != "running":
            return
        await asyncio.sleep(LOOKED_EVERY)


ROUTES = [
    Route("/jobs/{id}", teacher_page(job_page)),
    Route("/jobs/{id}/events", teacher_page(job_events)),
]
