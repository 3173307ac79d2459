"""Many pupils at once: each answer is counted once, in one process and in two, whatever dies meanwhile."""

from __future__ import annotations

import asyncio
import json
import os
import re
import signal
import ssl
import subprocess
import time
from collections.abc import AsyncIterator, Coroutine
from concurrent.futures import ThreadPoolExecutor
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import httpx2
import pytest

from conftest_records import cut_connections, fresh_database
from conftest_web import CHILDREN_SHOWN, Served, start_at, together, workers

PUPILS = 300
TOKEN = re.compile(r'name="token" value="([0-9a-f]{64})"')
DOOR = re.compile(r'name="room-door" value="([^"]+)"')
WORD = re.compile(r"word <b>([a-z ]+)</b>")
LINES = ("00011101", "01110110", "00011100", "0.0011101")
PATIENCE = 60


def run_apart(work: Coroutine[Any, Any, None]) -> None:
    """Run *work* in a thread of its own: the browser's driver may hold a loop in this one."""
    with ThreadPoolExecutor(1) as apart:
        apart.submit(asyncio.run, work).result()


@asynccontextmanager
async def browsers(address: str, count: int) -> AsyncIterator[list[httpx2.AsyncClient]]:
    """Give so many clients with cookies of their own."""
    limits = httpx2.Limits(max_connections=4)
    trust = (
        ssl.create_default_context()
    )  # one for all: each takes 26 ms to make, and nothing here is encrypted
    made = [
        httpx2.AsyncClient(
            base_url=address, headers={"origin": address}, timeout=PATIENCE, limits=limits, verify=trust
        )
        for _ in range(count)
    ]
    try:
        yield made
    finally:
        for client in made:
            await client.aclose()


async def open_room(teacher: httpx2.AsyncClient) -> tuple[str, str]:
    """Open a room and its first round; return its address and word."""
    page = (
        await teacher.get(start_at(str(teacher.base_url).rstrip("/"), "/teach/rooms"), follow_redirects=True)
    ).text
    token = TOKEN.search(page)
    assert token
    form = {"token": token[1], "questions": "subtract 8.875, 3.6875", "seats": "400"}
    made = await teacher.post("/teach/rooms", data=form, follow_redirects=False)
    room = made.headers["location"]
    word = WORD.search((await teacher.get(room)).text)
    assert word
    await teacher.post(f"{room}/act", data={"token": token[1], "act": "open"})
    return room, word[1]


async def come_in(pupil: httpx2.AsyncClient, word: str, seat: int) -> str:
    """Take a seat; return the token of its forms."""
    door = DOOR.search((await pupil.get("/room")).text)
    assert door
    form = {"room-door": door[1], "word": word, "seat": str(seat)}
    page = await pupil.post("/room", data=form, follow_redirects=True)
    token = TOKEN.search(page.text)
    assert token, page.text
    return token[1]


async def answer(pupil: httpx2.AsyncClient, token: str, line: str) -> None:
    """Send a line, again and again until it has arrived."""
    for _ in range(300):
        try:
            sent = await pupil.post("/room/seat/line", data={"token": token, "round": "1", "line": line})
            if sent.status_code == 303:
                return
        except httpx2.TransportError:
            pass
        await asyncio.sleep(0.1)
    raise AssertionError("the line never arrived")


async def tally(teacher: httpx2.AsyncClient, room: str) -> int:
    """Return how many have written, by the teacher's page."""
    counted = re.search(r"<b>(\d+)</b> of (\d+) have written", (await teacher.get(room)).text)
    return int(counted[1]) if counted else 0


async def told(teacher: httpx2.AsyncClient, room: str, wanted: int) -> None:
    """Listen to what an open page is told until so many have written."""
    deadline = time.monotonic() + PATIENCE
    while time.monotonic() < deadline:
        try:
            async with teacher.stream("GET", f"{room}/events") as events:
                async for row in events.aiter_lines():
                    data = json.loads(row[5:]) if row.startswith("data:") else {}
                    if f"<b>{wanted}</b> of" in (data.get("says") or data.get("html", "")):
                        return
        except httpx2.TransportError:
            await asyncio.sleep(0.2)
    raise AssertionError("the page was never told")


def test_each_of_three_hundred_answers_is_counted_once(served: Served) -> None:
    """Three hundred at once, every third of them sending twice: three hundred lines."""

    async def run() -> None:
        async with browsers(served.address, PUPILS + 1) as (teacher, *pupils):
            room, word = await open_room(teacher)
            gate = asyncio.Semaphore(20)

            async def one(seat: int, pupil: httpx2.AsyncClient) -> None:
                async with gate:
                    token = await come_in(pupil, word, seat)
                    for _ in range(1 + (seat % 3 == 0)):
                        await answer(pupil, token, LINES[seat % len(LINES)])

            listening = asyncio.create_task(told(teacher, room, PUPILS))
            await asyncio.gather(*(one(seat, pupil) for seat, pupil in enumerate(pupils, start=1)))
            assert await tally(teacher, room) == PUPILS
            await listening

    run_apart(run())


# === Two processes on one PostgreSQL ===


@pytest.mark.skipif(not CHILDREN_SHOWN, reason="looks for child processes as Linux shows them")
def test_a_class_goes_on_when_a_process_dies_and_the_database_is_cut(
    postgresql_server: str, tmp_path: Path
) -> None:
    """Two processes share a class; one is killed and every connection cut in the middle: each answer counts once."""
    url = fresh_database(postgresql_server)

    async def run(address: str, serving: subprocess.Popen[bytes]) -> None:
        async with browsers(address, 41) as (teacher, *pupils):
            room, word = await open_room(teacher)
            tokens: list[Any] = [
                await come_in(pupil, word, seat) for seat, pupil in enumerate(pupils, start=1)
            ]
            both = list(zip(pupils, tokens, strict=True))
            listening = asyncio.create_task(told(teacher, room, 40))
            await asyncio.gather(*(answer(pupil, token, LINES[0]) for pupil, token in both[:15]))
            os.kill(workers(serving)[0], signal.SIGKILL)
            await asyncio.gather(*(answer(pupil, token, LINES[1]) for pupil, token in both[10:30]))
            cut_connections(url)
            await asyncio.gather(*(answer(pupil, token, LINES[2]) for pupil, token in both[25:]))
            assert await tally(teacher, room) == 40
            await asyncio.wait_for(listening, PATIENCE)

    with together(url, tmp_path) as (address, serving):
        run_apart(run(address, serving))
