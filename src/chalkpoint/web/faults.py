"""Whatever breaks while a page is made is answered for here, so that nobody else logs what the error says."""

from __future__ import annotations

from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from chalkpoint.web.faultlog import log_fault
from chalkpoint.web.problems import broken

__all__ = ["Faults"]


class Faults:
    """Answers with a sentence where a page breaks, so that nobody else logs what the error says."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on; answer for it where that breaks."""
        started = False

        async def sent(message: Message) -> None:
            nonlocal started
            started = started or message["type"] == "http.response.start"
            await send(message)

        try:
            await self.app(scope, receive, sent)
        except Exception as reason:  # noqa: BLE001 - whatever it is, it is a fault of ours
            log_fault("a page broke", reason)
            if scope["type"] == "http" and not started:
                await broken(Request(scope, receive), reason)(scope, receive, send)
