"""The homework sheet in a real browser: feedback, hints, and a file that marking reads."""

import csv
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from chalkpoint.publishing.sheet import sheet
from chalkpoint.teaching.practice import practice
from lessons import brackwater


@pytest.fixture(scope="module")
def page(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """A browser that may load nothing but the sheet's own file."""
    file = tmp_path_factory.mktemp("sheet") / "sheet.html"
    file.write_text(sheet(brackwater()), encoding="utf-8")
    context = browser.new_context()
    opened = context.new_page()
    asked: list[str] = []
    opened.on("request", lambda request: asked.append(request.url))
    opened.goto(file.as_uri())
    yield opened
    assert [url for url in asked if not url.startswith("blob:")] == [file.as_uri()]
    context.close()


def test_every_right_line_is_told_right(page: Page) -> None:
    """What the working writes is accepted, with or without points and spaces."""
    for number, question in enumerate(practice(brackwater()), start=1):
        for at, line in enumerate(question.lines, start=1):
            page.fill(f"#q{number}l{at}", f" {line.expects[:1]}.{line.expects[1:]} ")
            page.press(f"#q{number}l{at}", "Enter")
            expect(page.locator(f"#q{number}l{at}said")).to_have_text("Right.")


def test_a_beliefs_line_is_met_with_its_question(page: Page) -> None:
    """Not with the answer."""
    questions = practice(brackwater())
    line = next(line for line in questions[0].lines if line.rule == "negate")
    at = questions[0].lines.index(line) + 1
    bits, doubt = line.wrong[0]

    page.fill(f"#q1l{at}", bits)
    page.press(f"#q1l{at}", "Enter")

    expect(page.locator(f"#q1l{at}said")).to_have_text(f"Not yet. {doubt}")


def test_a_digit_too_few_is_told(page: Page) -> None:
    """Most slips are miscounted places."""
    page.fill("#q1l1", "0001")
    page.press("#q1l1", "Enter")

    expect(page.locator("#q1l1said")).to_contain_text("this line has 4 digits; it needs 8")


def test_hints_come_one_by_one(page: Page) -> None:
    """Three, the last beginning the line."""
    line = practice(brackwater())[0].lines[0]
    for number, hint in enumerate(line.hints, start=1):
        page.press("[data-for=q1l1].hint", "Enter")
        expect(page.locator("#q1l1said")).to_have_text(f"Hint {number} of 3. {hint}")


def test_what_was_done_is_saved_as_a_table_of_answers(page: Page) -> None:
    """The columns are those that marking reads."""
    page.fill("#student", "heron-04")
    page.fill("#q1l1", "0.0010 100")
    with page.expect_download() as saved:
        page.press("#save", "Enter")
    with Path(saved.value.path()).open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))

    assert rows[0] == ["student", "variant", "question", "line", "written"]
    assert ["heron-04", "1", "1", "align", "0.0010 100"] in rows


def test_the_sheet_says_that_answers_can_be_discovered(page: Page) -> None:
    """It is for practice only."""
    assert "for practice only: the answers are stored in it and can be discovered" in page.inner_text("main")


def test_axe_finds_nothing(page: Page) -> None:
    """Labels, names and contrast."""
    assert Axe().run(page).violations_count == 0
