"""The one file, opened from the disk in Chromium: the whole story, and what is saved."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import BrowserContext, expect

from story import live
from tabs import check_axe, open_tab, save_a_question


def test_what_is_saved_is_there_after_a_reload(
    context: BrowserContext, one_file: Path, tmp_path: Path
) -> None:
    """Opened by a double click, worked with, carried away, opened again, brought in; nothing comes from elsewhere."""
    asked: list[str] = []
    context.on("request", lambda request: asked.append(request.url))
    tab = open_tab(context, one_file.as_uri())
    expect(tab.locator("h1")).to_contain_text("8.875 − 3.6875")  # drawn when the file was made
    tab.started()
    check_axe(tab)
    live(tab.as_page, "")
    save_a_question(tab)
    expect(tab.page.locator("#keeping")).to_contain_text("Saved in this browser, on this computer only")
    with tab.page.expect_download() as carried:
        tab.page.get_by_role("button", name="Carry everything away").click()
    assert carried.value.suggested_filename == "chalkpoint.jsonl"
    carried.value.save_as(tmp_path / "chalkpoint.jsonl")
    expect(tab.page.locator("#keeping")).to_be_hidden()
    tab.page.reload()
    tab.started().goto("/kept")
    expect(tab.get_by_role("listitem").filter(has_text="question")).to_have_text("question 1")
    tab.goto("/work")
    expect(tab.get_by_role("link", name="7.625 − 2.4375")).to_be_visible()
    tab.goto("/set")
    expect(tab.get_by_role("link", name="Readings of the bed gauge", exact=True).first).to_be_visible()
    tab.goto("/kept")
    tab.get_by_label("Bring in what was carried away").set_input_files(tmp_path / "chalkpoint.jsonl")
    tab.get_by_role("button", name="Bring it in").click()
    expect(tab.get_by_role("status")).to_have_text("Nothing was brought in: all of it is here already.")
    assert [url for url in asked if not url.startswith(("file:", "blob:", "data:", "about:"))] == []
