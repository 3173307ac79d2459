"""News between processes: names only, by the database's own LISTEN and NOTIFY.

A SQLite serves one process, which needs none. What is said while a listener is away is lost, so whoever
listens again looks at everything again.
"""

from __future__ import annotations

import json
import logging
from collections.abc import Callable
from threading import Event, Lock, Thread
from typing import Any

from sqlalchemy import text
from sqlalchemy.exc import SQLAlchemyError

from chalkpoint.records.ids import new_id
from chalkpoint.records.store import Store

__all__ = ["News"]

CHANNEL = "chalkpoint_news"
NOTIFY = text("SELECT pg_notify(:channel, :body)")
GATHERED = 0.1  # seconds in which what is said often is gathered
AT_ONCE = 100  # rooms in one piece of news; the database takes 8,000 bytes
PAUSE = 0.5  # seconds between two tries to listen again
LOOKED_EVERY = 0.5  # seconds between two looks whether to stop

log = logging.getLogger("chalkpoint")


class News:
    """Carries news between the processes that serve one PostgreSQL.

    told   called with (room, kind) for what happened in another process
    again  called when news may have got lost
    """

    def __init__(self, store: Store, told: Callable[[str, str], None], again: Callable[[], None]) -> None:
        self.store = store
        self.told = told
        self.again = again
        self.me = new_id()  # what this process said itself is not told to it again
        self._waiting: set[tuple[str, str]] = set()
        self._lock = Lock()
        self._said = Event()
        self._stop = Event()
        self._threads = [Thread(target=work, name="news", daemon=True) for work in (self._listen, self._send)]

    def start(self) -> None:
        """Begin to listen and to speak."""
        if not self.store.is_file:
            for thread in self._threads:
                thread.start()

    def stop(self) -> None:
        """Listen and speak no more."""
        self._stop.set()
        self._said.set()
        for thread in self._threads:
            if thread.is_alive():
                thread.join(timeout=5)

    def say(self, room: str, kind: str) -> None:
        """Tell the other processes that something happened in a room; what is said often is said once."""
        if self.store.is_file:
            return
        with self._lock:
            self._waiting.add((room, kind))
        self._said.set()

    # === Speaking ===

    def _send(self) -> None:
        while not self._stop.is_set():
            self._said.wait()
            self._stop.wait(GATHERED)
            self._said.clear()
            with self._lock:
                waiting, self._waiting = sorted(self._waiting), set()
            if not waiting:
                continue
            try:
                with self.store.engine.connect() as connection:
                    for at in range(0, len(waiting), AT_ONCE):
                        body = json.dumps([self.me, waiting[at : at + AT_ONCE]])
                        connection.execute(NOTIFY, {"channel": CHANNEL, "body": body})
                    connection.commit()
            except SQLAlchemyError as reason:  # who listens looks again when the database is back
                log.warning("news could not be sent: %s", type(reason).__name__)

    # === Listening ===

    def _listen(self) -> None:
        first = True
        while not self._stop.is_set():
            try:
                self._hear(first=first)
            except Exception as reason:  # noqa: BLE001 - a lost connection, in whatever way the driver says it
                log.warning("news are lost until the database is back: %s", type(reason).__name__)
            first = False
            self._stop.wait(PAUSE)

    def _hear(self, *, first: bool) -> None:
        with self.store.engine.connect() as pooled:
            connection: Any = pooled.connection.driver_connection
            connection.autocommit = True
            connection.execute(f"LISTEN {CHANNEL}")
            if not first:
                self.again()
            try:
                while not self._stop.is_set():
                    for notice in connection.notifies(timeout=LOOKED_EVERY):
                        self._tell(notice.payload)
            finally:
                pooled.invalidate()  # it listens, so nobody else may have it

    def _tell(self, body: str) -> None:
        who, pairs = json.loads(body)
        if who != self.me:
            for room, kind in pairs:
                self.told(room, kind)
