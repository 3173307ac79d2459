"""The whole tool in a browser's tab: from a folder in a server's subfolder, and from one file on the disk.

By a command of its own, since the files are built first: pytest -m tab tests/web/tab.
"""

from __future__ import annotations

import re
import shutil
from base64 import b64decode
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import BrowserContext, expect

from story import live
from tabs import Built, Tab, open_tab, served

pytestmark = pytest.mark.tab
MB = 1_000_000
KEPT = "8.875 − 3.6875"


def reload(tab: Tab) -> Tab:
    """Open the same page anew."""
    tab.page.reload()
    return tab.started()


def keep_a_question(tab: Tab) -> None:
    """Work the question that stands from the beginning, and keep it."""
    tab.goto("/work?operation=subtract&operands=8.875,+3.6875&format=8%2B4")
    tab.get_by_role("button", name="Keep").first.click()
    tab.until("chalkpoint.keeping.made > 0")


def check_axe(tab: Tab) -> None:
    """Nothing is found in the page around the app, nor in the app's own."""
    for frame in tab.page.frames:
        found = Axe().run(frame)  # a frame evaluates as a page does
        assert found.violations_count == 0, found.generate_report()


def test_the_story_in_a_subfolder_and_without_the_server(
    context: BrowserContext, built: Built, tmp_path: Path
) -> None:
    """A drawn working stands at once; the whole story passes; a second tab waits; a stopped server is not missed."""
    shutil.copytree(built.folder, tmp_path / "maths" / "chalk")
    with served(tmp_path) as address:
        tab = open_tab(context, f"{address}/maths/chalk/")
        expect(tab.locator("h1")).to_contain_text(KEPT)  # before Python is there
        assert not tab.page.evaluate("chalkpoint.notes.ready ?? 0")
        tab.started()
        check_axe(tab)
        live(tab.as_page, "")
        second = open_tab(context, f"{address}/maths/chalk/")
        expect(second.page.locator("#only")).to_contain_text("open in another tab")
    tab.goto("/work?operation=add&operands=1.5,+2.25&format=8%2B4")
    expect(tab.locator("h1")).to_contain_text("1.5 + 2.25")
    tab.goto("/set")
    expect(tab.get_by_role("link", name="Readings of the bed gauge", exact=True).first).to_be_visible()
    tab.page.close()
    second.started()  # by itself, and without the server
    second.goto("/set")
    expect(second.get_by_role("link", name="Readings of the bed gauge", exact=True).first).to_be_visible()
    reload(second).goto("/teach")
    expect(second.locator("main")).to_contain_text("A second look")


def test_one_file_from_the_disk_keeps_what_was_done(context: BrowserContext, built: Built) -> None:
    """Opened by a double click: worked, kept, there again after a reload; what it keeps is said until carried away."""
    asked: list[str] = []
    context.on("request", lambda request: asked.append(request.url))
    tab = open_tab(context, built.file.as_uri()).started()
    check_axe(tab)
    keep_a_question(tab)
    expect(tab.page.locator("#keeping")).to_contain_text("Kept in this browser on this computer")
    with tab.page.expect_download() as carried:
        tab.page.get_by_role("button", name="Carry everything away").click()
    assert carried.value.suggested_filename == "chalkpoint.jsonl"
    expect(tab.page.locator("#keeping")).to_be_hidden()
    reload(tab).goto("/work")
    expect(tab.locator("main")).to_contain_text(KEPT)
    assert [url for url in asked if not url.startswith(("file:", "blob:", "data:", "about:"))] == []


def test_the_parts_are_as_small_as_was_promised(built: Built) -> None:
    """As stored, no server setting needed: Python, engine, pages and web app together at most 12 MB."""
    sizes = {path.name: path.stat().st_size for path in built.folder.rglob("*") if path.is_file()}
    later = sum(size for name, size in sizes.items() if name.startswith(("print-", "sheets-", "typst-")))

    assert sum(sizes.values()) - later <= 12 * MB
    assert max(sizes.values()) <= 4 * MB


def test_the_same_input_gives_the_same_bytes(built: Built) -> None:
    """The engine is built for the folder and for the file, each for itself."""
    page = built.file.read_text(encoding="utf-8")
    for name in ("engine", "site", "stdlib"):
        inside = re.search(rf'id="part-{name}">([^<]+)<', page)
        assert inside
        beside = b"".join(path.read_bytes() for path in sorted(built.folder.glob(f"parts/{name}-*")))
        assert b64decode(inside[1]) == beside
