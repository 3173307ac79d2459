"""Gathering: what many ask at once is done once for all of them, by one thread.

Whoever asks while it is at work waits for the next turn. So the more is asked, the more is done at a time: a hundred
pupils' lines cost one transaction.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Hashable, Mapping, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from threading import Lock
from time import monotonic, sleep
from typing import Generic, TypeVar

from chalkpoint.records.store import LOST
from chalkpoint.web.lanes import BusyError

__all__ = ["Gathering"]

MOST = 4000  # that may wait
PATIENT = 1.5  # times as long as a turn took, so that a busy machine takes fewer; only where there is a pause at all

log = logging.getLogger("chalkpoint")
Asked = TypeVar("Asked", bound=Hashable)
Given = TypeVar("Given")


class Gathering(Generic[Asked, Given]):
    """Does *work* for everything that was asked since the last turn; what several ask alike is done once.

    work   returns what each is given, or why it is refused; one that is left out is given None. Where it fails, each
           is tried by itself, so that one that cannot be done spoils no other
    pause  seconds in which a turn waits for more

    >>> gathering = Gathering("count", lambda words: {word: len(word) for word in words})
    >>> gathering.ask("heron").result()
    5
    >>> gathering.close()
    """

    def __init__(
        self,
        name: str,
        work: Callable[[Sequence[Asked]], Mapping[Asked, Given | Exception]],
        *,
        pause: float = 0.0,
    ) -> None:
        self._work = work
        self._pause = pause
        self._took = 0.0
        self._lock = Lock()
        self._waiting: list[tuple[Asked, Future[Given | None]]] = []
        self._at_work = False
        self._thread = ThreadPoolExecutor(1, thread_name_prefix=name)

    def ask(self, asked: Asked) -> Future[Given | None]:
        """Return what will hold what is given for *asked*.

        Raises BusyError where too many wait.
        """
        with self._lock:
            if len(self._waiting) >= MOST:
                raise BusyError("more is asked than can be answered just now; try again in a moment")
            future: Future[Given | None] = Future()
            self._waiting.append((asked, future))
            if not self._at_work:
                self._thread.submit(self._turns)
                self._at_work = True
        return future

    def close(self) -> None:
        """Finish what was asked, and take no more."""
        self._thread.shutdown()

    def _turns(self) -> None:
        """Take turns until nobody waits."""
        while True:
            if self._pause:
                sleep(max(self._pause, PATIENT * self._took))
            with self._lock:
                taken, self._waiting = self._waiting, []
                self._at_work = bool(taken)
            if not taken:
                return
            began = monotonic()
            given = self._given(list(dict.fromkeys(asked for asked, _ in taken)))
            self._took = monotonic() - began
            for asked, future in taken:
                if not future.set_running_or_notify_cancel():
                    continue
                found = given.get(asked)
                if isinstance(found, Exception):
                    future.set_exception(found)
                else:
                    future.set_result(found)

    def _given(self, asked: Sequence[Asked]) -> Mapping[Asked, Given | Exception]:
        try:
            return self._work(asked)
        except LOST as reason:
            return dict.fromkeys(asked, reason)
        except Exception as reason:  # noqa: BLE001 - whoever asked is told, whatever it is
            if len(asked) == 1:
                return {asked[0]: reason}
            return {key: given for one in asked for key, given in self._given([one]).items()}
