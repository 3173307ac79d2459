"""The pupil's page: their lines above the right ones, the first wrong bit ringed, at most two sides of A4.

H07 of class 12 Heron subtracts 3.6875 from 8.875 and inverts without adding one: align 0.0011101 is right, negate
1.1100010 should end in 1, what follows is right from there.
"""

import io
import re

import pikepdf
import pypdfium2
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser

from chalkpoint.marking.answers import Script
from chalkpoint.marking.feedback import feedback
from chalkpoint.marking.students import Entry, Marker
from chalkpoint.publishing.classes.pupils import rows_for, student_page
from chalkpoint.publishing.classes.pupilsprinted import students_pdf
from chalkpoint.publishing.classes.written import rows_of
from chalkpoint.setting.papers import Papers
from chalkpoint.working.beliefs.catalogue import BELIEFS
from heron import one_question, papers_of

LINES = {
    "align": "0.0011101",
    "negate": "1.1100010",
    "add": "0.0101001",
    "answer": "0.1010010 0011",
    "decimal": "5.125",
}
TEN = [("subtract", "8.875", "3.6875")] * 10


def entry_of(papers: Papers, written: dict[int, dict[str, str]]) -> Entry:
    """Return a pupil's entry."""
    return Marker(papers).entry(Script("H07", 1, written))


def test_the_first_wrong_bit_is_ringed_and_no_other() -> None:
    """The last bit of negate; the right row under it, and under the answer; a tick where their line earned its mark."""
    papers = papers_of(TEN[0], format="8+4")
    told = feedback(entry_of(papers, {1: LINES}), papers).questions[0]
    rows = rows_for(told)
    assert [(row.kind, row.label, row.tick) for row in rows][:4] == [
        ("theirs", "align", True),
        ("theirs", "negate", False),
        ("right", "right", False),
        ("theirs", "add", True),
    ]
    ringed = [(row.label, cell.column) for row in rows if row.rail for cell in row.rail.cells if cell.ringed]
    assert ringed == [("negate", 7)]
    assert told.sentence == "Your line align is right; invert every bit, then add one in the last place."
    assert rows[1].mark == "0 of 1"


def test_nothing_of_a_belief_is_said() -> None:
    """Neither its name nor its words, on the page or on paper; the right rule is."""
    papers = papers_of(*TEN, format="8+4")
    entry = entry_of(papers, dict.fromkeys(range(1, 11), LINES))
    page = student_page(entry, papers)
    text = " ".join(
        one.get_textpage().get_text_range() for one in pypdfium2.PdfDocument(students_pdf([entry], papers))
    )
    for said in (page, text):
        assert "invert-only" not in said
        assert BELIEFS["invert-only"].says not in said
        assert "add one in the last" in " ".join(said.split())
    assert len(re.findall(r'class="[^"]*\bring\b', page)) == 10


@pytest.mark.parametrize("fmt", ["8+4", "10+6", "12+4"])
def test_ten_questions_take_two_sides(fmt: str) -> None:
    """Every question wrong with all its lines, or every one right, or nothing written."""
    papers = papers_of(*TEN, format=fmt)
    wrong = dict.fromkeys(range(1, 11), LINES)
    right = {number: {"answer": "5.1875"} for number in range(1, 11)}
    for written in (wrong, right, {}):
        pdf = students_pdf([entry_of(papers, written)], papers)
        assert len(pypdfium2.PdfDocument(pdf)) <= 2
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert "/StructTreeRoot" in opened.Root


def test_full_marks_take_one_line() -> None:
    """One row, with its tick, and no sentence."""
    papers = papers_of(TEN[0], format="8+4")
    told = feedback(entry_of(papers, {1: {"answer": "0.1010100 0011"}}), papers)
    assert told.questions[0].is_full
    assert [(row.label, row.tick) for row in rows_for(told.questions[0])] == [("", True)]
    assert told.questions[0].sentence == ""
    assert told.good[0] == "The question is right."
    assert told.fresh is not None


def test_what_is_good_can_be_counted() -> None:
    """With its lines the answer earns 5 of 6, alone 1 or less: the lines earned the rest, and that is said."""
    papers = papers_of(TEN[0], ("decode", "10110000 1110"), format="8+4")
    entry = entry_of(papers, {1: LINES, 2: {"answer": "-5/32"}})
    alone = entry_of(papers, {1: {"answer": LINES["answer"]}})
    more = entry["questions"][0]["marks"] - alone["questions"][0]["marks"]
    good = feedback(entry, papers).good
    assert good[0] == "Question 2 is right in every mark."
    assert good[1].startswith(f"You wrote your lines in 1. They earned {more} marks")


@pytest.mark.parametrize(
    ("line", "text", "bits", "changed", "exponent"),
    [
        ("answer", "0.1010100 0011", "01010100", [], "0011"),
        ("answer", "01010010 0111", "01010010", [5, 6], "0111"),
        ("answer", "0.10101 0011", "010101", [], "0011"),
        ("answer", "0.1010100 3", "01010100", [], ""),
        ("align", "0.0011101|10", "00011101", [], ""),
        ("add", "1 0.0101010", "00101010", [], ""),
    ],
)
def test_what_is_written_stands_in_its_columns(
    line: str, text: str, bits: str, changed: list[int], exponent: str
) -> None:
    """By hand: 8.875 - 3.6875 aligns to 0.0011101, adds to 0.0101010 and is 0.1010100 0011."""
    rail = rows_of(one_question(*TEN[0], format="8+4").question).written(line, text)
    assert rail
    assert rail.bits == bits if line != "add" else rail.bits.endswith(bits)
    assert [cell.column for cell in rail.cells if cell.changed] == changed
    assert "".join(cell.digit for cell in rail.exponent) == exponent


def test_the_page_is_legible_on_a_phone_and_accessible(browser: Browser) -> None:
    """At 360 px nothing scrolls sideways; axe finds nothing, the working unfolded too."""
    papers = papers_of(TEN[0], ("decode", "10110000 1110"), ("range",), format="8+4")
    page = student_page(entry_of(papers, {1: LINES, 2: {"answer": "7"}}), papers)
    tab = browser.new_page(viewport={"width": 360, "height": 800})
    tab.set_content(page)
    tab.get_by_text("Look at the working").click()
    assert Axe().run(tab).violations_count == 0
    assert tab.evaluate("document.documentElement.scrollWidth") <= 360
    tab.close()
