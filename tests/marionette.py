"""Firefox as its own protocol drives it: a few orders over a socket, so that no driver has to be installed."""

from __future__ import annotations

import json
import shutil
import socket
import subprocess
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from time import monotonic, sleep
from typing import Any

import pytest

__all__ = ["Firefox", "open_firefox"]

PATIENCE = 240  # seconds that anything may take on a machine that does much else


class Firefox:
    """A window of Firefox."""

    def __init__(self, port: int) -> None:
        until = monotonic() + PATIENCE
        while True:
            with suppress(OSError):
                self.socket = socket.create_connection(("127.0.0.1", port), timeout=PATIENCE)
                break
            assert monotonic() < until, "Firefox does not listen"
            sleep(0.2)
        self._held = b""
        self._read()  # who it is
        self._orders = 0
        self.order("WebDriver:NewSession", {})

    def order(self, name: str, words: dict[str, Any]) -> Any:
        """Give an order, and return what came of it."""
        self._orders += 1
        said = json.dumps([0, self._orders, name, words]).encode()
        self.socket.sendall(b"%d:%s" % (len(said), said))
        _, _, refused, result = self._read()
        assert refused is None, refused
        return result

    def _read(self) -> Any:
        while b":" not in self._held:
            self._held += self._more()
        size, _, self._held = self._held.partition(b":")
        while len(self._held) < int(size):
            self._held += self._more()
        said, self._held = self._held[: int(size)], self._held[int(size) :]
        return json.loads(said)

    def _more(self) -> bytes:
        data = self.socket.recv(1 << 20)
        assert data, "Firefox went away"
        return data

    def close(self) -> None:
        """Hang up."""
        self.socket.close()

    def goto(self, address: str) -> None:
        """Open an address."""
        self.order("WebDriver:Navigate", {"url": address})

    def reload(self) -> None:
        """Open the same page anew, and wait until it is there."""
        self.order("WebDriver:Refresh", {})

    def evaluate(self, script: str) -> Any:
        """Return what an expression is in the page, once what it promises is there."""
        words = f"const [done] = arguments; Promise.resolve({script}).then(done, (why) => done('' + why));"
        more = {"scriptTimeout": PATIENCE * 1000, "sandbox": None}
        return self.order("WebDriver:ExecuteAsyncScript", {"script": words, "args": [], **more})["value"]

    def until(self, holds: str) -> Any:
        """Wait until an expression holds."""
        end = monotonic() + PATIENCE
        while not (found := self.evaluate(holds)):
            assert monotonic() < end, f"not within {PATIENCE} s: {holds}"
            sleep(0.1)
        return found


@contextmanager
def open_firefox(folder: Path) -> Iterator[Firefox]:
    """Start Firefox with a profile of its own in *folder*, and end it."""
    found = shutil.which("firefox-esr") or shutil.which("firefox")
    if not found:
        pytest.fail("no Firefox on the PATH; Debian: apt-get install firefox-esr", pytrace=False)
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    (folder / "user.js").write_text(f'user_pref("marionette.port", {port});\n')
    words = [found, "--headless", "--marionette", "--no-remote", "--profile", str(folder), "about:blank"]
    with subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as process:
        try:
            with closing(Firefox(port)) as firefox:
                yield firefox
        finally:
            process.terminate()
