"""The marking table: one question across the class; rulings, marks by hand, undo, and what is typed anew.

By hand: 6.5 - 1.25 = 5.25 = 0.10101 x 2^3, in 6+4 010101 0011, for 6 marks. An exponent in decimal waits with 5 or 6.
H02 writes the value alone: one mark strictly; the pattern and its lines, five marks more, are the teacher's.
H04 inverts without adding one: 6.5 - 1.25 ends at 010100 0011, 5.
"""

from __future__ import annotations

import json
import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from chalkpoint.records import audit, kept, retyping, scripts, teachers
from chalkpoint.records.store import Store
from conftest_web import PAPERS, Client, Served, start_at

TWO = PAPERS | {
    "papers": [
        {
            "questions": [
                {"operation": "subtract", "operands": ["6.5", "1.25"]},
                {"operation": "encode", "operands": ["5.25"]},
            ]
        }
    ]
}
SHEET = """\
student,1,1 align,1 negate,2
H01,010101 3,,,010101 3
H02,5.25,,,010101 0011
H03,0.10101 +3,,,010101 0011
H04,010100 0011,000101,111010,010101 0011
H05,010101 0011,,,0.10101 0011
H06,-,,,-"""


def kept_papers(store: Store) -> str:
    """Keep the papers, and return their address."""
    with store.write() as db:
        me = teachers.local_teacher(db).id
        return f"/mark/papers/{kept.keep(db, me, 'papers', 'Gauges', json.dumps(TWO)).id}"


@pytest.fixture
def papers(client: Client, store: Store) -> str:
    """The address of papers that the class has handed in."""
    client.get("/work")
    papers = kept_papers(store)
    client.submit(f"{papers}/answers", pasted=SHEET)
    return papers


def rows(client: Client, papers: str, question: int = 1) -> list[tuple[str, list[str], int]]:
    """Return each row of a question's table: its key, its pupils and their marks now."""
    page = client.get(f"{papers}/questions/{question}").text
    found = re.findall(r'id="row-(\w+)"(.*?)<div class="now"><b>(\d+)', page, re.DOTALL)
    return [(key, re.findall(r'class="code"[^>]*>(H\d+)<', body), int(marks)) for key, body, marks in found]


def run_of(client: Client, papers: str) -> str:
    """Return which marking the page shows."""
    found = re.search(r'name="run" value="([^"]+)"', client.get(f"{papers}/questions/1").text)
    assert found
    return found[1]


def row_of(client: Client, papers: str, pupil: str, question: int = 1) -> str:
    """Return the key of the row that a pupil stands in."""
    return next(key for key, pupils, _ in rows(client, papers, question) if pupil in pupils)


def marks_of(client: Client, papers: str, question: int = 1) -> dict[str, int]:
    """Return the marks of each pupil of a question, as its table has them."""
    return {pupil: marks for _, pupils, marks in rows(client, papers, question) for pupil in pupils}


def send(client: Client, papers: str, what: str, pupil: str, **fields: str) -> str:
    """Send a form of the row that a pupil stands in, and return the page it leads to."""
    given = {"run": run_of(client, papers), "row": row_of(client, papers, pupil), **fields}
    return str(client.submit(f"{papers}/questions/1/{what}", **given).text)


def test_every_different_answer_is_a_row_and_what_waits_stands_first(client: Client, papers: str) -> None:
    """H01 and H03 spell one answer in two ways; the value stands before them, since more hangs on it."""
    table = rows(client, papers)
    assert [(pupils, marks) for _, pupils, marks in table] == [
        (["H02"], 1),
        (["H01", "H03"], 5),
        (["H05"], 6),
        (["H04"], 4),
        (["H06"], 0),
    ]
    said = client.said(f"{papers}/questions/1")
    assert "taken for: \u201cTo change the sign I invert every bit.\u201d" in said
    assert said.index("Accept it") < said.index("Settled")


def test_a_ruling_says_the_mark_it_gives_before_it_is_made(client: Client, papers: str) -> None:
    """H01 and H03 have 5 and would have 6: the class has 1 + 5 + 5 + 6 + 4 + 0 marks now, of six pupils."""
    now = marks_of(client, papers)
    total = sum(now.values())
    shown = re.findall(
        r'value="(\w+)" data-key.*?<b>(\d+).*?class mean ([\d.]+)',
        client.get(f"{papers}/questions/1").text,
        re.DOTALL,
    )
    by_hand = [("accept", "6", f"{(total + 2) / 6:.1f}"), ("stand", "5", f"{total / 6:.1f}")]
    assert shown[-2:] == by_hand
    assert shown[0][0] == "accept"
    assert "lines" in [name for name, _, _ in shown]


def test_one_ruling_takes_the_row(client: Client, papers: str) -> None:
    """The exponent in decimal stands in both questions: ruled on here, question 2 waits on; then there, then undone."""
    send(client, papers, "rule", "H01", ruling="accept")
    assert marks_of(client, papers) | {"H04": 0} == {
        "H01": 6,
        "H03": 6,
        "H02": 1,
        "H05": 6,
        "H04": 0,
        "H06": 0,
    }
    assert marks_of(client, papers, 2)["H01"] == 2
    page = client.submit(
        f"{papers}/questions/2/rule",
        run=run_of(client, papers),
        row=row_of(client, papers, "H01", 2),
        ruling="accept",
    ).text
    assert marks_of(client, papers, 2)["H01"] == 3
    at = re.search(r'name="at" value="([^"]+)"', page)
    assert at
    client.submit(f"{papers}/questions/2/undo", at=at[1])
    assert (marks_of(client, papers)["H01"], marks_of(client, papers, 2)["H01"]) == (6, 2)


def test_the_whole_paper_in_one(client: Client, papers: str) -> None:
    """Both questions at once, by the tick."""
    send(client, papers, "rule", "H01", ruling="accept", paper="yes")
    assert (marks_of(client, papers)["H03"], marks_of(client, papers, 2)["H01"]) == (6, 3)


def test_a_pupil_is_split_off(client: Client, papers: str) -> None:
    """Ruled for H03 alone, H01 waits on."""
    send(client, papers, "rule", "H03", ruling="accept", **{"for": "H03"})
    assert [(pupils, marks) for _, pupils, marks in rows(client, papers)][:3] == [
        (["H02"], 1),
        (["H01"], 5),
        (["H03", "H05"], 6),
    ] or row_of(client, papers, "H03") != row_of(client, papers, "H01")


def test_marks_by_hand(client: Client, papers: str) -> None:
    """A settled row is given other marks, with a reason; none where nothing would change."""
    before = marks_of(client, papers)["H05"]
    send(client, papers, "marks", "H05", **{"marks decimal": "0", "reason": "no check asked for"})
    assert marks_of(client, papers)["H05"] == before - 1
    refused = send(client, papers, "marks", "H05")
    assert "othing was changed" in refused
    assert "is not taken" in send(client, papers, "marks", "H05", **{"marks decimal": "7"})


def test_what_has_changed_since_is_not_ruled_on(client: Client, papers: str) -> None:
    """A ruling on an older marking, or on a row that is there no more."""
    row, run = row_of(client, papers, "H01"), run_of(client, papers)
    client.submit(f"{papers}/mark")
    late = client.submit(f"{papers}/questions/1/rule", run=run, row=row, ruling="accept")
    assert late.status_code == 422
    assert "changed meanwhile" in late.text
    gone = client.submit(
        f"{papers}/questions/1/rule", run=run_of(client, papers), row="none", ruling="accept"
    )
    assert "not in the table any more" in gone.text
    assert client.get(f"{papers}/questions/3").status_code == 404


def test_what_was_written_is_typed_anew(client: Client, store: Store, papers: str) -> None:
    """H01's 3 was a 0011 mistyped: marked again at once, what stood there kept, and put back."""
    page = send(client, papers, "retype", "H01", student="H01", line="answer", written="010101 0011")
    assert marks_of(client, papers)["H01"] == 6
    assert "Typed anew" in page
    client.submit(f"{papers}/questions/1/retype", student="H01", line="answer", written="010101 3")
    assert marks_of(client, papers)["H01"] == 5
    client.submit(f"{papers}/questions/1/retype", student="H04", line="negate", written="")
    with store.read() as db:
        me, name = teachers.local_teacher(db).id, papers.rsplit("/", 1)[1]
        told = [(was.student, was.line, was.before, was.after) for was in retyping.retyped_of(db, me, name)]
        assert told == [
            ("H04", "negate", "111010", ""),
            ("H01", "answer", "010101 0011", "010101 3"),
            ("H01", "answer", "010101 3", "010101 0011"),
        ]
        assert scripts.script_of(db, me, name, "H04").written[1] == {
            "answer": "010100 0011",
            "align": "000101",
        }
        assert any(noted.what == "retyped" for noted in audit.audit_of(db, me, name))
    assert "nothing" in client.said(f"{papers}/questions/1")
    assert client.submit(f"{papers}/questions/1/retype", student="H99", written="1").status_code == 404


def look(page: Page, name: str) -> None:
    """A page fits its width, and axe finds nothing."""
    width = page.viewport_size["width"] if page.viewport_size else 0
    assert page.evaluate("document.documentElement.scrollWidth") <= width, name
    assert Axe().run(page).response["violations"] == [], name


def test_by_keyboard_alone(browser: Browser, served: Served) -> None:
    """Keys rule, undo and walk; without script the same buttons are pressed by Tab and Enter; every width fits."""
    papers = kept_papers(served.store)
    with browser.new_context(base_url=served.address, viewport={"width": 1440, "height": 900}) as context:
        page = context.new_page()
        page.goto(start_at(served.address, papers))
        page.get_by_label("Answers", exact=True).fill(SHEET)
        page.get_by_role("button", name="Save and mark").press("Enter")
        page.goto(f"{papers}/questions/1#waiting")
        look(page, "wide")
        page.keyboard.press("ArrowDown")
        page.keyboard.press("w")  # here alone
        page.keyboard.press("1")
        page.get_by_text("to rule on, 1 here").wait_for()
        page.keyboard.press("u")
        page.get_by_text("to rule on, 2 here").wait_for()
        page.keyboard.press("n")
        page.get_by_role("heading", name="Question 2").wait_for()
        for width in (1024, 360):
            page.set_viewport_size({"width": width, "height": 800})
            look(page, str(width))
    with browser.new_context(base_url=served.address, java_script_enabled=False) as context:
        page = context.new_page()
        page.goto(start_at(served.address, f"{papers}/questions/1"))
        page.get_by_role("button", name="Accept it").first.press("Enter")
        page.get_by_text("to rule on, 1 here").wait_for()
        page.get_by_role("button", name="Undo").first.press("Enter")
        page.get_by_text("to rule on, 2 here").wait_for()
        page.get_by_role("link", name=re.compile("Change.*H05")).press("Enter")
        page.get_by_label("written", exact=True).fill("010101 3")
        page.get_by_role("button", name="Mark it as this").press("Enter")
        page.get_by_text("Typed anew").wait_for()
