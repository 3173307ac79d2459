"""The app asked without a server: pages, cookies, long work at once, what cannot be, what is carried away."""

from __future__ import annotations

import asyncio
import re
import sqlite3
from collections.abc import Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path
from typing import TypeAlias
from urllib.parse import urlencode

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.web.tab.inside import DATABASE, Tab, start
from tabs import EARLIER

Story: TypeAlias = Callable[[Tab], Awaitable[None]]
FORM = ("content-type", "application/x-www-form-urlencoded")


def live(folder: Path, story: Story, told: Callable[[int, int], None] = lambda done, of: None) -> None:
    """Let a story happen in a tab whose files are in *folder*."""

    async def run() -> None:
        async with await start(str(folder), told) as tab:
            await story(tab)

    with ThreadPoolExecutor(1) as apart:  # where no browser's loop runs
        apart.submit(asyncio.run, run()).result()


async def send(tab: Tab, path: str, **fields: str) -> tuple[int, str, str]:
    """Send a form with the token of this session; return the status, the address it leads to, and the page."""
    _, page = await look(tab, "/work")
    token = re.search(r'name="token" value="(\w+)"', page)
    assert token
    body = urlencode({"token": token[1], **fields}).encode()
    status, headers, answer = await tab.ask("POST", path, headers=[FORM], body=body)
    return status, dict(headers).get("location", ""), answer.decode()


async def look(tab: Tab, path: str) -> tuple[int, str]:
    """Return the status and the text of a page."""
    address, _, query = path.partition("?")
    status, _, page = await tab.ask("GET", address, query)
    return status, page.decode()


def test_nobody_signs_in_and_the_session_lasts(tmp_path: Path) -> None:
    """The browser's user is the teacher, today and tomorrow, and sees the look that was chosen."""

    async def today(tab: Tab) -> None:
        assert (await send(tab, "/look", look="slate", to="/work"))[:2] == (303, "/work")

    async def tomorrow(tab: Tab) -> None:
        assert 'data-look="slate"' in (await look(tab, "/work"))[1]
        assert (await look(tab, "/account"))[0] == 404
        assert "Your account" not in (await look(tab, "/work"))[1]

    live(tmp_path, today)
    live(tmp_path, tomorrow)


def test_long_work_is_done_at_once_and_tells_how_far_it_is(tmp_path: Path) -> None:
    """Setting ends before its form is answered, so its page leads straight to the papers."""
    told: list[tuple[int, int]] = []

    async def story(tab: Tab) -> None:
        blueprint = 'title = "Levels"\n[[question]]\noperation = "decode"\n'
        _, address, _ = await send(tab, "/set/new", blueprint=blueprint)
        _, job, _ = await send(tab, f"{address}/set", variants="2", seed="7")
        status, headers, _ = await tab.ask("GET", job)
        assert (status, dict(headers)["location"].startswith("/set/papers/")) == (303, True), job

    live(tmp_path, story, lambda done, of: told.append((done, of)))
    assert told


def test_what_an_earlier_build_kept_is_brought_up_to_date(tmp_path: Path) -> None:
    """An update finds the tables of a build before it, and all that was saved in them."""
    (tmp_path / DATABASE).write_bytes(EARLIER)

    async def after(tab: Tab) -> None:
        assert "7.625" in (await look(tab, "/work"))[1]
        papers = re.search(
            r'href="(/set/papers/\w+)">Readings of the bed gauge', (await look(tab, "/set"))[1]
        )
        assert papers
        assert "2 papers, out of 20, seed 1." in (await look(tab, papers[1]))[1]

    live(tmp_path, after)


def test_what_a_newer_build_kept_is_left_alone(tmp_path: Path) -> None:
    """An older version says so and changes nothing."""
    kept = tmp_path / DATABASE
    kept.write_bytes(EARLIER)
    with closing(sqlite3.connect(kept)) as db, db:
        db.execute("UPDATE alembic_version SET version_num = '0099'")
        before = list(db.iterdump())

    async def nothing(tab: Tab) -> None:
        raise AssertionError

    with pytest.raises(EntryError, match="made by a newer version of Chalkpoint"):
        live(tmp_path, nothing)
    with closing(sqlite3.connect(kept)) as db:
        assert list(db.iterdump()) == before


def test_a_form_of_another_page_is_refused(tmp_path: Path) -> None:
    """The token stands in a tab too: what a page holds from before is not taken."""

    async def story(tab: Tab) -> None:
        body = urlencode({"token": "0" * 64, "look": "slate", "to": "/work"}).encode()
        status, _, _ = await tab.ask("POST", "/look", headers=[FORM], body=body)
        assert status == 409

    live(tmp_path, story)


def test_what_cannot_be_says_why_and_what_instead(tmp_path: Path) -> None:
    """Phones cannot reach a page, and no film is coded there."""

    async def story(tab: Tab) -> None:
        rooms = (await look(tab, "/teach/rooms"))[1]
        assert "Phones cannot come in here" in rooms
        assert "Letter cards work without" in rooms
        teach = (await look(tab, "/teach"))[1]
        assert "Try it with letter cards" in teach
        assert "your own phone" not in teach
        text = 'title = "One"\n[[part]]\nkind = "worked"\nquestion = "subtract 8.875, 3.6875"\n'
        _, lesson, _ = await send(tab, "/teach/new", lesson=text)
        media = (await look(tab, f"{lesson}/media"))[1]
        assert "No video and no voice here" in media
        assert "record yourself on" in media
        assert 'value="video"' not in media
        assert 'value="handout"' in media

    live(tmp_path, story)


def test_everything_is_carried_away_and_brought_in(tmp_path: Path) -> None:
    """From one browser into another, whole; what is no archive is refused in a sentence."""
    archive = b""

    async def here(tab: Tab) -> None:
        nonlocal archive
        await send(tab, "/work/questions", operation="subtract", operands="7.625, 2.4375", format="8+4")
        status, headers, archive = await tab.ask("GET", "/kept/chalkpoint.jsonl")
        assert (status, "chalkpoint.jsonl" in dict(headers)["content-disposition"]) == (200, True)

    async def there(tab: Tab) -> None:
        assert "7.625" not in (await look(tab, "/work"))[1]
        assert "Brought in: " in await bring(tab, archive)
        assert "7.625" in (await look(tab, "/work"))[1]
        assert "all of it is here already" in await bring(tab, archive)
        assert "give one that `records export` wrote" in await bring(tab, b"1, 2\n")
        assert "not text in UTF-8" in await bring(tab, b"\xff\n")

    live(tmp_path / "here", here)
    live(tmp_path / "there", there)


async def bring(tab: Tab, data: bytes) -> str:
    """Send a file to the page that brings in; return what it shows."""
    page = (await look(tab, "/kept"))[1]
    token = re.search(r'name="token" value="(\w+)"', page)
    assert token
    parts = (
        f'--x\r\nContent-Disposition: form-data; name="token"\r\n\r\n{token[1]}\r\n--x\r\nContent-Disposition: '
        'form-data; name="archive"; filename="chalkpoint.jsonl"\r\n\r\n'
    )
    body = parts.encode() + data + b"\r\n--x--\r\n"
    headers = [("content-type", "multipart/form-data; boundary=x")]
    return (await tab.ask("POST", "/kept/bring", headers=headers, body=body))[2].decode()
