"""What is shown when something cannot be done: one sentence, and the way back."""

from __future__ import annotations

import logging
from http import HTTPStatus
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response

from chalkpoint.numbers.errors import DISK_FULL, ChalkpointError, is_disk_full
from chalkpoint.records.kept import NotKept
from chalkpoint.records.store import LOST
from chalkpoint.web.lanes import BusyError
from chalkpoint.web.pagerequest import FromElsewhereError, NotStartedError, StaleError
from chalkpoint.web.showing import show

__all__ = ["HANDLERS", "broken"]

log = logging.getLogger("chalkpoint")

SENTENCES = {
    404: "There is no such page here; it may have been deleted, or belong to somebody else.",
    405: "This page is asked for in another way; go back and use its form.",
    413: "That is more than is read at once; send a smaller file or fewer lines.",
}


STATUS: dict[type[Exception], int] = {
    NotKept: 404,
    StaleError: 409,
    NotStartedError: 403,
    FromElsewhereError: 403,
    BusyError: 503,
}


def refused(request: Request, reason: Exception) -> Response:
    """Show the sentence of a refusal."""
    status = next((code for kind, code in STATUS.items() if isinstance(reason, kind)), 422)
    said = SENTENCES[404] if status == 404 else f"{reason}.".replace("..", ".")
    if status == 503:
        return PlainTextResponse(
            f"{said[:1].upper()}{said[1:]}\n", status_code=503, headers={"Retry-After": "2"}
        )
    return _page(request, status, said, on=isinstance(reason, FromElsewhereError))


def not_served(request: Request, reason: Exception) -> Response:
    """Show why a request is not served."""
    assert isinstance(reason, HTTPException)  # noqa: S101 - registered for those alone
    said = SENTENCES.get(reason.status_code, HTTPStatus(reason.status_code).description or reason.detail)
    return _page(request, reason.status_code, said)


def lost(request: Request, reason: Exception) -> Response:
    """Say that the database is away, or its disk full, on a page that needs none."""
    if is_disk_full(reason):
        return full()
    log.warning("the database does not answer: %s", type(reason).__name__)
    said = "The database does not answer just now; try again in a moment."
    return PlainTextResponse(f"{said}\n", status_code=503, headers={"Retry-After": "2"})


def not_written(request: Request, reason: Exception) -> Response:
    """Say that the disk is full; whatever else the system refuses is a fault of ours."""
    if is_disk_full(reason):
        return full()
    raise reason


def full() -> Response:
    """Say that the disk is full."""
    log.error("the disk is full")
    return PlainTextResponse(f"{DISK_FULL[:1].upper()}{DISK_FULL[1:]}.\n", status_code=507)


def broken(request: Request, reason: Exception) -> Response:
    """Show that the fault is ours; the log has the rest."""
    return _page(
        request, 500, "This is a fault of Chalkpoint, not yours; nothing was changed. The log says more."
    )


def _page(http: Request, status: int, said: str, *, on: bool = False) -> Response:
    request = getattr(http.state, "page_request", None)
    if request is None:
        return PlainTextResponse(said + "\n", status_code=status)
    return show(request, "problem.html.jinja", status=status, said=said[:1].upper() + said[1:], on=on)


HANDLERS: dict[Any, Any] = {
    ChalkpointError: refused,
    HTTPException: not_served,
    **dict.fromkeys(LOST, lost),
    OSError: not_written,
}
