"""What a tab makes is what this Python makes, by digest: workings, papers, marks and a lesson's files."""

from __future__ import annotations

import asyncio
import json
import re
import subprocess
import sys
from collections.abc import Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from typing import TypeAlias
from urllib.parse import urlencode

import pytest

from chalkpoint.publishing.workbooks import rows_of
from chalkpoint.web.tab.inside import start
from tabs import Tab

__all__ = ["check_same_files"]

Ask: TypeAlias = Callable[[str, str, str], Awaitable[tuple[str, bytes]]]
FORM = ("content-type", "application/x-www-form-urlencoded")
GOLDEN = (
    {"operation": "subtract", "operands": "8.875, 3.6875", "format": "8+4"},
    {"operation": "add", "operands": "0.1, 0.2", "format": "24+8"},
    {"operation": "multiply", "operands": "1.5, -2.25", "format": "8+4"},
    {"operation": "add", "operands": "1.1, 2.7", "format": "binary16"},
    {"operation": "decode", "operands": "0.1010100 0011", "format": "8+4"},
    {"operation": "add", "operands": "-1.0, 0", "format": "8+4"},
)
BLUEPRINT = """title = "Levels"
[[question]]
operation = "subtract"
[[question]]
operation = "decode"
"""
LESSON = 'title = "One"\n[[part]]\nkind = "worked"\nquestion = "subtract 8.875, 3.6875"\n'
TAKEN = ("board", "slides", "sheet", "handout", "cover", "captions", "script", "linear")


def check_same_files(tab: Tab, folder: Path) -> None:
    """Every file of the same job, by its digest; the rows of a working are those that the command writes.

    folder  where the app beside it keeps its own
    """

    async def in_the_tab(method: str, address: str, form: str) -> tuple[str, bytes]:
        return tab.ask(method, address, form)

    async def natively() -> dict[str, str]:
        async with await start(str(folder)) as native:

            async def ask(method: str, address: str, form: str) -> tuple[str, bytes]:
                path, _, query = address.partition("?")
                _, heads, body = await native.ask(method, path, query, [FORM] if form else [], form.encode())
                return dict(heads).get("location", ""), body

            return await made(ask)

    with ThreadPoolExecutor(1) as apart:  # where the browser's loop does not run
        expected = apart.submit(asyncio.run, natively()).result()
        found = drive(made(in_the_tab))
    assert len(expected) > 2 * len(GOLDEN) + 10
    assert found == expected
    case = GOLDEN[0]
    words = [case["operation"], *case["operands"].split(", "), "--format", case["format"], "--json"]
    command = [sys.executable, "-m", "chalkpoint", "work", *words]
    native = subprocess.run(command, capture_output=True, check=True).stdout
    assert json.loads(tab.get(f"/work/working.json?{urlencode(case)}").body()) == json.loads(native)


def drive(story: Awaitable[dict[str, str]]) -> dict[str, str]:
    """Return what a story that never waits returns; the browser's own loop runs already."""
    with pytest.raises(StopIteration) as ended:
        story.__await__().send(None)
    return dict(ended.value.value)


async def made(ask: Ask) -> dict[str, str]:
    """Do the whole job; return the digest of each file by its name."""
    files: dict[str, bytes] = {}
    for case in GOLDEN:
        for kind in ("json", "pdf"):
            files[f"{case} {kind}"] = (await ask("GET", f"/work/working.{kind}?{urlencode(case)}", ""))[1]
    token = re.search(r'name="token" value="(\w+)"', (await ask("GET", "/set/new", ""))[1].decode())
    assert token

    async def send(address: str, **fields: str | tuple[str, ...]) -> str:
        return (await ask("POST", address, urlencode({"token": token[1], **fields}, doseq=True)))[0]

    blueprint = await send("/set/new", blueprint=BLUEPRINT)
    papers, _ = await ask("GET", await send(f"{blueprint}/set", variants="2", seed="7"), "")
    files |= await all_of(ask, papers, "files")
    class_ = papers.replace("/set/", "/mark/")
    await send(f"{class_}/answers", pasted="student,variant,1,2\nH01,1,0.1010100 0011,5.25\nH02,2,,0.5\n")
    files |= await all_of(ask, f"{class_}/report", "report")
    lesson = await send("/teach/new", lesson=LESSON)
    await ask("GET", await send(f"{lesson}/media", medium=TAKEN), "")
    files |= await all_of(ask, f"{lesson}/media", "files")
    return {name: digest(name, data) for name, data in files.items()}


def digest(name: str, data: bytes) -> str:
    """Return the digest of a file; of a workbook, that of its cells, whose library writes by another where that is."""
    if name.endswith(".xlsx"):
        data = repr(list(rows_of(BytesIO(data)))).encode()
    return sha256(data).hexdigest()


async def all_of(ask: Ask, page: str, folder: str) -> dict[str, bytes]:
    """Return the files that a page leads to, by their names."""
    text = (await ask("GET", page, ""))[1].decode()
    found = {}
    for address in sorted(set(re.findall(rf'href="(/[^"?]+/{folder}/[^"/?]+\.\w+)"', text))):
        to, data = await ask("GET", address, "")
        if to:  # made as long work
            await ask("GET", to, "")
            to, data = await ask("GET", address, "")
        found[f"{folder} {address.rsplit('/', 1)[1]}"] = data
    assert found, f"no file on {page}"
    return found
