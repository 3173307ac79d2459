"""A tab of the app in a real browser: its files built once for all tests, served or opened from the disk."""

from __future__ import annotations

import base64
import gzip
import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from fnmatch import fnmatch
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from time import monotonic, sleep
from typing import Any, cast

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import BrowserContext, FrameLocator, Page

__all__ = [
    "EARLIER",
    "Tab",
    "build",
    "build_once",
    "check_axe",
    "open_tab",
    "parts_of",
    "save_a_question",
    "served",
]

PATIENCE = 120  # seconds: Python for the browser starts on a machine that does much else
#: What a build with the tables of revision 0005 saved in its browser: one question, a blueprint and its papers.
EARLIER = gzip.decompress(
    (Path(__file__).parent / "web" / "tab" / "kept_by_revision_0005.db.gz").read_bytes()
)
BUILT = 600  # seconds that another worker may take to build
SHOWN = "iframe:not(.coming)"


def build_once(root: Path) -> Path:
    """Return the folder that `chalkpoint tab` writes, built by the first of all workers of this run who asks."""
    root = root.parent if os.environ.get("PYTEST_XDIST_WORKER") else root
    made, said = root / "tab" / "folder", root / "tab" / "said"
    try:
        said.parent.mkdir(parents=True)
    except FileExistsError:
        until = monotonic() + BUILT
        while not said.is_file() and monotonic() < until:
            sleep(0.2)
    else:
        done = build(made)
        held = said.with_name("saying")
        held.write_text(done.stderr if done.returncode else "")
        held.rename(said)
    if refused := said.read_text():
        pytest.fail(refused, pytrace=False)
    return made


def build(made: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Run `chalkpoint tab`."""
    command = [sys.executable, "-m", "chalkpoint", "tab", str(made), *words]
    return subprocess.run(command, capture_output=True, text=True, check=False)


def parts_of(folder: Path) -> dict[str, bytes]:
    """Return the parts that a folder was made of, by their names."""
    parts = {"licences": gzip.compress((folder / "licences.txt").read_bytes(), 9, mtime=0)}
    pieces = (folder / "parts").iterdir()
    for path in sorted(pieces, key=lambda piece: int(piece.stem.rpartition("-")[2])):
        name = path.name.partition("-")[0]
        parts[name] = parts.get(name, b"") + path.read_bytes()
    return dict(sorted(parts.items(), key=lambda part: (part[0] != "engine", part[0])))


class _Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *words: object) -> None:
        """Say nothing."""


@contextmanager
def served(folder: Path, host: str = "127.0.0.1") -> Iterator[str]:
    """Serve a folder as any web server does, without settings; give its address."""
    server = ThreadingHTTPServer((host, 0), partial(_Quiet, directory=str(folder)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://{host}:{server.server_port}"
    finally:
        server.shutdown()
        server.server_close()


class Tab:
    """The app's page inside the page around it, asked as a page of its own is: what a story of the app needs."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.request = self

    @property
    def shown(self) -> FrameLocator:
        """The app's page."""
        return self.page.frame_locator(SHOWN)

    def __getattr__(self, name: str) -> Any:
        return getattr(self.shown, name)

    @property
    def url(self) -> str:
        """The address within the app."""
        return str(self.page.evaluate("location.hash.slice(1)"))

    def goto(self, address: str) -> None:
        """Go to an address within the app."""
        self.page.evaluate("(to) => { location.hash = to; }", address)
        self.rest()

    def rest(self) -> None:
        """Wait until what was asked for is shown."""
        sleep(0.1)
        self.until("!chalkpoint.busy()")

    def wait_for_url(self, pattern: str) -> None:
        """Wait until an address is shown."""
        until = monotonic() + PATIENCE
        while not fnmatch(self.url, pattern):
            assert monotonic() < until, f"{self.url} is shown, not {pattern}"
            sleep(0.05)

    def ask(self, method: str, address: str, form: str = "") -> tuple[str, bytes]:
        """Ask the app, past the page; return the address it leads to, and what it answers."""
        asked = """async ([method, to, form]) => {
            const heads = form ? [["content-type", "application/x-www-form-urlencoded"]] : [];
            const answer = await chalkpoint.ask(method, to, heads, new TextEncoder().encode(form).buffer);
            let text = "";
            for (const byte of answer.body) text += String.fromCharCode(byte);
            return [answer.heads.location ?? "", btoa(text)];
        }"""
        location, body = self.page.evaluate(asked, [method, address, form])
        return location, base64.b64decode(body)

    def get(self, address: str) -> Tab:
        """Ask for a file; `body` and `text` then give it."""
        self.data = self.ask("GET", address)[1]
        return self

    def body(self) -> bytes:
        """Return the file that was asked for."""
        return self.data

    def text(self) -> str:
        """Return the file that was asked for as text."""
        return self.data.decode()

    def until(self, holds: str) -> Any:
        """Wait until something holds of the page around, whose policy lets no test evaluate while it waits."""
        end = monotonic() + PATIENCE
        while not (found := self.page.evaluate(holds)):
            assert monotonic() < end, f"not within {PATIENCE} s: {holds}"
            sleep(0.05)
        return found

    def started(self) -> Tab:
        """Wait until Python runs and the first page is its own."""
        self.until("window.chalkpoint?.notes.first || window.chalkpoint?.notes.broken")
        broken = self.page.evaluate("chalkpoint.notes.broken ?? ''")
        assert not broken, broken
        return self

    @property
    def as_page(self) -> Page:
        """The same, to whom it takes for a page."""
        return cast("Page", self)


def open_tab(context: BrowserContext, address: str) -> Tab:
    """Open the page around the app in a new tab of a browser."""
    page = context.new_page()
    page.goto(address)
    return Tab(page)


def save_a_question(tab: Tab) -> None:
    """Work a question that no page shows of itself, and save it."""
    tab.goto("/work?operation=subtract&operands=7.625,+2.4375&format=8%2B4")
    before = tab.page.evaluate("chalkpoint.keeping.made")
    tab.get_by_role("button", name="Save", exact=True).first.click()
    tab.until(f"chalkpoint.keeping.made > {before}")


def check_axe(tab: Tab) -> None:
    """Nothing is found in the page around the app, nor in the app's own."""
    for frame in tab.page.frames:
        found = Axe().run(frame)  # a frame evaluates as a page does
        assert found.violations_count == 0, found.generate_report()
