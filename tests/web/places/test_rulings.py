"""Answers right but for their manner: one ruling for the class, what it gives said before, and undone after.

By hand: 6.5 - 1.25 = 5.25 = 0.10101 x 2^3, in 6+4 010101 0011, for 6 marks. An exponent in decimal loses the
exponent's mark until it is ruled on. Three such answers and two right ones: 3 x 5 + 2 x 6 = 27, mean 5.4; accepted, 30.
"""

from __future__ import annotations

import json
import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser

from chalkpoint.marking.overrides import Decision
from chalkpoint.records import kept, overrides, teachers
from chalkpoint.records.store import Store
from conftest_web import PAPERS, Client, Served, start_at

SHEET = "student,1\nH01,010101 3\nH02,010101 0011\nH03,010101 3\nH04,010101 0011\nH05,010101 3"
MANNER = "exponent in decimal"


def kept_papers(store: Store) -> str:
    """Keep the papers, and return their address."""
    with store.write() as db:
        me = teachers.local_teacher(db).id
        return f"/mark/papers/{kept.keep(db, me, 'papers', 'Gauges', json.dumps(PAPERS)).id}"


@pytest.fixture
def papers(client: Client, store: Store) -> str:
    """The address of papers that the class has handed in."""
    client.get("/work")
    papers = kept_papers(store)
    client.submit(f"{papers}/answers", pasted=SHEET)
    return papers


def marks(client: Client, papers: str) -> dict[str, int]:
    """Return each pupil's total, as the page lists it."""
    row = r'scripts/(H\d+)">\1</a></th>(?:<td class="num">\d+</td>){2}<td class="num">(\d+)<'
    return {code: int(total) for code, total in re.findall(row, client.get(papers).text)}


def standing(store: Store, papers: str) -> dict[tuple[str, int, str], Decision]:
    """Return the decisions that are in force."""
    with store.read() as db:
        return overrides.standing(db, teachers.local_teacher(db).id, papers.rsplit("/", 1)[1])


def marking(client: Client, papers: str) -> str:
    """Return which marking the page shows."""
    run = re.search(r'name="run" value="([^"]+)"', client.get(papers).text)
    assert run
    return run[1]


def rule(client: Client, papers: str, ruling: str) -> str:
    """Rule on the group, and return the page it leads to."""
    return str(
        client.submit(f"{papers}/rulings", group=MANNER, run=marking(client, papers), ruling=ruling).text
    )


def undo(client: Client, papers: str) -> None:
    """Press the first Undo of the page."""
    made = re.search(r'name="at" value="([^"]+)"', client.get(papers).text)
    assert made
    client.submit(f"{papers}/rulings/undo", at=made[1])


STRICT = {"H01": 5, "H02": 6, "H03": 5, "H04": 6, "H05": 5}


def test_the_page_says_what_either_ruling_gives(client: Client, papers: str) -> None:
    """How it is written, whose answers, and the marks with the class's mean, before anything is chosen."""
    assert marks(client, papers) == STRICT
    page = client.said(papers)
    assert "Waiting for your decision: 3" in page
    assert "Exponent in decimal 010101 3 3 answers to question 1: H01 , H03 , H05" in page
    assert "Accept : exponent in decimal 6 of 6, class mean 6.0" in page
    assert "Let it stand : exponent in decimal 5 of 6, class mean 5.4" in page


def test_one_click_settles_all_and_undo_brings_them_back(client: Client, store: Store, papers: str) -> None:
    """The decisions are those that are made one by one; undone, the three wait again."""
    rule(client, papers, "accept")
    assert marks(client, papers) == dict.fromkeys(STRICT, 6)
    assert "Waiting for your decision: 0" in client.said(papers)
    given = Decision(1, "exponent in decimal: accepted")
    assert standing(store, papers) == {(code, 1, "answer exponent"): given for code in ("H01", "H03", "H05")}
    assert "exponent in decimal: accepted" in client.said(f"{papers}/scripts/H03")
    undo(client, papers)
    assert marks(client, papers) == STRICT
    assert "Waiting for your decision: 3" in client.said(papers)
    assert standing(store, papers) == {}


def test_what_is_left_to_stand_waits_no_more(client: Client, store: Store, papers: str) -> None:
    """The strict marks, now the teacher's; it says so at once, with Undo."""
    page = rule(client, papers, "stand")
    assert marks(client, papers) == STRICT
    assert "Waiting for your decision: 0" in page
    assert set(standing(store, papers).values()) == {Decision(0, "exponent in decimal: left as marked")}
    assert re.search(r'role="status">[^<]*Exponent in decimal: left as marked[^<]*H01, H03, H05', page)
    made = re.search(r'name="at" value="([^"]+)"', page)
    assert made
    for _ in range(2):  # as a second click on a slow line does
        assert client.submit(f"{papers}/rulings/undo", at=made[1]).status_code == 200
    assert "Waiting for your decision: 3" in client.said(papers)


def test_undo_leaves_what_was_decided_by_itself(client: Client, store: Store, papers: str) -> None:
    """One pupil decided on before is in no group, and keeps that decision."""
    client.submit(
        f"{papers}/scripts/H03/decide", question="1", line="answer exponent", marks="0", reason="seen"
    )
    rule(client, papers, "accept")
    assert marks(client, papers) == dict.fromkeys(STRICT, 6) | {"H03": 5}
    undo(client, papers)
    assert standing(store, papers) == {("H03", 1, "answer exponent"): Decision(0, "seen")}


def test_a_ruling_on_what_has_changed_since_is_refused(client: Client, store: Store, papers: str) -> None:
    """Marked again, or an answer handed in again: nobody gets a mark for what the teacher has not seen."""
    before = marking(client, papers)
    client.submit(f"{papers}/mark")
    late = client.submit(f"{papers}/rulings", group=MANNER, run=before, ruling="accept")
    assert late.status_code == 422
    assert "Look at the group again" in late.text
    now = marking(client, papers)
    client.submit(f"{papers}/enter", student="H03", over="H03", **{"1 answer": "010100 0011"})
    assert "/rulings" not in client.get(papers).text
    assert client.submit(f"{papers}/rulings", group=MANNER, run=now, ruling="accept").status_code == 422
    client.submit(f"{papers}/mark")
    now = marking(client, papers)
    for group, ruling in (("no such group", "accept"), (MANNER, "perhaps"), (MANNER, "")):
        refused = client.submit(f"{papers}/rulings", group=group, run=now, ruling=ruling)
        assert refused.status_code == 422
    assert standing(store, papers) == {}


def test_by_keyboard_alone_without_script(browser: Browser, served: Served) -> None:
    """Tab and Enter settle the group and undo it, on a phone too; nothing is wider than the phone."""
    papers = kept_papers(served.store)
    with browser.new_context(
        base_url=served.address, java_script_enabled=False, viewport={"width": 360, "height": 800}
    ) as context:
        page = context.new_page()
        page.goto(start_at(served.address, papers))
        page.get_by_label("Answers", exact=True).fill(SHEET)
        page.get_by_role("button", name="Save and mark").press("Enter")
        for name, waits in (("Accept", 0), ("Undo", 3), ("Let it stand", 0), ("Undo", 3)):
            page.get_by_role("button", name=re.compile(name)).first.focus()
            page.keyboard.press("Enter")
            page.get_by_role("heading", name=f"Waiting for your decision: {waits}").wait_for()
    page = browser.new_page(base_url=served.address, viewport={"width": 360, "height": 800})
    page.goto(start_at(served.address, papers))
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    assert Axe().run(page).response["violations"] == []
    page.close()
