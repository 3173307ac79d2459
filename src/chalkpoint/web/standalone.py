"""Self-contained documents, such as a class's report or a board: served as they are saved, with their own styles.

They have no script, but for a board's: it is allowed by the digest of its text, and nothing else is.
"""

from __future__ import annotations

from base64 import b64encode
from hashlib import sha256

from starlette.responses import HTMLResponse

__all__ = ["STANDALONE", "stand_alone"]

STANDALONE = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)


def stand_alone(page: str, *, script: str = "") -> HTMLResponse:
    """Return *page* as it is; *script* is the only one that may run in it.

    >>> "script-src" in stand_alone("<p>", script="0").headers["content-security-policy"]
    True
    """
    allowed = (
        f"; script-src 'sha256-{b64encode(sha256(script.encode()).digest()).decode()}'" if script else ""
    )
    headers = {"Content-Security-Policy": STANDALONE + allowed}
    if script:  # a board may record its teacher; what it hears stays in the browser
        headers["Permissions-Policy"] = "camera=(), geolocation=(), microphone=(self)"
    return HTMLResponse(page, headers=headers)
