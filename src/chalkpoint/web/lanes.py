"""Lanes: threads apart for strangers, pupils and teachers, so that no kind of request can silence the others.

A request that waits in a full lane is refused at once; one whose time is up or whose client hung up is given up
at the next step of its work.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from contextlib import suppress
from dataclasses import dataclass, field
from threading import Event
from time import monotonic
from typing import TypeVar

from anyio import CapacityLimiter, to_thread

from chalkpoint.numbers.errors import ChalkpointError

__all__ = ["Budget", "BusyError", "Lane", "Lanes"]

LOOKED_EVERY = 0.5  # seconds between two looks whether the client is still there
T = TypeVar("T")


class BusyError(ChalkpointError):
    """More is asked than can be answered just now; the same may be asked again in a moment."""


class Budget:
    """The time that the work for one request may take.

    >>> budget = Budget(60)
    >>> budget.check()
    >>> budget.cancel()
    >>> budget.check()
    Traceback (most recent call last):
    ...
    chalkpoint.web.lanes.BusyError: this takes longer than one page may; try again in a moment
    """

    def __init__(self, seconds: float) -> None:
        self._until = monotonic() + seconds
        self._cancelled = Event()

    def cancel(self) -> None:
        """Let the work end at its next step: nobody waits for it any more."""
        self._cancelled.set()

    def check(self) -> None:
        """Raise BusyError where the time is up or the work was cancelled; long work calls this between its steps."""
        if self._cancelled.is_set() or monotonic() > self._until:
            raise BusyError("this takes longer than one page may; try again in a moment")


@dataclass(slots=True)
class Lane:
    """Threads for one kind of request.

    threads  how many requests are answered at once
    waiting  how many more may wait
    seconds  how long the work for one may take, where that work has steps
    """

    threads: int
    waiting: int
    seconds: float
    limiter: CapacityLimiter = field(init=False)

    def __post_init__(self) -> None:
        self.limiter = CapacityLimiter(self.threads)

    async def run(self, work: Callable[[Budget], T], gone: Callable[[], Awaitable[bool]]) -> T:
        """Return what *work* returns, done in a thread of this lane.

        gone  tells whether the client has hung up

        Raises BusyError where too many wait already.
        """
        if self.limiter.statistics().tasks_waiting >= self.waiting:
            raise BusyError("more is asked than can be answered just now; try again in a moment")
        budget = Budget(self.seconds)
        watching = asyncio.create_task(_cancel_when_gone(budget, gone))
        try:
            return await to_thread.run_sync(work, budget, limiter=self.limiter)
        finally:
            watching.cancel()
            with suppress(asyncio.CancelledError):
                await watching


@dataclass(slots=True)
class Lanes:
    """The lanes of a running app.

    looks  reading again for open pages, so that no number of them delays an answer
    """

    strangers: Lane = field(default_factory=lambda: Lane(2, 40, 2.0))
    signing: Lane = field(
        default_factory=lambda: Lane(2, 40, 10.0)
    )  # two, so that two passwords are hashed at once
    pupils: Lane = field(default_factory=lambda: Lane(8, 4000, 10.0))
    teachers: Lane = field(default_factory=lambda: Lane(6, 400, 600.0))
    looks: Lane = field(default_factory=lambda: Lane(2, 100_000, 600.0))


async def _cancel_when_gone(budget: Budget, gone: Callable[[], Awaitable[bool]]) -> None:
    while True:
        await asyncio.sleep(LOOKED_EVERY)
        if await gone():
            budget.cancel()
            return
