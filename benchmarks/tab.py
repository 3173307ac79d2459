"""What the whole tool costs in a browser's tab: sizes, the processor's time to the first page, and the ratio to native.

    python benchmarks/tab.py

Builds the files, opens the folder in Chromium (Linux only: the processor's time is read from /proc), cold and warm, and
asks the same pages of the app in the tab and of the app in this process. Ratios are of the quickest of several times.
"""

from __future__ import annotations

import asyncio
import csv
import io
import json
import re
import sys
import tempfile
from collections.abc import Awaitable, Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from time import perf_counter, process_time, sleep
from typing import TypeAlias
from urllib.parse import urlencode

from playwright.sync_api import Page, sync_playwright

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from browser import ARGUMENTS, chromium
from chalkpoint.marking.ways import Way, held_method
from chalkpoint.setting.paperfile import papers_from
from chalkpoint.web.tab.bundles import LATER
from chalkpoint.web.tab.inside import start
from chalkpoint.web.tab.writing import write_folder, write_one_file
from chalkpoint.working.procedures import answer_by
from tabs import Tab, served

TICKS = 100  # of the processor's time in a second, as Linux counts
PUPILS = 30
TURNS = 4

FORM = "application/x-www-form-urlencoded"
BLUEPRINT = """title = "Levels"
[[question]]
operation = "subtract"
[[question]]
operation = "decode"
"""
GETS = {
    "work": ("/work", {"operation": "subtract", "operands": "8.875, 3.6875", "format": "8+4"}),
    "find 24+8": ("/find", {"operation": "subtract", "format": "24+8", "where": "lost-ones >= 3"}),
    "judge": ("/mark/question", {"question": "subtract 8.875, 3.6875", "answer": "0.1010100 0011"}),
}
Ask: TypeAlias = Callable[[str, str, dict[str, str]], Awaitable[tuple[float, str, str]]]


def main() -> None:
    """Print the figures."""
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as made:
        folder = Path(made) / "folder"
        print_sizes(folder, Path(made) / "chalkpoint.html")
        with served(folder) as address, sync_playwright() as playwright:
            profile = Path(made) / "profile"
            for name, asked in (("cold", 12), ("warm", 8)):
                context = playwright.chromium.launch_persistent_context(
                    profile, executable_path=chromium(), args=ARGUMENTS
                )
                sleep(2)
                before = processor_time(profile)
                page = context.pages[0]
                page.goto(f"{address}/")
                tab = Tab(page).started()
                spent = processor_time(profile) - before
                notes = tab.page.evaluate("chalkpoint.notes")
                took = notes["first"] / 1000
                print(f"first page {name}: {spent:.1f} s of the processor (asked {asked}), {took:.1f} s")
                if name == "warm":
                    ratios(page)
                sleep(1)
                context.close()


def print_sizes(folder: Path, file: Path) -> None:
    """Build the folder and the one file, and print what it takes and how large they are."""
    began = process_time()
    write_folder(folder)
    print(f"built in {process_time() - began:.0f} s of the processor, and node's time")
    one = write_one_file(file)
    sizes = {path.name: path.stat().st_size for path in folder.rglob("*") if path.is_file()}
    later = sum(size for name, size in sizes.items() if name.partition("-")[0] in LATER)
    print(
        f"Python, engine, pages, web app: {(sum(sizes.values()) - later) / 1e6:.2f} MB as stored (asked 12)"
    )
    print(f"PDF, sheets, updates, at the first use: {later / 1e6:.1f} MB; the one file: {one / 1e6:.1f} MB")


def processor_time(profile: Path) -> float:
    """Return the seconds that the browser of a profile and all of its processes have spent."""
    parents, spent, roots = {}, {}, set()
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = stat.read_text().rsplit(")", 1)[1].split()
            words = (stat.parent / "cmdline").read_text()
        except OSError:
            continue
        number = stat.parent.name
        parents[number], spent[number] = fields[1], (int(fields[11]) + int(fields[12])) / TICKS
        if str(profile) in words and "--type=" not in words:
            roots.add(number)
    found = roots
    while more := {number for number, parent in parents.items() if parent in found} - found:
        found = found | more
    return sum(spent[number] for number in found)


def ratios(page: Page) -> None:
    """Print what each thing takes in the tab and in this process."""

    async def in_the_tab(method: str, path: str, fields: dict[str, str]) -> tuple[float, str, str]:
        words = {"method": method, "path": path, "fields": urlencode(fields), "form": FORM}
        script = """async ({ method, path, fields, form }) => {
            const began = performance.now();
            const answer = method === "GET"
                ? await chalkpoint.ask("GET", fields ? path + "?" + fields : path)
                : await chalkpoint.ask("POST", path, [["content-type", form]], new TextEncoder().encode(fields).buffer);
            return [performance.now() - began, answer.heads.location ?? "", new TextDecoder().decode(answer.body)];
        }"""
        took, to, body = page.evaluate(script, words)
        return took / 1000, to, body

    async def natively() -> dict[str, float]:
        with tempfile.TemporaryDirectory() as folder:
            async with await start(str(Path(folder) / "kept")) as tab:  # what it made lies beside it

                async def ask(method: str, path: str, fields: dict[str, str]) -> tuple[float, str, str]:
                    sent = urlencode(fields)
                    began = perf_counter()
                    query, body = ("", sent.encode()) if method == "POST" else (sent, b"")
                    _, heads, page = await tab.ask(method, path, query, [("content-type", FORM)], body)
                    return (
                        perf_counter() - began,
                        dict(heads).get("location", ""),
                        page.decode("utf-8", "replace"),
                    )

                return await timed(ask)

    with ThreadPoolExecutor(1) as apart:  # where the browser's loop does not run
        native = apart.submit(asyncio.run, natively()).result()
    inside = wait_for(timed(in_the_tab))
    for name, took in inside.items():
        print(
            f"{name}: {took:.2f} s in the tab, {native[name]:.2f} s native, ratio {took / native[name]:.1f}"
        )


def wait_for(story: Awaitable[dict[str, float]]) -> dict[str, float]:
    """Return what a story that never waits returns; the browser's own loop runs already."""
    try:
        story.__await__().send(None)  # type: ignore[attr-defined]
    except StopIteration as ended:
        return dict(ended.value)
    raise AssertionError("it waited")


async def timed(ask: Ask) -> dict[str, float]:
    """Return the seconds of each thing asked."""
    took = {}
    for name, (path, fields) in GETS.items():
        more = [{"seed": str(turn)} if "find" in name else {} for turn in range(TURNS)]  # a search is kept
        took[name] = min([(await ask("GET", path, fields | one))[0] for one in more])
    page = (await ask("GET", "/set/new", {}))[2]
    token = re.search(r'name="token" value="(\w+)"', page)
    assert token
    own = {"token": token[1]}
    _, blueprint, _ = await ask("POST", "/set/new", own | {"blueprint": BLUEPRINT})
    wanted = own | {"variants": str(PUPILS), "seed": "7"}
    took["set 30, with PDF"], job, _ = await ask("POST", f"{blueprint}/set", wanted)
    _, papers, _ = await ask("GET", job, {})
    body = (await ask("GET", f"{papers}/files/papers.json", {}))[2]
    answers = own | {"pasted": sheet(body)}
    took["mark 30"], _, _ = await ask("POST", f"{papers.replace('/set/', '/mark/')}/answers", answers)
    return took


def sheet(body: str) -> str:
    """Return a right answer of each pupil, as cells from a sheet."""
    papers = papers_from(json.loads(body))
    out = io.StringIO()
    rows = csv.writer(out, delimiter="\t", lineterminator="\n")
    rows.writerow(["student", "variant", *(str(asked.number) for asked in papers.first.questions)])
    for variant in papers.variants.values():
        given = [
            answer_by(
                held_method(Way(), asked.question.operation.name, asked.question.course), asked.question
            )
            for asked in variant.questions
        ]
        rows.writerow([f"H{variant.variant:02}", variant.variant, *given])
    return out.getvalue()


if __name__ == "__main__":
    main()
