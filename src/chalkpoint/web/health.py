"""Health: whether this process serves and its database answers, for whoever watches over it."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse
from starlette.routing import Route

from chalkpoint.records.store import Store

__all__ = ["ROUTES"]


async def health(request: Request) -> JSONResponse:
    """Answer 200 where all is well, 503 where the database does not answer; nothing else is told."""
    store: Store = request.app.state.shared.store
    well = await run_in_threadpool(store.answers)
    return JSONResponse({"well": well}, status_code=200 if well else 503)


ROUTES = [Route("/health", health)]
