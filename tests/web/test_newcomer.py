"""The first hour: from an empty database to paper, marks and board, by clicks alone and few of them."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from chalkpoint.records.store import open_store
from conftest_web import Served, serve

MAKING = 60_000  # milliseconds that papers take to be made, on a machine that does much else


class Newcomer:
    """Somebody who only clicks what the page shows, and whose clicks are counted."""

    def __init__(self, page: Page, address: str) -> None:
        """Open the address that the command prints."""
        self.page, self.clicks = page, 0
        page.set_default_timeout(MAKING)
        page.goto(f"{address}/work")

    def click(self, role: str, name: str) -> None:
        """Click the first link or button of that name."""
        self.page.get_by_role(role, name=name).first.click()  # type: ignore[arg-type]
        self.clicks += 1
        self.page.wait_for_url(lambda url: "/jobs/" not in url)  # work under way leads on by itself

    def fetch(self, name: str) -> bytes:
        """Click a link to a file that the browser would show or print, and return the file."""
        where = self.page.get_by_role("link", name=name).first.get_attribute("href")
        self.clicks += 1
        return self.page.request.get(f"{self.page.url.split('/set')[0]}{where}").body()


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A server on which nothing is kept."""
    folder = tmp_path_factory.mktemp("newcomer")
    store = open_store(f"sqlite:///{(folder / 'chalkpoint.db').as_posix()}")
    with serve(store, folder / "made") as running:
        yield running


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_a_newcomer_gets_paper_marks_and_a_board(browser: Browser, empty: Served, script: bool) -> None:
    """At most 6 clicks to a board, 12 to a printed paper with its scheme, 10 to the marks of a class."""
    context = browser.new_context(java_script_enabled=script, viewport={"width": 1280, "height": 800})

    who = Newcomer(context.new_page(), empty.address)
    who.click("link", "teach")
    who.click("link", "Show it on the board")
    expect(who.page.get_by_text("Taking one reading from another").first).to_be_visible()
    assert who.clicks <= 6

    who = Newcomer(context.new_page(), empty.address)
    who.click("link", "teach")
    who.click("button", "Try a live class with your own phone")
    expect(who.page.locator("main")).to_contain_text("8.875")
    assert "/teach/rooms/" in who.page.url

    who = Newcomer(context.new_page(), empty.address)
    who.click("link", "set")
    who.click("button", "Make this test, in 5 variants")
    assert who.fetch("Print the papers").startswith(b"%PDF")
    assert who.fetch("mark-schemes.pdf").startswith(b"%PDF")
    assert who.clicks <= 12

    who = Newcomer(context.new_page(), empty.address)
    who.click("link", "mark")
    who.click("button", "Mark an example class of 12")
    expect(who.page.locator("main")).to_contain_text("H02")
    assert who.clicks <= 10
    who.page.goto(f"{empty.address}/kept")
    who.click("button", "Remove all")
    context.close()


@pytest.mark.parametrize("place", ["work", "find", "set", "mark", "teach"])
def test_the_main_action_of_each_place_is_seen_without_scrolling(
    browser: Browser, empty: Served, place: str
) -> None:
    """At 1280 by 800 the first main action stands whole on the first screen."""
    page = browser.new_page(viewport={"width": 1280, "height": 800})
    page.goto(f"{empty.address}/{place}")
    box = page.locator(".main:visible").first.bounding_box()
    assert box is not None
    assert box["y"] + box["height"] <= 800
    page.close()
