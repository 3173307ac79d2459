"""Answers handed in: pasted, or as files of every kind; what cannot be read is named, and nothing else is lost."""

from __future__ import annotations

import io
import json
import re
from datetime import UTC, datetime, timedelta
from html import unescape
from urllib.parse import quote

import pytest
from openpyxl import Workbook
from playwright.sync_api import Browser

from chalkpoint.marking.answers import Script
from chalkpoint.marking.students import Entry, Marker
from chalkpoint.records import kept, retention, scripts, teachers
from chalkpoint.records.store import Store
from chalkpoint.web.places.marking import answers
from conftest_web import PAPERS, Client, Served, start_at
from heron import EIGHT, papers_of, table_by

HEADS = ["student", "1"]
RIGHT = "010101 0011"


@pytest.fixture
def papers(client: Client, store: Store) -> str:
    """The address of papers that can be marked."""
    client.get("/work")
    with store.write() as db:
        me = teachers.local_teacher(db).id
        return f"/mark/papers/{kept.keep(db, me, 'papers', 'Gauges', json.dumps(PAPERS)).id}"


def students(store: Store, papers: str) -> dict[str, dict[int, dict[str, str]]]:
    """Return what is kept of each pupil."""
    with store.write() as db:
        me = teachers.local_teacher(db).id
        return {one.student: one.written for one in scripts.scripts_of(db, me, papers.rsplit("/", 1)[1])}


def sheet() -> bytes:
    """Return a workbook of answers."""
    book, out = Workbook(), io.BytesIO()
    book.worksheets[0].append(HEADS)
    book.worksheets[0].append(["H01", RIGHT])
    book.save(out)
    return out.getvalue()


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("answers.csv", f"student,1\nH01,{RIGHT}\n".encode()),
        ("answers.tsv", f"student\t1\nH01\t{RIGHT}\n".encode()),
        ("Answers.XLSX", sheet()),
        (
            "saved.json",
            json.dumps({"student": "H01", "answers": [{"question": 1, "written": RIGHT}]}).encode(),
        ),
    ],
)
def test_a_file_of_any_kind_is_read_and_marked(
    client: Client, store: Store, papers: str, name: str, data: bytes
) -> None:
    """The same answers, the same script, the same marks."""
    page = client.submit(f"{papers}/answers", files={"file": (name, data)})
    assert "1 script was kept and marked" in page.text
    assert students(store, papers) == {"H01": {1: {"answer": RIGHT}}}
    assert re.search(r'scripts/H01">H01</a>.*?class="num">6<', page.text, re.DOTALL)


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("answers.docx", b"x", "give a .csv"),
        ("answers.csv", b"\xff\xfe\x00", "not text"),
        ("answers.xlsx", b"student,1", "not a workbook"),
        ("answers.json", b"{", "not JSON"),
        ("answers.csv", b"student,1\n", "no answers"),
        ("answers.csv", b"a,b\n1,2\n", "heads"),
        ("answers.csv", b"student,1\n,1\n", "2 has answers and no pupil"),
        ("answers.csv", b"student,1\n" + b"x" * 300 + b",1\n", "200 at most"),
        ("answers.json", b"[" * 100_000, "nested too deep"),
        ("answers.json", b'[{"student": "\\ud800", "question": 1, "written": "1"}]', "cannot be kept"),
        ("answers.json", b'[{"student": "H01", "question": 1, "written": "\\ud800"}]', "cannot be kept"),
    ],
)
def test_a_file_that_cannot_be_read_is_refused_and_nothing_is_kept(
    client: Client, store: Store, papers: str, name: str, data: bytes, said: str
) -> None:
    """One sentence; what was kept before stays."""
    client.submit(f"{papers}/answers", pasted=f"student,1\nH09,{RIGHT}")
    page = client.submit(f"{papers}/answers", files={"file": (name, data)})
    assert page.status_code == 422
    assert said in page.text
    assert set(students(store, papers)) == {"H09"}


def test_a_pupils_rows_may_stand_apart(client: Client, store: Store, papers: str) -> None:
    """Lines of one pupil are one script, wherever they stand."""
    client.submit(
        f"{papers}/answers",
        pasted="student,question,line,written\nH01,1,align,000101\nH02,1,answer,0\nH01,1,answer,010101 0011",
    )
    assert students(store, papers)["H01"] == {1: {"align": "000101", "answer": RIGHT}}


def test_cells_that_cannot_be_placed_are_named(client: Client, papers: str) -> None:
    """By row and column, for the teacher to look at; the rest is marked."""
    page = client.submit(f"{papers}/answers", pasted=f"student,1,7\nH01,{RIGHT},1")
    assert "row 2, column C" in page.text


def test_an_answer_too_long_is_named_and_stops_nobody_elses_marks(client: Client, papers: str) -> None:
    """Whether it is pasted or typed."""
    page = client.submit(f"{papers}/answers", pasted=f"student,1\nH01,{RIGHT}\nH02,{'1' * 100_000}")
    assert "100,000 characters" in page.text
    assert re.search(r'scripts/H01">H01</a>.*?class="num">6<', page.text, re.DOTALL)
    client.submit(f"{papers}/enter", student="H03", **{"1 answer": "1" * 10_000})
    assert "10,000 characters" in client.submit(f"{papers}/mark").text


@pytest.mark.parametrize("code", ["12/H01", "H#1/a?", "0417/decide", "H 01", "...", "a&b=c"])
def test_a_code_may_hold_any_sign(client: Client, store: Store, papers: str, code: str) -> None:
    """Its script is opened, decided on, deleted and brought back like every other."""
    client.submit(f"{papers}/answers", pasted=f"student,1\n{code},010100 0011")
    script = f"{papers}/scripts/{quote(code)}"
    assert f">{code}: " in unescape(client.get(script).text)
    assert client.get(f"{papers}/pupils/{quote(code)}").status_code == 200
    page = client.submit(f"{script}/decide", question="1", line="answer", marks="0", reason="seen on paper")
    assert "seen on paper" in page.text
    client.submit(f"{script}/delete")
    assert students(store, papers) == {}
    client.submit(f"{script}/restore")
    assert set(students(store, papers)) == {code}


def test_a_code_with_a_percent_sign_is_found_by_a_browser(browser: Browser, served: Served) -> None:
    """Read once, and once only: 50%41 is not 50A; and the page is found again in the other light."""
    with served.store.write() as db:
        me = teachers.local_teacher(db).id
        papers = kept.keep(db, me, "papers", "Gauges", json.dumps(PAPERS)).id
    page = browser.new_page()
    page.goto(start_at(served.address, f"/mark/papers/{papers}"))
    page.get_by_label("Answers", exact=True).fill(f"student,1\n50%41/#?,{RIGHT}")
    page.get_by_role("button", name="Save and mark").click()
    page.get_by_role("link", name="50%41/#?", exact=True).click()
    page.get_by_role("button", name="Dark colours").click()
    assert page.locator("h1").inner_text() == "50%41/#?: 6 of 6"
    assert page.get_by_role("button", name="Light colours").is_visible()
    page.close()
    page = browser.new_page(
        color_scheme="dark"
    )  # where none is chosen the browser's holds: the other is offered
    page.goto(start_at(served.address, "/work"))
    assert page.get_by_role("button", name="Light colours").is_visible()
    assert not page.get_by_role("button", name="Dark colours").is_visible()
    page.close()


def test_codes_that_may_be_names_are_questioned_where_they_are_listed(
    client: Client, store: Store, papers: str
) -> None:
    """What was handed in is kept and marked; the page says whose code may be a name, and what to do."""
    client.submit(f"{papers}/answers", pasted=f"student,1\nH01,{RIGHT}\nMarlow,{RIGHT}\nj.fenn,{RIGHT}")
    said = client.said(papers)
    assert "Marlow, j.fenn may be names." in said
    assert "H01, " not in said.split("may be names")[0][-40:]


def test_an_answer_that_waits_is_one_entry(client: Client, papers: str) -> None:
    """In the words of its own place, with the lines that wait with it; a line alone in its own."""
    client.submit(f"{papers}/answers", pasted="student,1,1 decimal\nH01,010100 0011,5.2.5\nH02,banana,")
    said = client.said(papers)
    assert said.count("Decide on H02, question 1") == 1
    assert "H01, question 1, decimal. “5.2.5” cannot be read" in said


def test_what_will_be_forgotten_is_said_on_the_page_of_marking(
    client: Client, store: Store, papers: str
) -> None:
    """A month before, and where the teacher works, not only where records are looked after."""
    client.submit(f"{papers}/answers", pasted=f"student,1\nH01,{RIGHT}")
    assert "is forgotten, with its marks" not in client.said("/mark")
    retention.tend(store, lambda: datetime.now(UTC) + timedelta(days=retention.USUAL_DAYS - 20))
    assert "is forgotten, with its marks" in client.said("/mark")


def test_the_page_of_papers_says_what_to_do_next(client: Client, store: Store, papers: str) -> None:
    """First handing in; then the report; marking again where something changed; and whose script is missing."""
    empty = client.get(papers).text
    assert "Nothing is handed in yet" in empty
    assert empty.index("Hand in answers") < empty.index("The class that sat them")
    client.submit(f"{papers}/answers", pasted=f"student,1\nH01,{RIGHT}")
    assert f'class="button main" href="{papers}/report"' in client.get(papers).text
    client.submit(f"{papers}/enter", student="H02", **{"1 answer": RIGHT})
    changed = client.said(papers)
    assert "1 script is new or changed since the marking" in changed
    assert "Mark again" in changed
    client.submit(f"{papers}/mark")
    client.submit(f"{papers}/scripts/H02/delete")
    assert "Scripts were deleted since the marking" in client.said(papers)
    client.submit(f"{papers}/scripts/H02/restore")
    assert "since the marking" not in client.said(papers)
    group = client.submit("/mark/classes/new", title="12 Heron", codes="3").url.path.rsplit("/", 1)[1]
    client.submit(f"{papers}/class", **{"class": group})
    assert "1 of its pupils has handed in nothing: H03" in client.said(papers)
    client.submit(f"/kept/class/{group}/delete")
    assert "handed in nothing" not in client.said(papers)
    assert client.get(f"{papers}/enter").status_code == 200


def test_a_refused_sheet_stands_first_with_its_reason(client: Client, papers: str) -> None:
    """The reason, then the form with what was pasted, then the rest."""
    client.submit(f"{papers}/answers", pasted=f"student,1\nH01,{RIGHT}")
    page = client.submit(f"{papers}/answers", pasted="a,b\n1,2").text
    assert page.index("Not taken" if "Not taken" in page else "heads") < page.index("a,b\n1,2")
    assert page.index("a,b\n1,2") < page.index('id="scripts"')
    assert page.count('id="hand-in"') == 1


def test_a_decision_leads_to_the_next_that_waits(client: Client, papers: str) -> None:
    """By pupil; where no other waits there is none."""
    row = "{},001010,010101 0011"
    sheet = "student,1 align,1\n" + "\n".join(row.format(code) for code in ("H01", "H02"))
    client.submit(f"{papers}/answers", pasted=sheet)
    page = client.said(f"{papers}/scripts/H01")
    assert "6.5 − 1.25 in 6+4" in page
    assert "lines wait for you" in page
    assert "Next one to decide: H02" in page
    assert "Next one to decide: H01" in client.said(f"{papers}/scripts/H02")
    client.submit(f"{papers}/scripts/H01/delete")
    assert "H01, question" not in client.said(papers)
    assert "Next one to decide" not in client.said(f"{papers}/scripts/H02")


@pytest.mark.parametrize("code", [".", "..", "12/../H01", "12//H01", "/H01", "H01/."])
def test_a_code_that_an_address_would_lose_is_refused(
    client: Client, store: Store, papers: str, code: str
) -> None:
    """At every door, in one sentence; nothing of the sheet is kept."""
    said = f"The pupil {code!r} is not taken, since an address would lose it"
    for page in (
        client.submit(f"{papers}/answers", pasted=f"student,1\nH09,{RIGHT}\n{code},{RIGHT}"),
        client.submit(f"{papers}/enter", student=code, **{"1 answer": RIGHT}),
    ):
        assert page.status_code == 422
        assert said in unescape(page.text)
    assert students(store, papers) == {}
    assert client.submit("/mark/classes/new", title="12 Heron", codes=f"H01 {code}").status_code == 422


def test_a_deleted_script_is_not_lost_unasked(client: Client, store: Store, papers: str) -> None:
    """Its code typed or pasted again is refused with what to do, until the teacher says that it goes for good."""
    client.submit(f"{papers}/answers", pasted=f"student,1\nH01,{RIGHT}")
    client.submit(f"{papers}/scripts/H01/delete")
    again = f"student,1\nH01,0\nH02,{RIGHT}"
    page = client.submit(f"{papers}/answers", pasted=again)
    assert page.status_code == 422
    assert "can still be brought back" in page.text
    assert again.splitlines()[1] in page.text
    page = client.submit(f"{papers}/enter", student="H01", **{"1 answer": "0"})
    assert "can still be brought back" in page.text
    client.submit(f"{papers}/scripts/H01/restore")
    assert students(store, papers) == {"H01": {1: {"answer": RIGHT}}}
    client.submit(f"{papers}/scripts/H01/delete")
    client.submit(f"{papers}/enter", student="H01", over="H01", **{"1 answer": "0"})
    assert students(store, papers) == {"H01": {1: {"answer": "0"}}}
    client.submit(f"{papers}/scripts/H01/delete")
    client.submit(f"{papers}/answers", pasted=again, over="yes")
    assert set(students(store, papers)) == {"H01", "H02"}


def test_what_a_pupil_wrote_is_not_replaced_unasked(client: Client, store: Store, papers: str) -> None:
    """A row handed in again with something else is refused and named; the same again is not."""
    first = f"student,1,1 align\nH01,{RIGHT},000101\nH02,{RIGHT},000101"
    client.submit(f"{papers}/answers", pasted=first)
    assert client.submit(f"{papers}/answers", pasted=first).status_code == 200
    again = f"student,1\nH02,{RIGHT}\nH03,{RIGHT}"
    page = client.submit(f"{papers}/answers", pasted=again)
    assert page.status_code == 422
    assert "H02&#39; is kept already" in page.text
    assert again.splitlines()[1] in page.text
    assert "H03" not in students(store, papers)
    client.submit(f"{papers}/answers", pasted=again, over="yes")
    assert students(store, papers) == {
        "H01": {1: {"align": "000101", "answer": RIGHT}},
        "H02": {1: {"answer": RIGHT}},
        "H03": {1: {"answer": RIGHT}},
    }


@pytest.fixture
def little_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """A file of a few lines is large already."""
    monkeypatch.setattr(answers, "TEXT_AT_ONCE", 1_000)


def large(*, after: str = "") -> dict[str, tuple[str, bytes]]:
    """Return a file of answers of 250 pupils."""
    rows = "".join(f"H{n:03},{RIGHT}\n" for n in range(250))
    return {"file": ("board.csv", f"student,1\n{after}{rows}".encode())}


@pytest.mark.usefixtures("little_at_once")
def test_a_large_file_is_read_as_work_that_may_be_left(client: Client, papers: str) -> None:
    """Its page says what is done; what it leads to says how many, a part of the list at a time."""
    page = client.submit(f"{papers}/answers", files=large())
    assert page.history[0].headers["location"].startswith("/jobs/")  # which leads on at once where it is done
    page = client.done(page)
    assert "250 scripts were kept and marked" in page.text
    assert page.text.count("the pupil's page") == 100
    last = client.said(f"{papers}?page=3")
    assert "Scripts 201 to 250 of 250" in last
    assert "H249" in last
    assert "The next" not in last


@pytest.mark.usefixtures("little_at_once")
def test_a_large_file_that_cannot_be_read_keeps_nothing_and_leads_back(
    client: Client, store: Store, papers: str
) -> None:
    """The sentence names the row, and the way back is to the papers."""
    page = client.done(client.submit(f"{papers}/answers", files=large(after=",7\n")))
    assert "Row 2 has answers and no pupil" in page.text
    assert f'href="{papers}"' in page.text
    assert students(store, papers) == {}
    assert client.get(f"{papers}/report").status_code == 404


def test_marks_that_cannot_be_made_leave_no_answers_behind(
    client: Client, store: Store, papers: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Answers and their marks are kept in one piece."""

    def broken(self: Marker, script: Script) -> Entry:
        raise KeyError(script.student)

    monkeypatch.setattr(Marker, "entry", broken)
    rows = "\n".join(f"H{n:02},{RIGHT}" for n in range(20))
    page = client.done(client.submit(f"{papers}/answers", pasted=f"student,1\n{rows}"))
    assert "nothing was kept" in page.text
    assert students(store, papers) == {}


def test_what_is_handed_in_while_others_are_marked_counts_as_unmarked(
    client: Client, store: Store, papers: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And so does what was marked meanwhile, until both are marked together."""
    entry, own = Marker.entry, papers.rsplit("/", 1)[1]

    def meanwhile(self: Marker, script: Script) -> Entry:
        monkeypatch.setattr(Marker, "entry", entry)
        with store.write() as db:
            me = teachers.local_teacher(db).id
            scripts.put_script(db, me, own, Script("H09", 1, {1: {"answer": RIGHT}}))
        return entry(self, script)

    monkeypatch.setattr(Marker, "entry", meanwhile)
    client.submit(f"{papers}/answers", pasted=f"student,1\nH01,{RIGHT}")
    assert "2 scripts are new or changed since the marking" in client.said(papers)
    client.submit(f"{papers}/mark")
    assert "since the marking" not in client.said(papers)


def test_entry_asks_for_a_line_that_matters(client: Client, store: Store, papers: str) -> None:
    """Nothing stands there; a wrong answer brings one line more, and both are kept."""
    assert f'value="{RIGHT}"' not in client.get(f"{papers}/enter").text
    page = client.submit(f"{papers}/enter", student="H01", **{"1 answer": "010100 0011"})
    assert "would change a mark or a belief" in page.text
    line = re.search(r'name="(1 (?!answer)\w+)"', page.text)
    assert line
    client.submit(
        f"{papers}/enter", student="H01", asked="1", **{"1 answer": "010100 0011", line[1]: "000101"}
    )
    assert set(students(store, papers)["H01"][1]) == {"answer", line[1].split()[1]}
    assert client.submit(f"{papers}/enter", student="").status_code == 422


def test_entry_counts_what_is_typed(client: Client, papers: str) -> None:
    """A key leaves each entry, or ticks it; the figure is a script's."""
    page = client.submit(
        f"{papers}/enter", student="H01", scripts="0", keys="0", **{"said 1 answer": "expected"}
    )
    assert "5.0 keystrokes a script" in page.text  # a code of three and two keys
    page = client.submit(f"{papers}/enter", student="H02", scripts="1", keys="5", **{"1 answer": "7"})
    line = re.search(r'name="(1 (?!answer)\w+)"', page.text)
    assert line
    entries = {"1 answer": "7", line[1]: "0001"}
    page = client.submit(f"{papers}/enter", student="H02", asked="1", scripts="2", keys="11", **entries)
    assert "8.0 keystrokes a script" in page.text  # five, six, and five more for the line
    assert client.submit(f"{papers}/enter", student="H03", keys="-1").status_code == 422


def test_a_script_is_not_written_over_unasked(client: Client, store: Store, papers: str) -> None:
    """A code typed twice may be a slip: what is kept stays until the teacher says so."""
    client.submit(f"{papers}/enter", student="H01", **{"1 answer": RIGHT})
    page = client.submit(f"{papers}/enter", student="H01", **{"1 answer": "010100 0011"})
    assert page.status_code == 422
    assert "kept already" in page.text
    assert 'value="010100 0011"' in page.text
    assert students(store, papers) == {"H01": {1: {"answer": RIGHT}}}
    client.submit(f"{papers}/enter", student="H01", over="H02", **{"1 answer": "010100 0011"})
    assert students(store, papers) == {"H01": {1: {"answer": RIGHT}}}
    client.submit(f"{papers}/enter", student="H01", over="H01", **{"1 answer": "010100 0011"})
    assert students(store, papers) == {"H01": {1: {"answer": "010100 0011"}}}


SHEET = "student,1\n" + "\n".join(f"H{n:02},{'010100 0011' if n > 2 else RIGHT}" for n in range(1, 6))


def eight(store: Store, title: str) -> str:
    """Return the address of papers of eight questions, on which beliefs show more than once."""
    asked = [{"operation": name, "operands": operands} for name, *operands in EIGHT]
    body = PAPERS | {"course": {"name": "12 Heron"}, "papers": [{"variant": 1, "questions": asked}]}
    with store.write() as db:
        me = teachers.local_teacher(db).id
        return f"/mark/papers/{kept.keep(db, me, 'papers', title, json.dumps(body)).id}"


def believing() -> str:
    """Return a sheet on which three of five forget to add one, and one answer does not follow from its line."""
    pupils: dict[str, tuple[str, ...]] = {f"H{n:02}": ("invert-only",) if n > 2 else () for n in range(1, 6)}
    rows = table_by(papers_of(), pupils)
    rows[0].append("1 align")
    rows[1].append("11111111")
    return "\n".join(",".join(row) for row in rows)


def test_the_report_is_a_page_that_leads_on(client: Client, store: Store) -> None:
    """What the file says and where to go from it; its styles are allowed by the page's nonce alone."""
    client.get("/work")
    papers = eight(store, "Gauges")
    assert client.get(f"{papers}/report").status_code == 404  # nothing is marked yet
    client.submit(f"{papers}/answers", pasted=believing())
    page = client.get(f"{papers}/report")
    alone = client.done(client.get(f"{papers}/report/class.html"))
    for heading in re.findall(r"<h[23][^>]*>(.*?)</h[23]>", alone.text):
        assert f">{heading}</h" in page.text
    leads = {unescape(link) for link in re.findall(r'href="(/(?:mark|teach)/[^"#]+)', page.text)}
    assert f"{papers}/scripts/H03" in leads
    assert any("/again/board?belief=invert-only" in link for link in leads)
    for link in leads:
        assert client.done(client.get(link)).status_code == 200
    assert "/again/" not in alone.text
    nonce = re.search(r'<style nonce="([^"]+)">', page.text)
    assert nonce
    assert f"style-src 'self' 'nonce-{nonce[1]}'" in page.headers["content-security-policy"]


def test_the_report_says_how_decisions_are_made_where_it_stands(client: Client, store: Store) -> None:
    """A page of the app leads to the form; a file names the table of decisions."""
    client.get("/work")
    papers = eight(store, "Gauges")
    client.submit(f"{papers}/answers", pasted=believing())
    page = client.get(f"{papers}/report").text
    alone = client.done(client.get(f"{papers}/report/class.html")).text
    assert "decisions.csv" in alone
    assert "decisions.csv" not in page
    assert re.search(rf'href="{papers}/questions/1#waiting">Decide once for 1', page)


def test_a_second_marker_sees_no_marks_before_both_are_compared(client: Client, papers: str) -> None:
    """The sample is blind; then the two are set side by side, and no mark is changed."""
    client.submit(f"{papers}/answers", pasted=SHEET)
    blind = client.said(f"{papers}/second")
    assert "of 6" in blind
    assert not re.search(r"\d of 6", blind.replace("question 1, of 6", ""))
    before = client.get(papers).text
    both = client.said(f"{papers}/second?0-1=6&1-1=4&2-1=")
    assert "agree on 1 of 2 questions" in both
    assert "at most 2 marks apart" in both
    assert client.get(papers).text == before
    wrong = client.get(f"{papers}/second?0-1=7")
    assert wrong.status_code == 422
    assert "H01, question 1: &#39;7&#39; is not taken; give a whole number from 0 to 6" in wrong.text
    assert 'value="7"' in wrong.text


def test_reports_are_made_when_they_are_asked_for(client: Client, papers: str) -> None:
    """The class's page, on paper, as a sheet and as text; an address of no report is not found."""
    client.submit(f"{papers}/answers", pasted=f"student,1\nH01,{RIGHT}\nH02,010100 0011")
    page = client.done(client.get(f"{papers}/report/class.html"))
    assert "class report" in page.text
    assert "script-src" not in page.headers["content-security-policy"]
    assert client.get(f"{papers}/report/class.pdf").content.startswith(b"%PDF-")
    assert client.get(f"{papers}/report/marks.csv").text.count("H0") == 2
    assert client.get(f"{papers}/report/secrets.txt").status_code == 404
    assert client.get(f"{papers}/report/..%2f..%2fx").status_code == 404


def test_a_key_and_a_single_question_are_read(client: Client) -> None:
    """As the command does, in the same sentences; a refused one keeps what was entered."""
    page = client.submit("/mark/key", key="question,answer\nsubtract 8.875 3.6875,01010100 0011")
    assert page.status_code == 200
    assert client.submit("/mark/key", key="banana").status_code == 422
    judged = client.said("/mark/question?question=subtract+8.875,+3.6875&answer=01010100+0011")
    assert "right" in judged
    assert client.get("/mark/question?question=banana").status_code == 422
