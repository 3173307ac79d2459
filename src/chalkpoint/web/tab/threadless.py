"""What the libraries ask of threads, answered where there are none: each job has a turn of the loop to itself.

So its stack begins anew, as a thread's does: a browser gives little, and what makes PDF files needs much.

`concurrent.interpreters`, which anyio imports on Python 3.14, is left out of CPython for the browser too.
"""

from __future__ import annotations

import asyncio
import sys
from collections.abc import Callable
from types import ModuleType
from typing import Any, TypeVar

__all__ = ["go_without_threads"]

T = TypeVar("T")


def go_without_threads() -> None:
    """Let anyio, and so starlette, give a turn to what it would hand to a thread."""
    sys.modules.setdefault("concurrent.interpreters", _no_interpreters())
    from anyio import to_thread

    to_thread.run_sync = _in_a_turn  # type: ignore[assignment]


async def _in_a_turn(
    work: Callable[..., T],
    *args: Any,
    abandon_on_cancel: bool = False,
    cancellable: bool | None = None,
    limiter: object = None,
) -> T:
    loop = asyncio.get_running_loop()
    done: asyncio.Future[T] = loop.create_future()

    def turn() -> None:
        try:
            done.set_result(work(*args))
        except BaseException as reason:  # noqa: BLE001 - whoever waits is told, whatever it is
            done.set_exception(reason)

    loop.call_soon(turn)
    return await done


def _no_interpreters() -> ModuleType:
    module = ModuleType("concurrent.interpreters")
    vars(module).update(ExecutionFailed=type("ExecutionFailed", (Exception,), {}), create=None)
    return module
