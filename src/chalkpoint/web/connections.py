"""Connections: how long one may be silent or slow, and how many an address may hold.

What is measured is what arrives, so a page that is open for an hour and told of changes is never cut off.
"""

from __future__ import annotations

import asyncio
import contextlib
from collections import Counter
from typing import Any, ClassVar

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

__all__ = ["BoundedProtocol", "raise_file_limit"]

LOOKED_EVERY = 2.0  # seconds between two looks at a connection
SILENT = 10.0  # seconds in which the head of a request must have arrived
BODY_GRACE = 20.0  # seconds that any body may take
BODY_RATE = 20_000  # bytes a second that a larger body must arrive with
UNREAD = 60.0  # seconds in which a client must read something of its answer
MOST_FROM_ONE = 500  # connections of one address; a whole school may be behind one
MOST = 20_000  # connections of all
WANTED_FILES = 65_536  # handles: one for each connection, and some
HOME = ("127.0.0.1", "::1")


class BoundedProtocol(H11Protocol):
    """HTTP/1.1 that cuts off connections which only hold a place."""

    _held: ClassVar[Counter[str]] = Counter()
    _open: ClassVar[dict[asyncio.AbstractEventLoop, set[BoundedProtocol]]] = {}  # while they are looked at

    _address = ""
    _since = 0.0
    _received = 0
    _was: tuple[object, object] | None = None
    _unread_since: float | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Take a connection, unless its address holds too many."""
        super().connection_made(transport)
        self._address = self.client[0] if self.client else ""
        self._held[self._address] += 1
        many = self._address not in HOME and self._held[self._address] > MOST_FROM_ONE
        if many or self._held.total() > MOST:
            transport.abort()
            return
        self._since = self.loop.time()
        if self.loop not in self._open:
            self._open[self.loop] = set()
            self.loop.call_later(LOOKED_EVERY, self._check_all, self.loop)
        self._open[self.loop].add(self)

    def connection_lost(self, exc: Exception | None) -> None:
        """Forget a connection."""
        super().connection_lost(exc)
        self._open.get(self.loop, set()).discard(self)
        self._held[self._address] -= 1
        if self._held[self._address] <= 0:
            del self._held[self._address]

    def data_received(self, data: bytes) -> None:
        """Count what arrives."""
        self._received += len(data)
        super().data_received(data)

    @classmethod
    def _check_all(cls, loop: asyncio.AbstractEventLoop) -> None:
        """Look at every connection, and again in a while: one timer for all costs much less than one for each."""
        now = loop.time()
        for connection in tuple(cls._open[loop]):
            connection.check(now)
        if cls._open[loop]:
            loop.call_later(LOOKED_EVERY, cls._check_all, loop)
        else:
            del cls._open[loop]

    def check(self, now: float) -> None:
        """Cut off a connection that is too slow."""
        now_doing = (self.conn.their_state, self.cycle)  # a new cycle is another request
        if now_doing != self._was or self.flow.read_paused:
            self._was, self._since, self._received = now_doing, now, 0
        if self._too_slow(now - self._since) or self._does_not_read(now):
            self.transport.abort()

    def _too_slow(self, took: float) -> bool:
        """Tell whether a head or a body takes too long; a connection whose answer is being made is not looked at."""
        if self.conn.their_state is h11.IDLE:
            return took > SILENT
        return self.conn.their_state is h11.SEND_BODY and took > BODY_GRACE + self._received / BODY_RATE

    def _does_not_read(self, now: float) -> bool:
        """Tell whether an answer has waited to be read for too long."""
        if not self.flow.write_paused:
            self._unread_since = None
        elif self._unread_since is None:
            self._unread_since = now
        return self._unread_since is not None and now - self._unread_since > UNREAD


def raise_file_limit() -> None:
    """Let this process hold as many connections as the system allows; some systems have no such limit."""
    try:
        import resource
    except ModuleNotFoundError:
        return
    limits: Any = resource
    soft, hard = limits.getrlimit(limits.RLIMIT_NOFILE)
    wanted = WANTED_FILES if hard == limits.RLIM_INFINITY else min(WANTED_FILES, hard)
    if soft != limits.RLIM_INFINITY and soft < wanted:
        with contextlib.suppress(OSError, ValueError):
            limits.setrlimit(limits.RLIMIT_NOFILE, (wanted, hard))
