"""The printed report: tagged, the same bytes every time, and with the words of the pages."""

import io

import pikepdf
import pypdfium2
import pytest

from chalkpoint.marking.answers import Script, scripts
from chalkpoint.marking.classes import mark_scripts
from chalkpoint.marking.students import Marker
from chalkpoint.marking.summary import Summary
from chalkpoint.publishing.classes.printed import class_pdf
from chalkpoint.publishing.classes.pupilsprinted import students_pdf
from chalkpoint.working.beliefs.catalogue import BELIEFS
from heron import papers_of, table_by

PAPERS = papers_of(("subtract", "6.5", "1.25"), ("subtract", "5.5", "-2.25"), ("subtract", "3.5", "1.25"))
ENTRIES = list(mark_scripts(PAPERS, scripts(table_by(PAPERS, {"Fenn": (), "Odo": ("invert-only",)}), PAPERS)))


@pytest.fixture(scope="module")
def summary() -> Summary:
    """The class summed up."""
    found = Summary(PAPERS)
    for entry in ENTRIES:
        found.add(entry)
    return found


def words(pdf: bytes) -> str:
    """Return the text of a PDF on one line."""
    pages = pypdfium2.PdfDocument(pdf)
    return " ".join(" ".join(page.get_textpage().get_text_range() for page in pages).split())


def test_the_report_says_what_the_page_says(summary: Summary) -> None:
    """Marks, the belief in plain words and its evidence stand on the printed report."""
    text = words(class_pdf(summary))
    for part in ("2 of 2 papers marked", BELIEFS["invert-only"].says, "Shown on 3 of the 3 answers"):
        assert part in text


def test_monday_comes_first_then_decisions_then_figures(summary: Summary) -> None:
    """The order of the page: what to do on Monday, what to decide, what the figures are."""
    text = words(class_pdf(summary))
    places = [text.index(word) for word in ("Monday", "Decisions left", "Questions", "Skills", "Beliefs")]
    assert places == sorted(places)
    assert "Odo lost" in text
    assert "Board, ready:" in text


def test_the_report_is_tagged_and_repeats(summary: Summary) -> None:
    """The PDF has a structure and a title, and the same class makes the same bytes."""
    pdf = class_pdf(summary)
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert "/StructTreeRoot" in opened.Root
        assert str(opened.docinfo["/Title"]) == "Gauge readings"
    assert class_pdf(summary) == pdf


def test_each_pupil_begins_a_page_without_a_label() -> None:
    """Two pupils have two pages or more, and no belief is named to them."""
    pdf = students_pdf(ENTRIES, PAPERS)
    assert len(pypdfium2.PdfDocument(pdf)) >= 2
    assert "invert-only" not in words(pdf)


@pytest.mark.parametrize(
    "text",
    [
        "\uff10\uff11\uff10",
        "\U0001f600 0101",
        "\u05e9\u05dc\u05d5\u05dd",
        "a\x00b\x1b",
        "\ud800",
        "\u4e2d\u6587",
    ],
)
def test_whatever_a_pupil_may_type_can_be_printed(text: str) -> None:
    """Full-width digits, emoji, right to left, control characters: nothing stops the printing."""
    papers = papers_of(("subtract", "6.5", "1.25"))
    entry = Marker(papers).entry(Script(f"H01 {text}", 1, {1: {"answer": text, "align": text}}))
    summary = Summary(papers)
    summary.add(entry)
    assert class_pdf(summary).startswith(b"%PDF")
    assert students_pdf([entry], papers).startswith(b"%PDF")
