"""Names of kept things: opaque, so that an address cannot be guessed and a thing keeps its name when it moves."""

from __future__ import annotations

import secrets
from datetime import UTC, datetime

__all__ = ["LENGTH", "new_id", "now"]

LENGTH = 12  # characters
BYTES = 9


def new_id() -> str:
    """Return a fresh name.

    >>> len(new_id()), new_id() == new_id()
    (12, False)
    """
    return secrets.token_urlsafe(BYTES)


def now() -> str:
    """Return the time, in UTC to the microsecond, so written that later times sort later.

    >>> len(now())
    27
    """
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")
