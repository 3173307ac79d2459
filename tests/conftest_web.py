"""An app with a store of its own: asked directly, or served to a real browser; on both databases.

What is promised of pages is promised of either: `client` asks the app on both, and `served` is one process on a file
and two processes on a PostgreSQL. Only `furnished`, whose tests look at pages, has one database.
"""

from __future__ import annotations

import os
import re
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from html import unescape
from pathlib import Path
from time import monotonic, sleep
from typing import Any

import httpx2
import pytest
import uvicorn
from starlette.testclient import TestClient

from chalkpoint.records import news
from chalkpoint.records.schema import Base
from chalkpoint.records.store import Store, open_store
from chalkpoint.web.app import create_app
from chalkpoint.web.connections import BoundedProtocol
from chalkpoint.web.settings import Settings
from conftest_records import fresh_database

__all__ = [
    "CHILDREN_SHOWN",
    "ORIGIN",
    "PAPERS",
    "PATIENCE",
    "Client",
    "Furnished",
    "Served",
    "answers",
    "client",
    "furnish",
    "furnished",
    "pair",
    "serve",
    "served",
    "start_at",
    "together",
    "words",
    "workers",
]

ORIGIN = "http://127.0.0.1:8000"
TOKEN = re.compile(r'name="token" value="([0-9a-f]{64})"')
PAPERS: dict[str, Any] = {
    "schema": "chalkpoint.papers/1",
    "title": "Gauges",
    "course": {"format": "6+4"},
    "papers": [{"variant": 1, "questions": [{"operation": "subtract", "operands": ["6.5", "1.25"]}]}],
}
LONG = 120  # seconds that several processes have to start and stop, on a machine that does much else
START = "gauge"  # what the printed address carries
UNDER_WAY = '<progress id="bar"'  # what only the page of work under way has
PATIENCE = 60  # seconds a server has to start and stop, and a job to be done


class Client(TestClient):
    """A browser without a window: it keeps its cookies, and sends forms with the token of its pages."""

    def token(self) -> str:
        """Return what forms of this session carry."""
        token = TOKEN.search(self.get("/work").text)
        assert token, "the page has no form with a token"
        return token[1]

    def submit(self, path: str, files: Any = None, origin: Any = ORIGIN, **fields: Any) -> Any:
        """Send a form to *path* with the token that every page of this session holds."""
        data = {"token": self.token(), **fields}
        return self.post(path, data=data, files=files, headers={"origin": origin})

    def done(self, answer: Any) -> Any:
        """Return the page that a job leads to once it is done, or its own page where it failed."""
        until = monotonic() + PATIENCE
        while UNDER_WAY in answer.text and monotonic() < until:
            sleep(0.05)
            answer = self.get(str(answer.url.path))
        return answer

    def said(self, path: str) -> str:
        """Return the text of a page, without its tags, on one line."""
        return words(self.get(path).text)


def start_at(address: str, path: str) -> str:
    """Return the address by which the machine's own teacher first comes to a page."""
    return f"{address}/start?token={START}&to={path}"


def words(page: str) -> str:
    """Return what a page says, its tags left out, on one line."""
    body = page[page.index("<body") :]
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", body)).split())


@pytest.fixture
def client(store: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Client]:
    """The app of a teacher's own machine, asked directly."""
    monkeypatch.setattr(news, "LOOKED_EVERY", 0.02)  # so that an app stops at once
    app = create_app(store, Settings(), cache=tmp_path / "made")
    with Client(app, base_url=ORIGIN) as client:
        yield client


@dataclass(frozen=True, slots=True)
class Served:
    """A server that runs: its address and its store."""

    address: str
    store: Store


@contextmanager
def serve(store: Store, made: Path, *, start_token: str = "") -> Iterator[Served]:
    """Serve the app on a free port of this machine."""
    with socket.create_server(("127.0.0.1", 0), backlog=2048) as listening:
        port = listening.getsockname()[1]
        app = create_app(store, Settings(port=port, start_token=start_token), cache=made)
        server = uvicorn.Server(
            uvicorn.Config(
                app, http=BoundedProtocol, log_level="warning", timeout_graceful_shutdown=1, ws="none"
            )
        )
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
        thread.start()
        until = monotonic() + PATIENCE
        while not server.started and monotonic() < until:
            sleep(0.02)
        assert server.started
        try:
            yield Served(f"http://127.0.0.1:{port}", store)
        finally:
            server.should_exit = True
            thread.join(PATIENCE)


@pytest.fixture(params=["one process on SQLite", "two processes on PostgreSQL"])
def served(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Served]:
    """The app on a free port of this machine, for a real browser; nothing is kept there yet."""
    if "SQLite" in request.param:
        store = open_store(f"sqlite:///{(tmp_path / 'chalkpoint.db').as_posix()}")
        with serve(store, tmp_path / "made", start_token=START) as running:
            yield running
        return
    both: Served = request.getfixturevalue("pair")
    with both.store.write() as db:
        for table in reversed(Base.metadata.sorted_tables):
            if table.name != "setting":  # the processes know the database's key
                db.execute(table.delete())
    yield both


@pytest.fixture(scope="session")
def pair(postgresql_server: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """Two processes that serve one PostgreSQL, started once; `served` empties it for each test."""
    url = fresh_database(postgresql_server)
    with together(url, tmp_path_factory.mktemp("pair")) as (address, _):
        store = open_store(url)
        yield Served(address, store)
        store.close()


@dataclass(frozen=True, slots=True)
class Furnished:
    """A server with something of each kind kept, and where it stands.

    at  addresses, by what is there
    """

    address: str
    at: dict[str, str]


BLUEPRINT = """\
title = "Gauge readings"
accidental = "needs working"

[course]
name = "12 Heron"
format = "6+4"

[[question]]
operation = "subtract"
operands = ["6.5", "1.25"]

[[question]]
operation = "add"
operands = ["1.5", "2.5"]
"""
ANSWERS = """\
student,variant,1,2
H01,1,010101 0011,010000 0011
H02,1,010100 0011,010000 0011
H03,1,010100 0011,banana
"""


@pytest.fixture(scope="session")
def furnished(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Furnished]:
    """A server in use: a course, papers set and marked, a class, a lesson, an open room."""
    folder = tmp_path_factory.mktemp("furnished")
    store = open_store(f"sqlite:///{(folder / 'chalkpoint.db').as_posix()}")
    app = create_app(store, Settings(), cache=folder / "made")
    with Client(app, base_url=ORIGIN) as client:
        at = furnish(client)
        with serve(store, folder / "made") as running:
            yield Furnished(running.address, at)


def furnish(client: Client) -> dict[str, str]:
    """Keep one of each thing, as a teacher would by the pages; return where each stands."""
    client.submit("/courses/new", name="12 Heron", format="6+4")
    at = {"blueprint": client.submit("/set/new", blueprint=BLUEPRINT).url.path}
    set_papers = client.submit(f"{at['blueprint']}/set", variants="1", seed="7")
    at["papers"] = client.done(set_papers).url.path
    at["marking"] = at["papers"].replace("/set/", "/mark/")
    client.submit(f"{at['marking']}/answers", pasted=ANSWERS)
    at["class"] = client.submit("/mark/classes/new", title="12 Heron", codes="3").url.path
    client.submit(f"{at['marking']}/class", **{"class": at["class"].rsplit("/", 1)[1]})
    at["lesson"] = client.submit("/teach/new", lesson=client_lesson()).url.path
    at["room"] = client.submit("/teach/rooms", questions="subtract 6.5, 1.25", seats="400").url.path
    return at


def client_lesson() -> str:
    """Return the lesson that teachers start from, with few parallels: its board is walked by a checker."""
    from chalkpoint.teaching.lessonfile import STARTING

    return STARTING.replace("pause = 60", "pause = 60\nparallels = 2")


@contextmanager
def together(url: str, folder: Path) -> Iterator[tuple[str, subprocess.Popen[bytes]]]:
    """Serve by two processes."""
    address, serving = _start_together(url, folder)
    try:
        yield address, serving
    finally:
        _stop(serving)


def _stop(serving: subprocess.Popen[bytes]) -> None:
    """Let the command stop the processes it started."""
    serving.terminate()
    serving.wait(LONG)


CHILDREN_SHOWN = Path("/proc/self/task").exists()


def workers(serving: subprocess.Popen[bytes]) -> list[int]:
    """Return the processes that serve together, where the system shows them."""
    children = Path(f"/proc/{serving.pid}/task/{serving.pid}/children").read_text().split()
    return [int(child) for child in children if b"spawn_main" in Path(f"/proc/{child}/cmdline").read_bytes()]


def _start_together(url: str, folder: Path) -> tuple[str, subprocess.Popen[bytes]]:
    """Start the command and wait until it answers; another may take its port first, so it is tried again."""
    surroundings = {
        **os.environ,
        "PYTHONPATH": os.pathsep.join(sys.path),
        "XDG_CACHE_HOME": str(folder),
        "CHALKPOINT_START": START,
    }
    for _ in range(3):
        with socket.create_server(("127.0.0.1", 0)) as found:
            port = found.getsockname()[1]
        words = ["serve", "--port", str(port), "--processes", "2", "--database", url]
        serving = subprocess.Popen(
            [sys.executable, "-m", "chalkpoint", *words], env=surroundings, stdout=subprocess.DEVNULL
        )
        address = f"http://127.0.0.1:{port}"
        until = monotonic() + LONG
        while serving.poll() is None:
            if answers(address):
                return address, serving
            if monotonic() > until:
                _stop(serving)
                break
            sleep(0.1)
    raise AssertionError("two processes could not be started")


def answers(address: str) -> bool:
    """Tell whether a server is there and well."""
    try:
        return httpx2.get(f"{address}/health").status_code == 200
    except httpx2.TransportError:
        return False
