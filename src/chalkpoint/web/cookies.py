"""Cookies: names and limits that fit how the browser reached us.

Behind TLS a cookie is sent over TLS alone, and its name makes the browser refuse one that was set in another way.
"""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

__all__ = ["delete_cookie", "read_cookie", "set_cookie"]

LASTS = 90 * 86_400  # seconds


def set_cookie(
    http: Request, response: Response, name: str, value: str, *, path: str = "/", lasts: int = LASTS
) -> None:
    """Let the browser keep *value*, for the server's eyes alone.

    >>> heads = [(b"host", b"tide.example"), (b"cookie", b"__Host-look=slate")]
    >>> http = Request({"type": "http", "scheme": "https", "path": "/", "headers": heads})
    >>> response = Response()
    >>> set_cookie(http, response, "look", "slate")
    >>> response.headers["set-cookie"].partition(";")[0]
    '__Host-look=slate'
    """
    response.set_cookie(
        _name(http, name, path),
        value,
        max_age=lasts,
        path=path,
        secure=_is_secure(http),
        httponly=True,
        samesite="lax",
    )


def delete_cookie(http: Request, response: Response, name: str, *, path: str = "/") -> None:
    """Let the browser forget a cookie.

    >>> heads = [(b"host", b"tide.example"), (b"cookie", b"__Host-look=slate")]
    >>> http = Request({"type": "http", "scheme": "https", "path": "/", "headers": heads})
    >>> response = Response()
    >>> delete_cookie(http, response, "look")
    >>> "Max-Age=0" in response.headers["set-cookie"]
    True
    """
    response.delete_cookie(
        _name(http, name, path), path=path, secure=_is_secure(http), httponly=True, samesite="lax"
    )


def read_cookie(http: Request, name: str, *, path: str = "/") -> str:
    """Return what the browser kept under *name*, "" where it kept nothing.

    >>> heads = [(b"host", b"tide.example"), (b"cookie", b"__Host-look=slate")]
    >>> http = Request({"type": "http", "scheme": "https", "path": "/", "headers": heads})
    >>> read_cookie(http, "look"), read_cookie(http, "session")
    ('slate', '')
    """
    return http.cookies.get(_name(http, name, path), "")


def _is_secure(http: Request) -> bool:
    return http.url.scheme == "https"


def _name(http: Request, name: str, path: str) -> str:
    if not _is_secure(http):
        return name
    return f"__Host-{name}" if path == "/" else f"__Secure-{name}"
