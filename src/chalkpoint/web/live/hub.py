"""The hub: who waits for news of a room, and how they are told. News carries a room's name and nothing else.

A page that is told reads the room itself. So many pieces of news at once cause one read, and one that was lost is
made good by the next.
"""

from __future__ import annotations

import asyncio
from collections import defaultdict
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager

__all__ = ["LINES", "ROOM", "SESSION", "Hub", "News"]

ROOM, LINES = "room", "lines"  # the board or its seats changed; a pupil wrote
SESSION = "session"  # a teacher's session ended; what is told is the teacher's id


class News:
    """What one open page waits for: that something happened since it last looked."""

    def __init__(self) -> None:
        self._happened = asyncio.Event()
        self._kinds: set[str] = set()

    def tell(self, kind: str) -> None:
        """Say that something happened."""
        self._kinds.add(kind)
        self._happened.set()

    def look(self) -> set[str]:
        """Return the kinds of what happened until now, which is about to be looked at."""
        self._happened.clear()
        kinds, self._kinds = self._kinds, set()
        return kinds

    async def wait(self, seconds: float) -> bool:
        """Wait until something happens that was not looked at, or for so long; tell whether it did."""
        try:
            await asyncio.wait_for(self._happened.wait(), seconds)
        except TimeoutError:
            return False
        return True


class Hub:
    """The pages that are open in this process, by the room they look at.

    further  told of everything that happens here, to carry it to other processes
    """

    def __init__(self, further: Callable[[str, str], None] | None = None) -> None:
        self.further = further
        self._open: dict[tuple[str, str], set[News]] = defaultdict(set)
        self._loop: asyncio.AbstractEventLoop | None = None

    def start(self) -> None:
        """Remember the loop that pages are served in."""
        self._loop = asyncio.get_running_loop()

    @asynccontextmanager
    async def listening(self, *names: tuple[str, str]) -> AsyncIterator[News]:
        """Give the news of rooms, each an id and a kind, for as long as a page is open."""
        news = News()
        for name in names:
            self._open[name].add(news)
        try:
            yield news
        finally:
            for name in names:
                self._open[name].discard(news)
                if not self._open[name]:
                    del self._open[name]

    def tell(self, room: str, kind: str) -> None:
        """Say, from any thread, that something happened in a room: here, and in other processes."""
        self.tell_here(room, kind)
        if self.further:
            self.further(room, kind)

    def tell_here(self, room: str, kind: str) -> None:
        """Say, from any thread, that something happened in a room, to the pages of this process."""
        if self._loop is not None and not self._loop.is_closed():
            self._loop.call_soon_threadsafe(self._wake, room, kind)

    def _wake(self, room: str, kind: str) -> None:
        for news in tuple(self._open.get((room, kind), ())):
            news.tell(kind)

    def wake_all(self) -> None:
        """Let every page look again: news may have got lost."""
        if self._loop is not None and not self._loop.is_closed():
            for room, kind in tuple(self._open):
                self._loop.call_soon_threadsafe(self._wake, room, kind)
