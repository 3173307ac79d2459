"""What does long work beside the pages: threads; or at once, where there are none, as in a browser's tab."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from threading import Thread
from typing import ParamSpec, Protocol, TypeVar

__all__ = ["AtOnceRunner", "Runner", "ThreadRunner"]

P = ParamSpec("P")
T = TypeVar("T")


class Runner(Protocol):
    """Gives executors for long work, and keeps what must go on beside it."""

    def pool(self, size: int, name: str) -> Executor:
        """Return an executor that does up to *size* things at once."""
        ...

    def background(self, work: Callable[[], None], name: str) -> None:
        """Do *work*, which goes on until it is told to end, beside everything else."""
        ...

    def breathe(self, done: int, of: int) -> None:
        """Let others have a turn between two pieces of long work, of which *done* of *of* are behind us."""
        ...


class ThreadRunner:
    """Does everything in threads of this process."""

    def pool(self, size: int, name: str) -> Executor:
        """Return a pool of *size* threads."""
        return ThreadPoolExecutor(size, thread_name_prefix=name)

    def background(self, work: Callable[[], None], name: str) -> None:
        """Start a thread that does not keep the process alive."""
        Thread(target=work, name=name, daemon=True).start()

    def breathe(self, done: int, of: int) -> None:
        """Nothing: threads take turns by themselves."""


class AtOnceRunner:
    """Does everything at once, in pieces: where there are no threads.

    between  called between two pieces with (done, of)
    """

    def __init__(self, between: Callable[[int, int], None]) -> None:
        self.between = between

    def pool(self, size: int, name: str) -> Executor:
        """Return what does each thing before anything else goes on."""
        return _AtOnce()

    def background(self, work: Callable[[], None], name: str) -> None:
        """Nothing: whoever looks whether this process still lives looks from within it."""

    def breathe(self, done: int, of: int) -> None:
        """Tell how far the work is."""
        self.between(done, of)


class _AtOnce(Executor):
    """Does what it is handed at once.

    >>> _AtOnce().submit(max, 3, 4).result()
    4
    """

    def submit(self, fn: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> Future[T]:
        done: Future[T] = Future()
        try:
            done.set_result(fn(*args, **kwargs))
        except BaseException as reason:  # noqa: BLE001 - whoever asks for the result is told, whatever it is
            done.set_exception(reason)
        return done
