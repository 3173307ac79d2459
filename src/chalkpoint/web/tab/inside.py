"""The app as it runs in a tab: started on a folder of the tab's own, and asked one request at a time.

The page around it (`page/`) hands each click and form to `ask` and shows what comes back. There is no server
them, so the cookies that a browser would keep are kept here, in the same folder as the database.
"""

from __future__ import annotations

import asyncio
import json
import os
import sys
from collections.abc import Callable, MutableMapping, Sequence
from http.cookies import SimpleCookie
from pathlib import Path
from typing import Any, Self, TypeAlias

__all__ = ["DATABASE", "Tab", "start"]

Headers: TypeAlias = Sequence[tuple[str, str]]
Message: TypeAlias = MutableMapping[str, Any]
Told: TypeAlias = Callable[[int, int], None]

HOST = "127.0.0.1"
DATABASE = "chalkpoint.db"
COOKIES = "cookies.json"
NEWER = (
    "What is saved in this browser was made by a newer version of Chalkpoint. Open that version at this address; or "
    "save what was made here as a file, for a computer where it is installed: chalkpoint serve --database "
    f"sqlite:///{DATABASE}"
)
DROPPED = frozenset({"host", "origin", "cookie", "accept-encoding"})


class Tab:
    """A running app, asked without a server: `async with await start(folder) as tab`, then `await tab.ask(...)`."""

    def __init__(self, app: Any, folder: Path) -> None:
        self.app = app
        self.cookies = folder / COOKIES
        self.jar: dict[str, str] = json.loads(self.cookies.read_text()) if self.cookies.is_file() else {}
        self._ending = asyncio.Event()
        self._life: asyncio.Task[None] | None = None

    async def __aenter__(self) -> Self:
        """Start the app."""
        ready = asyncio.get_running_loop().create_future()

        async def receive() -> Message:
            if not ready.done():
                return {"type": "lifespan.startup"}
            await self._ending.wait()
            return {"type": "lifespan.shutdown"}

        async def send(message: Message) -> None:
            if not ready.done():
                ready.set_result(message["type"])

        scope = {"type": "lifespan", "asgi": {"version": "3.0"}, "state": {}}
        self._life = asyncio.ensure_future(self.app(scope, receive, send))
        await ready
        return self

    async def __aexit__(self, *reason: object) -> None:
        """Let the app end."""
        self._ending.set()
        if self._life:
            await self._life

    async def ask(
        self, method: str, path: str, query: str = "", headers: Headers = (), body: bytes = b""
    ) -> tuple[int, list[tuple[str, str]], bytes]:
        """Return status, headers and body of one answer."""
        heads: list[tuple[str, str]] = []
        parts: list[bytes] = []
        status, asked = 0, False

        async def receive() -> Message:
            nonlocal asked
            if asked:
                await asyncio.Event().wait()  # nobody hangs up
            asked = True
            return {"type": "http.request", "body": bytes(body), "more_body": False}

        async def send(message: Message) -> None:
            nonlocal status, heads
            if message["type"] == "http.response.start":
                status = message["status"]
                heads = [
                    (name.decode("latin-1"), value.decode("latin-1")) for name, value in message["headers"]
                ]
            else:
                parts.append(message.get("body", b""))

        await self.app(self._scope(method, path, query, headers), receive, send)
        self._keep_cookies([value for name, value in heads if name == "set-cookie"])
        return status, [head for head in heads if head[0] != "set-cookie"], b"".join(parts)

    def _scope(self, method: str, path: str, query: str, headers: Headers) -> dict[str, Any]:
        sent = [(name.lower(), value) for name, value in headers if name.lower() not in DROPPED]
        sent.append(("host", HOST))
        if self.jar:
            sent.append(("cookie", "; ".join(f"{name}={value}" for name, value in self.jar.items())))
        return {
            "type": "http",
            "asgi": {"version": "3.0", "spec_version": "2.4"},
            "http_version": "1.1",
            "method": method,
            "scheme": "http",
            "path": path,
            "raw_path": path.encode(),
            "query_string": query.encode(),
            "root_path": "",
            "headers": [(name.encode("latin-1"), value.encode("latin-1")) for name, value in sent],
            "server": (HOST, 80),
            "client": (HOST, 1),
            "state": {},
        }

    def _keep_cookies(self, lines: list[str]) -> None:
        for line in lines:
            for name, morsel in SimpleCookie(line).items():
                if morsel.value and morsel["max-age"] != "0":
                    self.jar[name] = morsel.value
                else:
                    self.jar.pop(name, None)
        if lines:
            self.cookies.write_text(json.dumps(self.jar))


async def start(folder: str, told: Told = lambda done, of: None) -> Tab:
    """Return the app on the database in *folder*, which is made where there is none, and brought up to date.

    told  called between two pieces of long work with (done, of)

    Raises EntryError where a newer version kept what is there.
    """
    here = Path(folder)
    if sys.platform == "emscripten":
        os.environ["CHALKPOINT_CACHE"] = str(here.parent / "atlas")
        from chalkpoint.web.tab.threadless import go_without_threads

        go_without_threads()
    from chalkpoint.numbers.errors import EntryError
    from chalkpoint.records.store import open_store
    from chalkpoint.web.app import create_app
    from chalkpoint.web.runners import AtOnceRunner
    from chalkpoint.web.settings import Settings

    try:
        store = open_store(f"sqlite:///{(here / DATABASE).as_posix()}")
    except EntryError as reason:  # the only one that a file of ours can give
        raise EntryError(NEWER) from reason
    settings = Settings(names=("tab",), in_a_tab=True)
    return Tab(create_app(store, settings, cache=here.parent / "made", runner=AtOnceRunner(told)), here)
