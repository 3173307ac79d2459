"""The log: a line of JSON for each request, with nothing in it that tells who asked.

No address, no cookie, no entry of a form: the method, the page's pattern (its names left open), what came of
it, and how long it took.
"""

from __future__ import annotations

import json
import logging
import sys
from time import perf_counter

from starlette.types import ASGIApp, Message, Receive, Scope, Send

__all__ = ["AccessLog", "log_as_json", "pattern_of"]

log = logging.getLogger("chalkpoint.requests")


class AccessLog:
    """Writes a line for each request once it is answered."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, and tell what came of it."""
        if scope["type"] != "http" or not log.isEnabledFor(logging.INFO):
            await self.app(scope, receive, send)
            return
        began, status = perf_counter(), 0

        async def sent(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
            await send(message)

        try:
            await self.app(scope, receive, sent)
        finally:
            took = round((perf_counter() - began) * 1000, 1)
            log.info(
                "request",
                extra={
                    "fields": {
                        "method": scope["method"],
                        "page": pattern_of(scope),
                        "status": status,
                        "ms": took,
                    }
                },
            )


def pattern_of(scope: Scope) -> str:
    """Return the pattern of the page asked for, its names left open; "other" for what is no page of ours.

    >>> pattern_of({"path": "/mark/papers/x7/scripts/H01", "path_params": {"id": "x7", "student": "H01"}})
    '/mark/papers/{id}/scripts/{student}'
    >>> pattern_of({"path": "/mark/papers/x7/scripts/12/H01/decide", "path_params": {"id": "x7", "student": "12/H01"}})
    '/mark/papers/{id}/scripts/{student}/decide'
    """
    params = scope.get("path_params", {})
    if "rest" in params or ("endpoint" not in scope and not params):
        return "other"
    path = f"{scope['path']}/"
    for (
        name,
        value,
    ) in params.items():  # a code may hold a stroke itself, so whole runs of parts are looked for
        path = path.replace(f"/{value}/", f"/{{{name}}}/")
    return path[:-1]


class _Lines(logging.Formatter):
    """Each record as one line of JSON."""

    def format(self, record: logging.LogRecord) -> str:
        """Return *record* as JSON: when, how grave, what, and its fields."""
        line = {
            "at": self.formatTime(record, "%Y-%m-%dT%H:%M:%S"),
            "level": record.levelname.lower(),
            "what": record.getMessage(),
        }
        line |= getattr(record, "fields", {})
        if record.exc_info:
            line["fault"] = self.formatException(record.exc_info)
        return json.dumps(line, ensure_ascii=False)


def log_as_json() -> None:
    """Let everything that is logged go to standard error, a line of JSON each."""
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(_Lines())
    root = logging.getLogger()
    root.handlers = [handler]
    logging.getLogger("chalkpoint").setLevel(logging.INFO)
