"""Names of kept things: opaque, so that an address cannot be guessed and a thing keeps its name when it moves."""

from __future__ import annotations

import secrets
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from threading import Lock

__all__ = ["LENGTH", "new_id", "now", "secret_digest", "time_text"]

LENGTH = 12  # characters
BYTES = 9


def new_id() -> str:
    """Return a fresh name.

    >>> len(new_id()), new_id() == new_id()
    (12, False)
    """
    return secrets.token_urlsafe(BYTES)


def secret_digest(secret: str) -> str:
    """Return what is kept of a secret that a browser has."""
    return sha256(secret.encode()).hexdigest()


def now() -> str:
    """Return the time, in UTC to the microsecond, so written that later times sort later.

    No two calls in one process are answered alike, however coarse the machine's clock is.

    >>> first = now()
    >>> len(first), first < now()
    (27, True)
    """
    with _lock:
        return next(_times)


def time_text(time: datetime) -> str:
    """Return a time as it is kept.

    >>> time_text(datetime(2026, 9, 1, 8, 30, tzinfo=UTC))
    '2026-09-01T08:30:00.000000Z'
    """
    return time.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def _count_on() -> Iterator[str]:
    last = datetime.min.replace(tzinfo=UTC)
    while True:
        last = max(datetime.now(UTC), last + timedelta(microseconds=1))
        yield time_text(last)


_lock, _times = Lock(), _count_on()
