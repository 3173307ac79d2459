"""What every answer carries and every request must pass, before any page sees it."""

from __future__ import annotations

import secrets
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from chalkpoint.web.settings import Settings

__all__ = ["Guard"]

SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})

#: Sent with every answer; the policy of scripts and styles is made anew for each, since it holds a nonce.
HEADERS = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
}

#: Sent where the browser came by TLS: for two years it comes in no other way.
TLS_ALWAYS = "max-age=63072000; includeSubDomains"


class Guard:
    """Refuses requests that are not meant for us or come from a page of another site, and sets the headers."""

    def __init__(self, app: ASGIApp, settings: Settings) -> None:
        self.app = app
        self.settings = settings

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it with one sentence."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        refused = self._refusal(scope["method"], headers)
        if refused:
            await PlainTextResponse(refused, status_code=403)(scope, receive, send)
            return
        nonce = secrets.token_urlsafe(12)
        scope.setdefault("state", {})["nonce"] = nonce

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                sent = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    sent.setdefault(name, value)
                sent.setdefault("Content-Security-Policy", policy(nonce))
                sent.setdefault("Cache-Control", "no-store")
                if scope["scheme"] == "https":
                    sent.setdefault("Strict-Transport-Security", TLS_ALWAYS)
            await send(message)

        await self.app(scope, receive, send_guarded)

    def _refusal(self, method: str, headers: Headers) -> str:
        host = headers.get("host", "")
        if not self.settings.knows_host(host):
            return (
                f"{host!r} is not a name of this machine; use the address that `chalkpoint serve` printed.\n"
            )
        if method not in SAFE_METHODS and not _own_page(headers, host):
            return "This form was sent from a page of another site; open the page here and send it again.\n"
        return ""


def policy(nonce: str) -> str:
    """Return the policy of a page: nothing from outside, no script in the page, styles of ours.

    Attributes that hold a measure (`style="--k:3"`) are allowed: the drawing of a working is laid out by them.
    """
    return "; ".join(
        (
            "default-src 'none'",
            "object-src 'none'",
            "script-src 'self'",
            f"style-src 'self' 'nonce-{nonce}'",
            "style-src-attr 'unsafe-inline'",
            "img-src 'self' data:",
            "connect-src 'self'",
            "form-action 'self'",
            "base-uri 'none'",
            "frame-ancestors 'none'",
        )
    )


def _own_page(headers: Headers, host: str) -> bool:
    """Tell whether a form comes from a page of ours, by what the browser says of its origin."""
    origin = headers.get("origin")
    if origin is None:
        return headers.get("sec-fetch-site", "same-origin") in {"same-origin", "none"}
    try:
        return urlsplit(origin).netloc.lower() == host.lower()
    except ValueError:  # such as http://[
        return False
