"""A whole story, as a teacher lives it on a Tuesday night: found, set, printed, answered, marked, taught again."""

from __future__ import annotations

import csv
import io
import json
import re

from playwright.sync_api import Browser, Page, expect

from chalkpoint.marking.ways import Way, held_method
from chalkpoint.setting.paperfile import papers_from
from chalkpoint.working.procedures import answer_by
from conftest_web import start_at

__all__ = ["live", "tell"]

PATIENCE = 30_000


def tell(browser: Browser, address: str, *, script: bool) -> None:
    """Live the story at an address."""
    context = browser.new_context(java_script_enabled=script, viewport={"width": 1280, "height": 900})
    page = context.new_page()
    page.set_default_timeout(PATIENCE)
    try:
        live(page, address)
    finally:
        context.close()


def live(page: Page, address: str) -> None:
    """Live the story on a page."""
    _find(page, address)
    papers = _set(page)
    _mark(page, papers)
    _decide(page)
    _teach_again(page)
    _delete_and_undo(page, address)


def _find(page: Page, address: str) -> None:
    """Find questions, first with a line that excludes another."""
    page.goto(start_at(address, "/find"))
    page.goto(
        f"{address}/find?operation=subtract&format=6%2B4&where=equal-exponents&where=lost-ones+%3E%3D+1"
    )
    expect(page.locator("#answer")).to_contain_text("none exists")
    page.get_by_role("link", name=re.compile("without equal-exponents")).click()
    page.get_by_label("Add a line").select_option("exposes:invert-only")
    page.get_by_role("button", name="Count").click()
    expect(page.locator("#answer")).to_contain_text("counted exactly")
    page.get_by_role("button", name="Put these in a paper").click()


def _set(page: Page) -> str:
    """Write the blueprint, once wrongly; set papers and look at one of the files."""
    title = page.get_by_label("Title")
    title.fill("x" * 201)
    page.get_by_role("button", name="Save").click()
    expect(page.locator("#refusal")).to_contain_text("1 to 200")
    title.fill("Readings of the bed gauge")
    page.get_by_role("button", name="Save").click()
    page.get_by_label("Papers, one for each pupil").fill("3")
    page.get_by_role("button", name="Set papers").click()
    page.wait_for_url("**/set/papers/*")
    expect(page.locator("h1")).to_have_text("Readings of the bed gauge")
    printed = page.request.get(f"{page.url}/files/papers.pdf")
    assert printed.body().startswith(b"%PDF-")
    body = page.request.get(f"{page.url}/files/papers.json").text()
    page.get_by_role("link", name=re.compile("Mark them")).click()
    return body


def _mark(page: Page, body: str) -> None:
    """Paste a class's answers, first without heads; most of the class forget to add one."""
    page.get_by_label("Answers").fill("H01\t1")
    page.get_by_role("button", name="Save and mark").click()
    expect(page.locator("#refusal")).to_contain_text("heads")
    page.get_by_label("Answers").fill(_sheet(body))
    page.get_by_role("button", name="Save and mark").click()
    page.wait_for_url("**/mark/papers/*kept=8")
    expect(page.locator("main")).to_contain_text("More than half of the class shows one belief")
    expect(page.locator("main")).to_contain_text("invert every bit")


def _sheet(body: str) -> str:
    """Return answers of eight pupils, five of whom hold a belief, as cells from a sheet."""
    papers = papers_from(json.loads(body))
    numbers = [str(asked.number) for asked in papers.first.questions]
    out = io.StringIO()
    sheet = csv.writer(out, delimiter="\t", lineterminator="\n")
    sheet.writerow(["student", "variant", *numbers])
    for pupil in range(1, 9):
        variant = papers.variants[(pupil - 1) % len(papers.variants) + 1]
        way = Way("", ("invert-only",)) if pupil > 3 else Way()
        answers = [
            answer_by(held_method(way, asked.question.operation.name, asked.question.course), asked.question)
            for asked in variant.questions
        ]
        sheet.writerow([f"H{pupil:02}", variant.variant, *answers])
    return out.getvalue()


def _decide(page: Page) -> None:
    """Give a mark by hand: it counts, it says so, and it can be taken back."""
    page.get_by_role("link", name="H05", exact=True).click()
    expect(page.locator("h1")).to_contain_text("H05")
    before = page.locator("h1").inner_text()
    row = page.get_by_role("row", name=re.compile("^negate")).first
    row.get_by_text("Change", exact=False).click()  # nothing waits here, so its form is folded up
    row.get_by_role("combobox").select_option("1")
    row.get_by_role("textbox").fill("seen on the sheet")
    row.get_by_role("button").click()
    expect(page.locator("h1")).not_to_have_text(before)
    expect(page.locator("main")).to_contain_text("The teacher decided: seen on the sheet")
    page.get_by_role("button", name=re.compile("Withdraw")).click()
    expect(page.locator("h1")).to_have_text(before)
    expect(page.locator("main")).to_contain_text("withdrawn")
    page.get_by_role("link", name="Readings of the bed gauge").click()


def _teach_again(page: Page) -> None:
    """From the belief to its counter-example, and onto the board."""
    page.get_by_role("link", name=re.compile("Teach it again")).first.click()
    expect(page.locator("h1")).to_contain_text("invert every bit")
    page.get_by_role("button", name="Make a lesson of it").click()
    page.get_by_role("link", name="Show on the board").click()
    expect(page.locator("h1.words")).to_have_count(1)
    expect(page.locator(".view h2").first).to_contain_text("in 6+4")  # the format of the papers


def _delete_and_undo(page: Page, address: str) -> None:
    """What is deleted by mistake comes back."""
    page.goto(f"{address}/set")
    page.get_by_role("button", name=re.compile("Delete Readings")).first.click()
    expect(page.get_by_role("status")).to_contain_text("Just deleted")
    page.get_by_role("button", name=re.compile("Undo")).click()
    expect(page.get_by_role("link", name="Readings of the bed gauge", exact=True).first).to_be_visible()
