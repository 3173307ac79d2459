"""The folder on a server, in Chromium: in a subfolder, over plain HTTP, without its server, and with storage refused.

What is marked takes longer than all tests together have room for: pytest -m tab tests/web/tab.
"""

from __future__ import annotations

import json
import shutil
import socket
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, expect

from browser import ARGUMENTS, chromium
from chalkpoint.web.tab.bundles import LATER
from story import live
from tabfiles import check_same_files
from tabs import Tab, build, check_axe, open_tab, save_a_question, served

MB = 1_000_000


def expect_papers(tab: Tab) -> None:
    """What the story left is there."""
    tab.goto("/set")
    expect(tab.get_by_role("link", name="Readings of the bed gauge", exact=True).first).to_be_visible()


def test_the_story_in_a_subfolder_and_without_the_server(
    context: BrowserContext, folder: Path, tmp_path: Path
) -> None:
    """A drawn working stands at once; the whole story passes; a second tab waits; a stopped server is not missed.

    The first PDF tells how far what makes it has come, and every file that is made is the native one.
    """
    shutil.copytree(folder, tmp_path / "maths" / "chalk")
    asked: list[str] = []
    context.on("request", lambda request: asked.append(request.url))
    with served(tmp_path) as address:
        tab = open_tab(context, f"{address}/maths/chalk/")
        expect(tab.locator("h1")).to_contain_text("8.875 − 3.6875")  # before Python is there
        assert not tab.page.evaluate("chalkpoint.notes.ready ?? 0")
        tab.started()
        check_axe(tab)
        told = busy_words(tab)
        live(tab.as_page, "")
        assert "Bringing in what makes PDF files: 3 of 7" in told()
        second = open_tab(context, f"{address}/maths/chalk/")
        expect(second.page.locator("#only")).to_contain_text("open in another tab")
    check_same_files(tab, tmp_path / "native")  # nothing more is asked of the server
    second.get_by_role("link", name="find", exact=True).click()
    expect(second.page.locator("#busy")).to_contain_text("This is done when the other tab is closed")
    tab.page.close()
    second.started().rest()  # by itself, and without the server
    expect(second.locator("h1")).to_contain_text("Find questions")
    expect_papers(second)
    assert [
        url for url in asked if not url.startswith((f"{address}/maths/chalk/", "blob:", "data:", "about:"))
    ] == []


def busy_words(tab: Tab) -> Callable[[], list[str]]:
    """Write down what the page says while it works; return what tells it."""
    tab.page.evaluate("""() => {
        const words = document.getElementById("busy-words");
        window.told = [];
        new MutationObserver(() => told.push(words.textContent)).observe(words, { childList: true });
    }""")
    return lambda: list(tab.page.evaluate("told"))


@pytest.mark.tab
def test_the_story_over_plain_http(context: BrowserContext, folder: Path) -> None:
    """By the machine's own address, where browsers refuse service workers and locks; a second tab waits there too."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.connect(("192.0.2.1", 9))  # nothing is sent; the system names the address it would use
        host = probe.getsockname()[0]
    with served(folder, host) as address:
        tab = open_tab(context, f"{address}/").started()
        assert not tab.page.evaluate("isSecureContext")
        live(tab.as_page, "")
        second = open_tab(context, f"{address}/")
        expect(second.page.locator("#only")).to_contain_text("open in another tab")
        tab.page.close()
        expect_papers(second.started())
        check_no_other_is_written_over(second)


def check_no_other_is_written_over(tab: Tab) -> None:
    """Where another tab wrote all the same, this one says that it saves no more, and leaves what the other wrote."""
    tab.page.evaluate("""() => new Promise((done) => {
        const other = chalkpoint.keeping.database.transaction("files", "readwrite");
        other.objectStore("files").put({ revision: 1e6, made: 1, carried: 0 }, "state");
        other.oncomplete = () => done();
    })""")
    save_a_question(tab)
    expect(tab.page.get_by_role("alert")).to_contain_text(
        "This tab saves nothing more: another tab has saved"
    )
    assert "state" in tab.page.evaluate(
        "chalkpoint.keeping.read().then(() => 'state ' + chalkpoint.keeping.revision)"
    )
    assert tab.page.evaluate("chalkpoint.keeping.revision") == 1e6


@pytest.mark.tab
def test_a_new_version_of_the_folder_opens_without_its_server_too(
    context: BrowserContext, folder: Path, tmp_path: Path
) -> None:
    """What was saved is there, and so is all that the new version is made of, after one visit to it.

    What was never wanted is not: the page says so in a sentence.
    """
    here = tmp_path / "chalk"
    shutil.copytree(folder, here)
    with served(here) as address:
        tab = open_tab(context, f"{address}/").started()
        save_a_question(tab)
        in_another_version(here)
        tab.page.reload()
        tab.started()
        registered = (
            "navigator.serviceWorker.getRegistration().then((one) => !one.installing && !one.waiting && "
        )
        tab.until(f"{registered} one.active?.state === 'activated')")
    tab.page.reload()
    tab.started().goto("/kept")
    expect(tab.get_by_role("listitem").filter(has_text="question")).to_have_text("question 1")
    tab.goto("/work/working.pdf?operation=subtract&operands=7.625,+2.4375&format=8%2B4")
    refused = "What makes PDF files is fetched when it is first wanted, and the server does not answer"
    expect(tab.locator("main")).to_contain_text(refused)


def in_another_version(folder: Path) -> None:
    """Change what the folder's parts are called, as another version's are."""
    (part,) = folder.glob("parts/lock-*")
    part.rename(part.with_name("lock-other-1.gz"))
    for name in ("index.html", "offline.js"):
        text = (folder / name).read_text(encoding="utf-8")
        assert part.name in text
        (folder / name).write_text(text.replace(part.name, "lock-other-1.gz"), encoding="utf-8")


def test_storage_that_is_refused_is_said(browser: Browser, folder: Path, tmp_path: Path) -> None:
    """Everything works, the page says that nothing is saved, nothing is after a reload, and a file carries it."""
    profile = tmp_path / "Default"
    profile.mkdir()
    refusing = {"profile": {"default_content_setting_values": {"cookies": 2}}}
    (profile / "Preferences").write_text(json.dumps(refusing))
    with served(folder) as address:
        context = browser.browser_type.launch_persistent_context(
            tmp_path, executable_path=chromium(), args=ARGUMENTS
        )
        tab = open_tab(context, f"{address}/").started()
        expect(tab.page.get_by_role("alert")).to_contain_text("This browser saves nothing for this page")
        save_a_question(tab)
        expect(tab.get_by_role("link", name="7.625 − 2.4375")).to_be_visible()
        assert tab.page.evaluate("!window.dispatchEvent(new Event('beforeunload', { cancelable: true }))")
        with tab.page.expect_download() as carried:
            tab.page.get_by_role("button", name="Carry everything away").click()
        carried.value.save_as(tmp_path / "chalkpoint.jsonl")
        assert tab.page.evaluate("window.dispatchEvent(new Event('beforeunload', { cancelable: true }))")
        tab.page.reload()
        tab.started().page.get_by_role("button", name="Bring it in").click()
        questions = tab.get_by_role("listitem").filter(has_text="question")
        expect(questions).to_have_text("question 0")
        tab.get_by_label("Bring in what was carried away").set_input_files(tmp_path / "chalkpoint.jsonl")
        tab.get_by_role("button", name="Bring it in").click()
        expect(questions).to_have_text("question 1")
        context.close()


def test_the_folder_from_a_disk_or_a_share_says_what_opens_there(
    context: BrowserContext, folder: Path
) -> None:
    """A browser gives a page from there none of its parts; a click meanwhile waits for nothing."""
    tab = open_tab(context, (folder / "index.html").as_uri())
    expect(tab.page.get_by_role("alert")).to_contain_text("open the one file instead")
    tab.get_by_role("link", name="find", exact=True).click()
    expect(tab.page.locator("#busy")).to_be_hidden()


def test_the_parts_are_as_small_as_was_promised(folder: Path) -> None:
    """As stored, no server setting needed: Python, engine, pages and web app together at most 12 MB."""
    sizes = {path.name: path.stat().st_size for path in folder.rglob("*") if path.is_file()}
    later = sum(size for name, size in sizes.items() if name.partition("-")[0] in LATER)

    assert sum(sizes.values()) - later <= 12 * MB
    assert max(sizes.values()) <= 4 * MB


@pytest.mark.tab
def test_the_same_input_gives_the_same_bytes(one_file: Path, tmp_path: Path) -> None:
    """Built anew by its command, the one file is the one that the folder's parts make."""
    made = tmp_path / "chalkpoint.html"
    assert build(made, "--one-file").returncode == 0
    assert made.read_bytes() == one_file.read_bytes()
