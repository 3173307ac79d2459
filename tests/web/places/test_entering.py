"""Entry: nothing stands there that could be kept by oversight; keys take a script down, and their number is shown.

By hand: 6.5 - 1.25 = 5.25, 010101 0011 in 6+4; 2.75 - 1.5 = 1.25, 010100 0001.
"""

from __future__ import annotations

import json
import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, expect

from chalkpoint.marking.entering import places_of
from chalkpoint.records import kept, scripts, teachers
from chalkpoint.records.store import Store
from chalkpoint.setting.paperfile import papers_from
from conftest_web import PAPERS, Client, Served, start_at
from pressed_keys import keys_pressed

ASKED = [
    {"operation": "subtract", "operands": ["6.5", "1.25"]},
    {"operation": "add", "operands": ["2.75", "-1.5"]},
    {"operation": "decode", "operands": ["010101 0011"]},
]
THREE = PAPERS | {"papers": [{"questions": ASKED}]}
RIGHT, SECOND = "010101 0011", "010100 0001"


def kept_papers(store: Store) -> str:
    """Keep the papers, and return their address."""
    with store.write() as db:
        me = teachers.local_teacher(db).id
        return f"/mark/papers/{kept.keep(db, me, 'papers', 'Gauges', json.dumps(THREE)).id}"


def written(store: Store, papers: str) -> dict[str, dict[int, dict[str, str]]]:
    """Return what is kept of each pupil."""
    with store.read() as db:
        me = teachers.local_teacher(db).id
        return {one.student: one.written for one in scripts.scripts_of(db, me, papers.rsplit("/", 1)[1])}


@pytest.fixture
def papers(client: Client, store: Store) -> str:
    """The address of papers that nobody has handed in."""
    client.get("/work")
    return kept_papers(store)


def test_a_blank_left_by_oversight_earns_nothing(client: Client, store: Store, papers: str) -> None:
    """Nothing is filled in; what is ticked is as expected, what is typed is typed, and the rest is blank."""
    assert f'value="{RIGHT}"' not in client.get(f"{papers}/enter").text
    ticked = {"said 1 answer": "expected", "2 answer": "010100 0010"}
    client.submit(f"{papers}/enter", student="H01", **ticked)
    assert written(store, papers)["H01"] == {1: {"answer": RIGHT}, 2: {"answer": "010100 0010"}}
    both = client.submit(f"{papers}/enter", student="H02", **{"said 1 answer": "expected", "1 answer": "1"})
    assert both.status_code == 422
    assert "leave one" in both.text


def test_a_row_is_kept_and_judged_as_it_is_typed(client: Client, store: Store, papers: str) -> None:
    """The first row begins a script; another's is not written over; a verdict and the marks come back."""
    row = {"student": "H01", "question": "1", "line": "answer"}
    told = client.submit(f"{papers}/enter/row", said="expected", **row).json()
    assert (told["marks"], told["of"], told["said"]) == (6, 6, "as expected")
    refused = client.submit(f"{papers}/enter/row", written="010100 0011", **row)
    assert (refused.status_code, "kept already" in refused.json()["refused"]) == (422, True)
    told = client.submit(f"{papers}/enter/row", written="010100 0011", begun="1", **row).json()
    assert told["said"] == "not as expected"
    assert told["asks"] in {"", "negate", "align", "add"}
    told = client.submit(f"{papers}/enter/row", written="010101 3", begun="1", **row).json()
    assert told["said"] == "waits for the class's table: exponent in decimal"
    nothing = {"student": "H01", "question": "2", "line": "answer", "said": "nothing", "begun": "1"}
    assert client.submit(f"{papers}/enter/row", **nothing).json()["said"] == "nothing written"
    unread = nothing | {"question": "3", "said": "unreadable"}
    assert "cannot be read" in client.submit(f"{papers}/enter/row", **unread).json()["said"]
    assert written(store, papers) == {"H01": {1: {"answer": "010101 3"}, 3: {"answer": "unreadable"}}}
    assert client.submit(f"{papers}/enter/row", student="..", question="1").status_code == 422
    assert client.submit(f"{papers}/enter/row", student="H01", question="9").status_code == 422


def test_keys_alone(browser: Browser, served: Served) -> None:
    """Two scripts by keys: as expected, bits, the rest, the same as before; as many keys as are counted in Python."""
    papers = kept_papers(served.store)
    first, second = ["010100 0011", SECOND, "5.25"], ["010100 0011", "010100 0100", ""]
    asked = papers_from(THREE).first.questions
    places = [places_of(one)[0] for one in asked]
    keys = [[keys_pressed(place, text) for place, text in zip(places, first, strict=True)]]
    keys.append([keys_pressed(places[0], second[0], [first[0]]), keys_pressed(places[1], second[1]), 2])
    with browser.new_context(base_url=served.address, viewport={"width": 1024, "height": 800}) as context:
        page = context.new_page()
        page.goto(start_at(served.address, f"{papers}/enter"))
        page.keyboard.type("H01")
        page.keyboard.press("Enter")
        page.keyboard.type("     0")
        expect(page.locator(".cur .ver")).to_contain_text("Box 6 unlike")
        for key in ("Enter", "Enter", "Enter"):  # the rest, the second as expected, the third too
            page.keyboard.press(key)
        expect(page.locator("[data-q] .ver").first).to_have_text("not as expected")
        expect(page.locator("#count")).to_contain_text(f"{4 + sum(keys[0])} keys here")
        assert Axe().run(page).response["violations"] == []
        page.locator("#next").press("Enter")
        page.wait_for_url("**last=H01**")
        page.keyboard.type("H02")
        page.keyboard.press("Enter")
        page.keyboard.type("     0s")
        page.keyboard.type("e01")
        page.keyboard.press("Enter")  # 0100: the last two as expected are 11, so they are typed
        page.keyboard.press("ArrowUp")
        page.keyboard.type("e0100")
        page.keyboard.type("-")
        page.keyboard.press("Enter")
        expect(page.locator("[data-q] .ver").nth(2)).to_have_text("nothing written")
    kept_now = written(served.store, papers)
    assert kept_now["H01"] == {1: {"answer": first[0]}, 2: {"answer": SECOND}, 3: {"answer": "5.25"}}
    assert kept_now["H02"] == {1: {"answer": first[0]}, 2: {"answer": second[1]}}


def test_a_phone_has_large_keys(browser: Browser, served: Served) -> None:
    """At 360 px one question stands there with keys for 0 and 1, each at least 100 px high; they are pressed."""
    papers = kept_papers(served.store)
    with browser.new_context(base_url=served.address, viewport={"width": 360, "height": 780}) as context:
        page = context.new_page()
        page.goto(start_at(served.address, f"{papers}/enter"))
        page.get_by_label("Pupil's code").fill("H01")
        page.get_by_label("Pupil's code").press("Enter")
        zero = page.get_by_role("button", name="0", exact=True)
        box = zero.bounding_box()
        assert box
        assert box["height"] >= 100
        zero.click()
        page.get_by_role("button", name="1", exact=True).click()
        expect(page.locator(".cur .ver")).to_contain_text("2 of 10 typed")
        page.get_by_role("button", name="As expected").click()
        expect(page.locator(".mk b").first).to_have_text("6", use_inner_text=False)
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
        assert Axe().run(page).response["violations"] == []


def test_the_sheet_without_script(browser: Browser, served: Served) -> None:
    """Ticks and fields do the same; the keystrokes are counted."""
    papers = kept_papers(served.store)
    with browser.new_context(base_url=served.address, java_script_enabled=False) as context:
        page = context.new_page()
        page.goto(start_at(served.address, f"{papers}/enter"))
        page.get_by_label("Pupil's code").fill("H01")
        page.get_by_label(re.compile("as expected")).first.check()
        page.get_by_role("button", name="Keep").click()
        page.get_by_text(
            "7.0 keystrokes a script"
        ).wait_for()  # a code of three and Enter, and a key a question
    assert written(served.store, papers)["H01"] == {1: {"answer": RIGHT}}
