"""A live class under load, with its clients on the same machine: how long an answer and a tally take.

    python benchmarks/live_class.py                                   300 pupils in one room, SQLite, one process
    python benchmarks/live_class.py --rooms 100 --pupils 30 --database postgresql://... --processes 2

Every pupil and every teacher keeps a page open that is told of changes. Each pupil sends one answer, spread over
ten seconds, as the page's script does. An answer's time is that of the form's whole answer; a tally's, from when an
answer was sent until the teacher's page was told of it. All clients are one process on the same machine: what they
cost themselves is told apart, as their processor time and as how late their own clock ran, which no server can mend.
"""

from __future__ import annotations

import argparse
import asyncio
import json
import os
import re
import resource
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

START = "gauge"  # what the printed address carries
SPREAD = 10.0  # seconds
LINES = ("00011101", "01110110", "00011100", "0.0011101", "1.1100011", "0001110")
TOKEN = re.compile(r'name="token" value="([0-9a-f]{64})"')
DOOR = re.compile(r'name="room-door" value="([^"]+)"')
WORD = re.compile(r"word <b>([a-z ]+)</b>")
COUNTED = re.compile(r"<b>(\d+)</b> of \d+ have written")


@dataclass(slots=True)
class Browser:
    """A client with cookies and one connection for its forms."""

    port: int
    cookies: dict[str, str] = field(default_factory=dict)
    reader: asyncio.StreamReader | None = None
    writer: asyncio.StreamWriter | None = None

    async def ask(self, path: str, form: dict[str, str] | None = None) -> tuple[int, dict[str, str], str]:
        """Ask for a page, or send a form; return status, headers and body."""
        for _ in range(2):  # an idle connection is closed by the server, perhaps just now
            try:
                return await self._ask_once(path, form)
            except (asyncio.IncompleteReadError, ConnectionError):
                self.writer = None
        return await self._ask_once(path, form)

    async def _ask_once(self, path: str, form: dict[str, str] | None) -> tuple[int, dict[str, str], str]:
        if self.writer is None or self.reader is None:
            self.reader, self.writer = await asyncio.open_connection("127.0.0.1", self.port)
        self.writer.write(self._request(path, form))
        status, headers = await self._head(self.reader)
        body = await self.reader.readexactly(int(headers.get("content-length", "0")))
        return status, headers, body.decode()

    def _request(self, path: str, form: dict[str, str] | None) -> bytes:
        from urllib.parse import urlencode

        body = urlencode(form).encode() if form else b""
        lines = [f"{'POST' if form else 'GET'} {path} HTTP/1.1", f"Host: 127.0.0.1:{self.port}"]
        lines += [f"Origin: http://127.0.0.1:{self.port}", f"Content-Length: {len(body)}"]
        if form:
            lines += [
                "Content-Type: application/x-www-form-urlencoded",
                "Accept: application/json, text/html",
            ]
        if self.cookies:
            lines.append("Cookie: " + "; ".join(f"{name}={value}" for name, value in self.cookies.items()))
        return "\r\n".join([*lines, "", ""]).encode() + body

    async def _head(self, reader: asyncio.StreamReader) -> tuple[int, dict[str, str]]:
        head = (await reader.readuntil(b"\r\n\r\n")).decode().split("\r\n")
        headers: dict[str, str] = {}
        for line in head[1:]:
            name, _, value = line.partition(": ")
            if name.lower() == "set-cookie":
                key, _, kept = value.partition(";")[0].partition("=")
                self.cookies[key] = kept
            headers[name.lower()] = value
        return int(head[0].split()[1]), headers

    async def listen(self, path: str, open_: asyncio.Event, told: asyncio.Queue[str] | None = None) -> None:
        """Keep a page open and hand on what it is told; *open_* is set once it was told something."""
        reader, writer = await asyncio.open_connection("127.0.0.1", self.port, limit=2**20)
        writer.write(self._request(path, None))
        await self._head(reader)
        try:
            while line := await reader.readline():
                if line.startswith(b"data:"):
                    open_.set()
                    if told is not None:
                        told.put_nowait(line[5:].decode())
        finally:
            writer.close()


@dataclass(slots=True)
class Lesson:
    """A room: its teacher, its pupils, and when its answers were sent and told of."""

    teacher: Browser
    room: str
    word: str
    pupils: list[tuple[Browser, str]] = field(default_factory=list)
    sent: list[float] = field(default_factory=list)
    told: list[float] = field(default_factory=list)


async def open_lesson(port: int, seats: int) -> Lesson:
    """Open a room with a round in it."""
    teacher = Browser(port)
    await teacher.ask(f"/start?token={START}")
    _, _, page = await teacher.ask("/teach/rooms")
    token = TOKEN.search(page)[1]  # type: ignore[index]
    form = {"token": token, "questions": "subtract 8.875, 3.6875", "seats": str(seats)}
    _, headers, _ = await teacher.ask("/teach/rooms", form)
    room = headers["location"]
    _, _, page = await teacher.ask(room)
    await teacher.ask(f"{room}/act", {"token": token, "act": "open"})
    return Lesson(teacher, room, WORD.search(page)[1])  # type: ignore[index]


async def come_in(lesson: Lesson, seat: int, gate: asyncio.Semaphore) -> None:
    """Let a pupil in."""
    async with gate:
        pupil = Browser(lesson.teacher.port)
        _, _, page = await pupil.ask("/room")
        door = DOOR.search(page)[1]  # type: ignore[index]
        await pupil.ask("/room", {"room-door": door, "word": lesson.word, "seat": str(seat)})
        _, _, page = await pupil.ask("/room/seat")
        lesson.pupils.append((pupil, TOKEN.search(page)[1]))  # type: ignore[index]


async def watch(lesson: Lesson, open_: asyncio.Event) -> None:
    """Note when the teacher's page was told of each answer."""
    told: asyncio.Queue[str] = asyncio.Queue()
    listening = asyncio.create_task(lesson.teacher.listen(f"{lesson.room}/events", open_, told))
    while len(lesson.told) < len(lesson.pupils):
        data = json.loads(await told.get())
        counted = COUNTED.search(data.get("says") or data.get("html", ""))
        for _ in range(int(counted[1]) - len(lesson.told) if counted else 0):
            lesson.told.append(time.perf_counter())
    listening.cancel()


async def answer(lesson: Lesson, at: int, after: float, times: list[float]) -> None:
    """Send one pupil's answer when it is its turn."""
    pupil, token = lesson.pupils[at]
    await asyncio.sleep(after)
    began = time.perf_counter()
    status, _, _ = await pupil.ask(
        "/room/seat/line", {"token": token, "round": "1", "line": LINES[at % len(LINES)]}
    )
    assert status == 200, status
    times.append(time.perf_counter() - began)
    lesson.sent.append(began)


async def run(port: int, rooms: int, pupils: int, server: int) -> None:
    """Hold the classes and print the figures."""
    gate = asyncio.Semaphore(16)
    lessons = [await open_lesson(port, pupils) for _ in range(rooms)]
    await asyncio.gather(
        *(come_in(lesson, seat, gate) for lesson in lessons for seat in range(1, pupils + 1))
    )
    everybody = [(lesson, pupil) for lesson in lessons for pupil, _ in lesson.pupils]
    opened = [asyncio.Event() for _ in range(len(everybody) + len(lessons))]
    pages = [
        asyncio.create_task(pupil.listen("/room/seat/events", open_))
        for (_, pupil), open_ in zip(everybody, opened, strict=False)
    ]
    watching = [
        asyncio.create_task(watch(*one)) for one in zip(lessons, opened[len(everybody) :], strict=True)
    ]
    await asyncio.gather(*(open_.wait() for open_ in opened))  # all pages are open before any answer is sent
    await asyncio.sleep(2)
    every = [(lesson, at) for at in range(pupils) for lesson in lessons]
    times: list[float] = []
    spread = [SPREAD * number / len(every) for number in range(len(every))]
    before, own = worked(server), time.process_time()
    late: list[float] = []
    clock = asyncio.create_task(feel_late(late))
    await asyncio.gather(*(answer(*one, after, times) for one, after in zip(every, spread, strict=True)))
    await asyncio.gather(*watching)
    clock.cancel()
    own = time.process_time() - own
    tallies = [b - a for lesson in lessons for a, b in zip(sorted(lesson.sent), lesson.told, strict=True)]
    print(
        f"{rooms} room(s) of {pupils}: {len(pages) + len(watching)} pages open, {len(times)} answers in {SPREAD:.0f} s"
    )
    print_times("answer", times)
    print_times("tally", tallies)
    print_times("clients", late)
    print(f"processor time of the clients: {own:.1f} s")
    each = [after - one for one, after in zip(before, worked(server), strict=True)]
    print(f"processor time of the server's processes: {', '.join(f'{one:.1f} s' for one in each)}")
    for page in pages:
        page.cancel()


async def feel_late(late: list[float]) -> None:
    """Note how late the clients' own clock runs: so long an answer that is there already waits to be read."""
    while True:
        began = time.perf_counter()
        await asyncio.sleep(0.01)
        late.append(time.perf_counter() - began - 0.01)


def print_times(what: str, seconds: list[float]) -> None:
    """Print the median, the 95th percentile and the most."""
    shown = sorted(1000 * one for one in seconds)
    p95 = shown[int(len(shown) * 0.95)]
    print(f"{what:7} median {statistics.median(shown):6.1f}  p95 {p95:6.1f}  most {shown[-1]:6.1f} ms")


def processes(pid: int) -> list[str]:
    """Return the server's processes, where the system tells."""
    children = Path(f"/proc/{pid}/task/{pid}/children")
    return [str(pid), *children.read_text().split()] if children.exists() else []


def worked(pid: int) -> list[float]:
    """Return the processor time of each process until now, in seconds."""
    ticks = os.sysconf("SC_CLK_TCK") if hasattr(os, "sysconf") else 1
    stats = [
        Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split() for process in processes(pid)
    ]
    return [(int(stat[11]) + int(stat[12])) / ticks for stat in stats]


def memory(pid: int) -> str:
    """Return how much the server's processes hold, in MB."""
    held = []
    for process in processes(pid):
        status = Path(f"/proc/{process}/status").read_text()
        held.append(int(re.search(r"VmRSS:\s+(\d+)", status)[1]) // 1024)  # type: ignore[index]
    return ", ".join(f"{size} MB" for size in held) or "not told here"


def main() -> None:
    """Start a server, hold the classes, stop it."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--rooms", type=int, default=1)
    parser.add_argument("--pupils", type=int, default=300)
    parser.add_argument("--database")
    parser.add_argument("--processes", type=int, default=1)
    asked = parser.parse_args()
    most = resource.getrlimit(resource.RLIMIT_NOFILE)[1]
    resource.setrlimit(resource.RLIMIT_NOFILE, (most, most))
    with serving(asked.database, asked.processes) as (port, server):
        asyncio.run(run(port, asked.rooms, asked.pupils, server))
        print(f"memory of the server: {memory(server)}")


@contextmanager
def serving(database: str | None, processes: int) -> Iterator[tuple[int, int]]:
    """Start a server, on a file of its own unless a database is given; give its port and its process."""
    with tempfile.TemporaryDirectory() as folder:
        with socket.create_server(("127.0.0.1", 0)) as found:
            port = found.getsockname()[1]
        url = database or f"sqlite:///{Path(folder, 'store.db').as_posix()}"
        words = [sys.executable, "-m", "chalkpoint", "serve", "--port", str(port), "--database", url]
        words += ["--processes", str(processes)]
        surroundings = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path), "CHALKPOINT_START": START}
        running = subprocess.Popen(words, stdout=subprocess.DEVNULL, env=surroundings)
        try:
            wait_for(port)
            yield port, running.pid
        finally:
            running.terminate()
            running.wait()


def wait_for(port: int) -> None:
    """Wait until the server answers."""
    import httpx2

    for _ in range(200):
        try:
            httpx2.get(f"http://127.0.0.1:{port}/health")
        except httpx2.TransportError:
            time.sleep(0.05)
        else:
            return


if __name__ == "__main__":
    main()
