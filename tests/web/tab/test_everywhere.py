"""The one file on other ways: Firefox; long work that is stopped, what scripts ask, a take, an update.

What is marked takes longer than all tests together have room for: pytest -m tab tests/web/tab.
"""

from __future__ import annotations

import base64
import json
import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, expect

from browser import ARGUMENTS, chromium
from marionette import open_firefox
from tabs import EARLIER, open_tab, save_a_question, served

QUESTION = "operation=subtract&operands=7.625,+2.4375&format=8%2B4"


@pytest.mark.tab
def test_long_work_tells_how_far_it_is_and_can_be_stopped(context: BrowserContext, one_file: Path) -> None:
    """What was saved before is still there, and the tab goes on."""
    tab = open_tab(context, one_file.as_uri()).started()
    save_a_question(tab)
    tab.goto("/set/new")
    tab.get_by_label("Title").fill("Readings of the bed gauge")
    tab.get_by_role("button", name="Save", exact=True).first.click()
    tab.get_by_label("Papers, one for each pupil").fill("200")
    tab.get_by_role("button", name="Set papers").click()
    expect(tab.page.locator("#busy")).to_contain_text(re.compile(r"Working: \d+ of \d+"))
    tab.page.get_by_role("button", name="Stop").click()
    expect(tab.page.locator("#busy")).to_contain_text("It was stopped. Python is starting again.")
    expect(tab.page.locator("#busy")).to_be_hidden()
    tab.goto("/kept")
    items = tab.get_by_role("listitem")
    expect(items.filter(has_text="question")).to_have_text("question 1")
    expect(items.filter(has_text="papers")).to_have_text("papers 0")


@pytest.mark.tab
def test_what_pages_ask_by_script_comes_from_the_app(context: BrowserContext, one_file: Path) -> None:
    """Pictures of the sides, a form that saves itself, and answers entered by keys alone, each saved as it is typed."""
    tab = open_tab(context, one_file.as_uri()).started()
    tab.goto("/set/new")
    tab.get_by_label("Title").fill("Readings of the bed gauge")
    tab.get_by_role("button", name="Save", exact=True).first.click()
    tab.rest()  # what makes pictures comes first
    picture = tab.locator("figure img").first
    expect(picture).to_be_visible()
    assert picture.evaluate("(one) => one.decode().then(() => one.naturalWidth)") > 300
    tab.get_by_label("Title").fill("Readings of the tide pole")
    tab.get_by_label("Title").press("Tab")  # saved by itself
    expect(tab.locator("figure img").first).to_be_visible()
    tab.get_by_label("Papers, one for each pupil").fill("1")
    tab.get_by_role("button", name="Set papers").click()
    tab.rest()
    expect(tab.locator("h1")).to_have_text("Readings of the tide pole")
    papers = tab.url
    tab.goto(f"{papers.replace('/set/', '/mark/')}/enter")
    tab.get_by_label("Pupil's code").fill("H01")
    tab.get_by_label("Pupil's code").press("Enter")
    for _ in range(tab.locator("[data-q]").count()):
        tab.page.keyboard.press("Enter")  # as expected
    expect(tab.locator(".mk b").first).to_be_visible()
    tab.locator("#next").press("Enter")
    tab.wait_for_url("*last=H01*")
    tab.goto(papers)
    expect(tab.get_by_role("link", name="Mark them (1 script)")).to_be_visible()


@pytest.mark.tab
def test_a_take_is_recorded_on_the_board(browser: Browser, one_file: Path, tmp_path: Path) -> None:
    """From the disk, where no two pages are of one origin, the board is given the microphone all the same."""
    microphone = ["--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream"]
    context = browser.browser_type.launch_persistent_context(
        tmp_path, executable_path=chromium(), args=[*ARGUMENTS, *microphone]
    )
    tab = open_tab(context, one_file.as_uri()).started()
    tab.goto("/teach/example")
    tab.locator("#record").click()
    expect(tab.locator("#said")).to_have_text("Recording.")
    tab.get_by_role("button", name="next").click()
    with tab.page.expect_download() as saved:
        tab.locator("#record").click()
    saved.value.save_as(tmp_path / "lesson.take")
    take = json.loads((tmp_path / "lesson.take").read_text())
    assert len(take["turns"]) == 2
    assert take["sound"].startswith("data:audio/")
    context.close()


@pytest.mark.tab
def test_an_update_keeps_what_a_build_before_it_saved(context: BrowserContext, one_file: Path) -> None:
    """What another build saved here is brought up to date; what a newer one saved is refused, and rescued."""
    tab = open_tab(context, one_file.as_uri()).started()
    put = "async (text) => chalkpoint.keeping.write({ 'chalkpoint.db': Uint8Array.fromBase64(text) })"
    tab.page.evaluate(put, base64.b64encode(EARLIER).decode())
    tab.page.reload()
    tab.started().goto("/kept")
    items = tab.get_by_role("listitem")
    for saved in ("question 1", "blueprint 1", "papers 1"):
        expect(items.filter(has_text=saved.split()[0]).first).to_have_text(saved)
    newer = EARLIER.replace(b"0005", b"0099")
    assert newer != EARLIER
    tab.page.evaluate(put, base64.b64encode(newer).decode())
    tab.page.reload()
    expect(tab.page.get_by_role("alert")).to_contain_text("made by a newer version of Chalkpoint")
    with tab.page.expect_download() as rescued:
        tab.page.get_by_role("button", name="Save what was made here as a file").click()
    assert rescued.value.path().read_bytes() == newer


@pytest.mark.parametrize("way", [pytest.param("folder", marks=pytest.mark.tab), "file"])
def test_the_main_path_in_firefox(folder: Path, one_file: Path, tmp_path: Path, way: str) -> None:
    """Another engine: worked, saved, printed, there again after a reload."""
    with served(folder) as address, open_firefox(tmp_path) as firefox:
        firefox.goto(f"{address}/" if way == "folder" else one_file.as_uri())
        begun = "window.chalkpoint?.notes.first || window.chalkpoint?.notes.broken"
        firefox.until(begun)
        assert firefox.evaluate("chalkpoint.notes.broken ?? ''") == ""
        page = "document.querySelector('iframe:not(.coming)').contentDocument"
        firefox.evaluate(f"location.hash = '/work?{QUESTION}'")
        firefox.until(f"!chalkpoint.busy() && {page}.querySelector('h1')?.textContent.includes('7.625')")
        buttons = f"[...{page}.querySelectorAll('button')]"
        firefox.evaluate(f"{buttons}.find((one) => one.textContent === 'Save').click()")
        firefox.until("chalkpoint.keeping.made > 0")
        asked = f"chalkpoint.ask('GET', '/work/working.pdf?{QUESTION}')"
        first = "(answer) => new TextDecoder().decode(answer.body.slice(0, 5))"
        assert firefox.evaluate(f"{asked}.then({first})") == "%PDF-"
        firefox.reload()
        firefox.until(begun)
        firefox.evaluate("location.hash = '/work'")
        firefox.until(f"!chalkpoint.busy() && {page}.body?.textContent.includes('7.625 − 2.4375')")
