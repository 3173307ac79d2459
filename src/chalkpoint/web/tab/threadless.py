"""What the libraries ask of threads, answered where there are none: each job is done when it is handed over.

`concurrent.interpreters`, which anyio imports on Python 3.14, is left out of CPython for the browser too.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from types import ModuleType
from typing import Any, TypeVar

__all__ = ["go_without_threads"]

T = TypeVar("T")


def go_without_threads() -> None:
    """Let anyio, and so starlette, do at once what it would hand to a thread."""
    sys.modules.setdefault("concurrent.interpreters", _no_interpreters())
    from anyio import to_thread

    to_thread.run_sync = _at_once  # type: ignore[assignment]


async def _at_once(
    work: Callable[..., T],
    *args: Any,
    abandon_on_cancel: bool = False,
    cancellable: bool | None = None,
    limiter: object = None,
) -> T:
    return work(*args)


def _no_interpreters() -> ModuleType:
    module = ModuleType("concurrent.interpreters")
    vars(module).update(ExecutionFailed=type("ExecutionFailed", (Exception,), {}), create=None)
    return module
