"""What does long work beside the pages: threads here; whoever embeds the app may give another."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Executor, ThreadPoolExecutor
from threading import Thread
from typing import Protocol

__all__ = ["Runner", "ThreadRunner"]


class Runner(Protocol):
    """Gives executors for long work, and keeps what must go on beside it."""

    def pool(self, size: int, name: str) -> Executor:
        """Return an executor that does up to *size* things at once."""
        ...

    def background(self, work: Callable[[], None], name: str) -> None:
        """Do *work*, which goes on until it is told to end, beside everything else."""
        ...


class ThreadRunner:
    """Does everything in threads of this process."""

    def pool(self, size: int, name: str) -> Executor:
        """Return a pool of *size* threads."""
        return ThreadPoolExecutor(size, thread_name_prefix=name)

    def background(self, work: Callable[[], None], name: str) -> None:
        """Start a thread that does not keep the process alive."""
        Thread(target=work, name=name, daemon=True).start()
