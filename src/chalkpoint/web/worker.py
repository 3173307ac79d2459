"""One of several processes that serve the same pages: it is told what to serve by its surroundings."""

from __future__ import annotations

import gc
import json
import os
import signal
from dataclasses import asdict
from multiprocessing import parent_process
from pathlib import Path
from threading import Thread

from starlette.applications import Starlette

from chalkpoint.numbers.datafiles import JsonMapping
from chalkpoint.records.store import Store, open_store
from chalkpoint.web.app import create_app
from chalkpoint.web.connections import raise_file_limit
from chalkpoint.web.logs import log_as_json
from chalkpoint.web.settings import Settings

__all__ = ["TOLD", "create", "lasting_app", "told"]

TOLD = "CHALKPOINT_SERVE"


def told(settings: Settings, database: str | None, *, log: bool) -> str:
    """Return what a process is told, as text."""
    shown = asdict(settings)
    return json.dumps({"settings": shown, "database": database, "log": log})


def lasting_app(store: Store, settings: Settings, *, cache: Path | None = None) -> Starlette:
    """Return the app of a process that serves for long.

    What is there at the start stays: the garbage collector need not look at it again, which took a tenth of a second
    of a request now and then.
    """
    app = create_app(store, settings, cache=cache)
    gc.collect()
    gc.freeze()
    return app


def create() -> Starlette:
    """Return the app that this process was told to serve."""
    Thread(target=_stop_with_parent, name="parent-watch", daemon=True).start()
    wanted: JsonMapping = json.loads(os.environ[TOLD])
    if wanted["log"]:
        log_as_json()
    raise_file_limit()
    shown = wanted["settings"]
    settings = Settings(**shown | {name: tuple(shown[name]) for name in ("names", "public")})
    return lasting_app(open_store(wanted["database"]), settings)


def _stop_with_parent() -> None:
    """Stop when the process that started this one is gone, however it ended: nobody else would."""
    if parent := parent_process():
        parent.join()
        signal.raise_signal(signal.SIGTERM)
