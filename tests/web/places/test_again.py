"""The class page: Monday first, and each thing to teach again a step from the board, practice and a live class.

Three of five invert without adding one, in eight questions; what they lose there is what Monday begins with.
"""

from __future__ import annotations

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser

from chalkpoint.records.store import Store
from conftest_web import Client, Served, start_at
from web.places.test_marking import believing, eight


@pytest.fixture
def papers(client: Client, store: Store) -> str:
    """The address of papers that were marked."""
    client.get("/work")
    papers = eight(store, "Gauges")
    client.submit(f"{papers}/answers", pasted=believing())
    return papers


def test_monday_comes_before_decisions_and_figures(client: Client, papers: str) -> None:
    """Who needs what again, by marks lost; then what is to be decided; then figures."""
    said = client.said(f"{papers}/report")
    assert (
        said.index("Monday")
        < said.index("Decisions left")
        < said.index("Marks by question")
        < said.index("Skills")
    )
    assert "1 thing to teach again" in said
    assert re.search(r"H03 , H04 , H05 lost \d+ marks", said)
    assert "It ends at" in said


def test_one_step_to_the_board_to_practice_and_to_a_live_class(client: Client, papers: str) -> None:
    """Each leads where it says; a belief that is none is refused in a sentence."""
    page = client.get(f"{papers}/report").text
    board = re.search(r'href="([^"]+/again/board[^"]+)"', page)
    assert board
    assert client.get(board[1].replace("&amp;", "&")).url.path == "/teach/board"
    assert client.submit(f"{papers}/again/live", belief="invert-only").url.path.startswith("/teach/rooms/")
    sheet = client.done(client.submit(f"{papers}/again/practice", belief="invert-only"))
    assert sheet.url.path.startswith("/set/papers/")
    assert sheet.text.count("subtract") + sheet.text.count("\u2212") > 0
    assert client.submit(f"{papers}/again/live", belief="no such").status_code == 422
    assert client.submit(f"{papers}/again/live", question="1").url.path.startswith("/teach/rooms/")


def test_where_no_belief_is_named_the_skills_that_cost_most(client: Client, store: Store) -> None:
    """One slip each: no belief explains it, so the skill stands there, with its question for the board."""
    client.get("/work")
    papers = eight(store, "Gauges")
    client.submit(
        f"{papers}/answers", pasted="student,1,2\nH01,01000000 0101,00000001 0001\nH02,01000001 0101,-"
    )
    said = client.said(f"{papers}/report")
    assert "No single belief explains it" in said
    assert "worked line by line" in said


def test_the_page_fits_and_is_accessible(browser: Browser, served: Served) -> None:
    """At 1200 px nothing scrolls sideways, the map of skills neither; at 360 px only tables in their own box."""
    papers = eight(served.store, "Gauges")
    with browser.new_context(base_url=served.address, java_script_enabled=False) as context:
        page = context.new_page()
        page.set_viewport_size({"width": 1200, "height": 900})
        page.goto(start_at(served.address, papers))
        page.get_by_label("Answers", exact=True).fill(believing())
        page.get_by_role("button", name="Save and mark").press("Enter")
        page.get_by_role("link", name="The class's report").press("Enter")
    with browser.new_context(base_url=served.address, viewport={"width": 1200, "height": 900}) as context:
        page = context.new_page()
        page.goto(start_at(served.address, f"{papers}/report"))
        assert page.evaluate("document.documentElement.scrollWidth") <= 1200
        box = page.get_by_role("region", name="Map of skills")
        assert box.evaluate("one => one.scrollWidth <= one.clientWidth")
        assert Axe().run(page).response["violations"] == []
        page.set_viewport_size({"width": 360, "height": 800})
        assert page.evaluate("document.documentElement.scrollWidth") <= 360


def test_a_belief_that_several_may_share_is_mentioned_and_not_named(client: Client, store: Store) -> None:
    """Two pupils wrote what inverting only gives, once each: too little to name it, enough to look."""
    client.get("/work")
    papers = eight(store, "Gauges")
    client.submit(f"{papers}/answers", pasted="student,1\nH01,01010011 0011\nH02,01010011 0011\nH03,-")
    said = client.said(f"{papers}/report")
    assert "No single belief explains it" not in said
    assert (
        "2 of them may share one belief, on too few answers to name it: "
        "\u201cTo change the sign I invert every bit.\u201d"
    ) in said
