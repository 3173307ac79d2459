"""What a tab does on other machines and in other browsers; by a command of its own: pytest -m tab tests/web/tab."""

from __future__ import annotations

import base64
import hashlib
import json
import socket
import subprocess
import sys
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, expect

from browser import ARGUMENTS, chromium
from chalkpoint.records import kept, migrate, teachers
from chalkpoint.records.store import open_store
from marionette import open_firefox
from story import live
from tabs import Built, open_tab, served

pytestmark = pytest.mark.tab
QUESTION = (
    "operation=subtract&operands=8.875,+3.6875&format=8%2B4",
    ["subtract", "8.875", "3.6875", "--format", "8+4"],
)


def test_the_story_on_one_file(context: BrowserContext, built: Built) -> None:
    """The whole story from the disk."""
    live(open_tab(context, built.file.as_uri()).started().as_page, "")


def test_the_story_over_plain_http(context: BrowserContext, built: Built) -> None:
    """By the machine's own address, where browsers refuse service workers and locks; a second tab waits there too."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.connect(("192.0.2.1", 9))  # nothing is sent; the system names the address it would use
        host = probe.getsockname()[0]
    with served(built.folder, host) as address:
        tab = open_tab(context, f"{address}/").started()
        assert not tab.page.evaluate("isSecureContext")
        live(tab.as_page, "")
        second = open_tab(context, f"{address}/")
        expect(second.page.locator("#only")).to_contain_text("open in another tab")
        tab.page.close()
        second.started().goto("/set")
        expect(second.get_by_role("link", name="Readings of the bed gauge", exact=True).first).to_be_visible()


def test_storage_that_is_refused_is_said(browser: Browser, built: Built, tmp_path: Path) -> None:
    """Everything works, the page says that nothing is kept, and nothing is after a reload."""
    profile = tmp_path / "Default"
    profile.mkdir()
    refusing = {"profile": {"default_content_setting_values": {"cookies": 2}}}
    (profile / "Preferences").write_text(json.dumps(refusing))
    with served(built.folder) as address:
        context = browser.browser_type.launch_persistent_context(
            tmp_path, executable_path=chromium(), args=ARGUMENTS
        )
        tab = open_tab(context, f"{address}/").started()
        expect(tab.page.locator("#keeping")).to_contain_text("This browser keeps nothing for this page")
        tab.goto(f"/work?{QUESTION[0]}")
        expect(tab.locator("h1")).to_contain_text("8.875 − 3.6875")
        context.close()


def test_papers_and_json_are_the_native_ones(context: BrowserContext, built: Built, tmp_path: Path) -> None:
    """Byte for byte: a working as PDF and as JSON."""
    tab = open_tab(context, built.file.as_uri()).started()
    chalkpoint = [sys.executable, "-m", "chalkpoint", "work", *QUESTION[1]]
    native = subprocess.run([*chalkpoint, "--json"], capture_output=True, check=True).stdout
    assert json.loads(tab.get(f"/work/working.json?{QUESTION[0]}").body()) == json.loads(native)
    subprocess.run([*chalkpoint, "--pdf", str(tmp_path / "one.pdf")], capture_output=True, check=True)
    assert digest(tab.get(f"/work/working.pdf?{QUESTION[0]}").body()) == digest(
        (tmp_path / "one.pdf").read_bytes()
    )


def test_an_update_keeps_what_the_build_before_it_kept(
    context: BrowserContext, built: Built, tmp_path: Path
) -> None:
    """The tables of an earlier build, with a question kept in them, are brought up to date where they are."""
    store = open_store(f"sqlite:///{(tmp_path / 'chalkpoint.db').as_posix()}")
    with store.write() as db:
        kept.keep(db, teachers.local_teacher(db).id, "question", "Of an earlier build", "{}")
    migrate.downgrade(store.engine, "-1")
    store.close()
    data = base64.b64encode((tmp_path / "chalkpoint.db").read_bytes()).decode()
    tab = open_tab(context, built.file.as_uri()).started()
    put = "async (text) => chalkpoint.keeping.write({ 'chalkpoint.db': Uint8Array.fromBase64(text) })"
    tab.page.evaluate(put, data)
    tab.page.reload()
    tab.started().goto("/kept")
    expect(tab.locator("main")).to_contain_text("question 1")


def digest(data: bytes) -> str:
    """Return what tells files apart."""
    return hashlib.sha256(data).hexdigest()


@pytest.mark.parametrize("way", ["folder", "file"])
def test_the_main_path_in_firefox(built: Built, tmp_path: Path, way: str) -> None:
    """Another engine: worked, kept, printed, there again after a reload."""
    with served(built.folder) as address, open_firefox(tmp_path) as firefox:
        firefox.goto(f"{address}/" if way == "folder" else built.file.as_uri())
        begun = "window.chalkpoint?.notes.first || window.chalkpoint?.notes.broken"
        firefox.until(begun)
        assert firefox.evaluate("chalkpoint.notes.broken ?? ''") == ""
        page = "document.querySelector('iframe:not(.coming)').contentDocument"
        firefox.evaluate(f"location.hash = '/work?{QUESTION[0]}'")
        firefox.until("!chalkpoint.busy()")
        buttons = f"[...{page}.querySelectorAll('button')]"
        firefox.evaluate(f"{buttons}.find((one) => one.textContent.startsWith('Keep')).click()")
        firefox.until("chalkpoint.keeping.made > 0")
        asked = f"chalkpoint.ask('GET', '/work/working.pdf?{QUESTION[0]}')"
        first = "(answer) => new TextDecoder().decode(answer.body.slice(0, 5))"
        assert firefox.evaluate(f"{asked}.then({first})") == "%PDF-"
        firefox.evaluate("location.reload()")
        firefox.until(begun)
        firefox.evaluate("location.hash = '/work'")
        firefox.until(f"!chalkpoint.busy() && {page}.body.textContent.includes('8.875 − 3.6875')")
