"""Server-Sent Events: what a page is told while it is open."""

from __future__ import annotations

import json
import logging
from collections.abc import AsyncIterator

from starlette.responses import StreamingResponse

from chalkpoint.records.store import LOST

__all__ = ["QUIET", "event", "event_stream"]

QUIET = b":\n\n"  # keeps a connection open, and tells the page nothing

log = logging.getLogger("chalkpoint")


def event(name: str, data: object) -> bytes:
    r"""Return one event as it is sent.

    >>> event("progress", {"done": 3})
    b'event: progress\ndata: {"done": 3}\n\n'
    """
    return f"event: {name}\ndata: {json.dumps(data)}\n\n".encode()


def event_stream(events: AsyncIterator[bytes]) -> StreamingResponse:
    """Return an answer that goes on as long as *events* do; where the database is away it ends, and pages ask again."""
    return StreamingResponse(
        _until_lost(events), media_type="text/event-stream", headers={"Cache-Control": "no-store"}
    )


async def _until_lost(events: AsyncIterator[bytes]) -> AsyncIterator[bytes]:
    try:
        async for one in events:
            yield one
    except LOST as reason:
        log.warning("an open page is told no more: %s", type(reason).__name__)
