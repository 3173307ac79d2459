"""Searches: a request counted and drawn from, beside the pages, and kept while it may be asked for again."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass
from threading import Lock
from time import sleep
from typing import Any

from chalkpoint.web.runners import Runner

__all__ = ["Search", "Searches"]

MOST = 64  # answers kept
AT_ONCE = 2  # so that a long search holds up nobody else's
LOOKED_EVERY = 0.2  # seconds


@dataclass(slots=True)
class Search:
    """One search under way: how far it is, and its answer when it has one."""

    answer: Future[Any]
    done: int = 0
    of: int = 0

    def wait(self, watch: Callable[[int, int], None]) -> Any:
        """Return the answer, telling *watch* how far it is while it is waited for."""
        while not self.answer.done():
            watch(self.done, self.of)
            sleep(LOOKED_EVERY)
        return self.answer.result()


class Searches:
    """The searches of a running app, by what was asked; two who ask the same wait for one answer."""

    def __init__(self, runner: Runner) -> None:
        self.runner = runner
        self.pool = runner.pool(AT_ONCE, "search")
        self.kept: OrderedDict[str, Search] = OrderedDict()
        self.lock = Lock()

    def begin(self, asked: str, look: Callable[[Callable[[int, int], None]], Any]) -> Search:
        """Return the search for *asked*, begun now unless it was before; one that was refused is begun anew."""
        with self.lock:
            search = self.kept.get(asked)
            if search is None or (search.answer.done() and search.answer.exception()):
                search = Search(Future())
                self.kept[asked] = search
                self.pool.submit(self._look, search, look)
            self.kept.move_to_end(asked)
            while len(self.kept) > MOST:
                self.kept.popitem(last=False)
            return search

    def _look(self, search: Search, look: Callable[[Callable[[int, int], None]], Any]) -> None:
        def watch(done: int, of: int) -> None:
            search.done, search.of = done, of
            self.runner.breathe(done, of)

        try:
            search.answer.set_result(look(watch))
        except BaseException as reason:  # noqa: BLE001 - whoever waits is told, whatever it is
            search.answer.set_exception(reason)

    def close(self) -> None:
        """Begin no more."""
        self.pool.shutdown(wait=False, cancel_futures=True)
