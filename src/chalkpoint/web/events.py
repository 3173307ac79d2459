"""Server-Sent Events: what a page is told while it is open."""

from __future__ import annotations

import json
from collections.abc import AsyncIterator
from typing import Any

from starlette.responses import StreamingResponse

__all__ = ["event", "event_stream"]


def event(name: str, data: Any) -> bytes:
    r"""Return one event as it is sent.

    >>> event("progress", {"done": 3})
    b'event: progress\ndata: {"done": 3}\n\n'
    """
    return f"event: {name}\ndata: {json.dumps(data)}\n\n".encode()


def event_stream(events: AsyncIterator[bytes]) -> StreamingResponse:
    """Return an answer that goes on as long as *events* do."""
    return StreamingResponse(events, media_type="text/event-stream", headers={"Cache-Control": "no-store"})
