"""Long work as a page shows it: how far it is, and where it leads when it is done."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator

from anyio import to_thread
from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.records import jobs
from chalkpoint.records.jobs import Job
from chalkpoint.web.events import event, event_stream
from chalkpoint.web.pagerequest import PageRequest, local_path, see, teacher_page
from chalkpoint.web.showing import show

__all__ = ["ROUTES"]

LOOKED_EVERY = 0.5  # seconds between two looks at what was written down


def job_page(request: PageRequest) -> Response:
    """Show how far a job is; lead to what it made once it is done."""
    job = _state(request)
    return see(job.result) if job.state == "done" else show(request, "job.html.jinja", job=job)


def _state(request: PageRequest) -> Job:
    with request.app.store.read() as db:
        return jobs.state(db, request.teacher, request.path["id"])


def job_events(request: PageRequest) -> Response:
    """Tell an open page how far its job is, whenever that changes."""
    _state(request)  # another teacher's job is not found
    return event_stream(_told(request))


async def _told(request: PageRequest) -> AsyncIterator[bytes]:
    told: tuple[str, int, int] | None = None
    while not await request.http.is_disconnected():
        job = await to_thread.run_sync(_state, request, limiter=request.app.lanes.looks.limiter)
        now = (job.state, job.done, job.of)
        if now != told:
            yield event("progress", {"state": job.state, "done": job.done, "of": job.of})
            told = now
        if job.state != "running":
            return
        await asyncio.sleep(LOOKED_EVERY)


def cancel_job(request: PageRequest) -> Response:
    """Stop a job at its next count, and lead back to where it was begun."""
    job = _state(request)
    with request.app.store.write() as db:
        jobs.cancel(db, request.teacher, job.id)
    return see(local_path(job.back))


ROUTES = [
    Route("/jobs/{id}", teacher_page(job_page)),
    Route("/jobs/{id}/cancel", teacher_page(cancel_job), methods=["POST"]),
    Route("/jobs/{id}/events", teacher_page(job_events)),
]
