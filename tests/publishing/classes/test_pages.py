"""The teacher's page and the pupil's: what stands on them, and what does not."""

import re
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser

from chalkpoint.marking.answers import scripts
from chalkpoint.marking.classes import mark_scripts
from chalkpoint.marking.summary import Summary
from chalkpoint.publishing.classes.pages import class_page
from chalkpoint.publishing.classes.pupils import student_page
from chalkpoint.working.beliefs.catalogue import BELIEFS
from heron import papers_of, table_by

PAPERS = papers_of()
PUPILS = {"Fenn": (), "Odo": ("invert-only",), "Tamsel": ("invert-only",), "Wren": ("sub-adds",)}
ENTRIES = list(mark_scripts(PAPERS, scripts(table_by(PAPERS, PUPILS), PAPERS)))


@pytest.fixture(scope="module")
def teachers() -> str:
    """The teacher's page."""
    summary = Summary(PAPERS)
    for entry in ENTRIES:
        summary.add(entry)
    return class_page(summary)


def test_counts_come_before_probabilities(teachers: str) -> None:
    """The teacher sees on how many answers a belief shows, in words, and no probability."""
    assert re.search(r"Shown on \d+ of the \d+ answers where it could show, all pupils together", teachers)
    assert "probab" not in teachers


def test_a_belief_is_said_as_a_pupil_would(teachers: str) -> None:
    """The belief stands in plain words, with its pupils and how to teach it again."""
    for text in ("To change the sign I invert every bit.", "Odo, Tamsel", "A counter-example in few digits"):
        assert text in teachers


def test_a_pupil_is_given_no_label() -> None:
    """No belief's name or words stand on a pupil's page; one hint and a fresh question do."""
    page = student_page(ENTRIES[1], PAPERS)
    assert "invert-only" not in page
    assert BELIEFS["invert-only"].says not in page
    assert BELIEFS["invert-only"].nudge in page
    assert "A fresh one" in page


def test_names_are_escaped() -> None:
    """A name that looks like markup is text."""
    entry = ENTRIES[0] | {"student": "<b>Fenn</b>"}
    assert "&lt;b&gt;Fenn&lt;/b&gt;" in student_page(entry, PAPERS)


def test_pages_are_accessible(browser: Browser, teachers: str, tmp_path: Path) -> None:
    """No rule of accessibility is broken, and at 320 px nothing scrolls sideways but tables in their own box."""
    for number, page in enumerate((teachers, student_page(ENTRIES[1], PAPERS))):
        path = tmp_path / f"{number}.html"
        path.write_text(page, encoding="utf-8")
        tab = browser.new_page(viewport={"width": 320, "height": 800})
        tab.goto(path.as_uri())
        assert Axe().run(tab).violations_count == 0
        assert tab.evaluate("document.documentElement.scrollWidth") <= 320
        tab.close()
