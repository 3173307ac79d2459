"""A live class in real browsers: a teacher and pupils through a whole question, the network cut and restored."""

from __future__ import annotations

import os
import re
import signal
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect
from sqlalchemy import func, select

from chalkpoint.records import tries
from chalkpoint.records.schema import LineRow, RoomRow, SeatRow
from chalkpoint.records.security import key_of
from chalkpoint.web.live.pupil import DOOR, MOST_OF_BROWSER
from conftest_records import away, fresh_database
from conftest_web import CHILDREN_SHOWN, Served, start_at, together, workers

PATIENCE = 30_000
QUESTION = "subtract 8.875, 3.6875"
RIGHT, INVERTED = "00011101", "01110110"


class Class:
    """A teacher's browser and the pupils'."""

    def __init__(self, browser: Browser, address: str) -> None:
        self.browser = browser
        self.address = address
        self.teacher = self.page(1280)
        self.teacher.goto(start_at(address, "/teach/rooms"))
        self.teacher.get_by_label("Questions, one a line").fill(f"{QUESTION}\nadd 1.5, 2.5")
        self.teacher.get_by_role("button", name="Open the room").click()
        self.teacher.wait_for_url("**/teach/rooms/*")
        self.word = self.teacher.locator(".join b").last.inner_text()
        self.pupils: list[Page] = []

    def page(self, width: int) -> Page:
        """Open another browser."""
        context = self.browser.new_context(viewport={"width": width, "height": 844})
        page = context.new_page()
        page.set_default_timeout(PATIENCE)
        return page

    def come_in(self, seat: int) -> Page:
        """Let a pupil in by the word and a seat."""
        page = self.page(390)
        page.goto(f"{self.address}/room")
        page.get_by_label("The word on the board").fill(self.word.upper())
        page.get_by_label("Your seat").fill(str(seat))
        page.get_by_role("button", name="Come in").click()
        self.pupils.append(page)
        page.wait_for_url("**/room/seat")
        return page

    def act(self, name: str) -> None:
        """Press one of the teacher's buttons."""
        button = self.teacher.locator(f"button[value={name}], button[form={name}]").first
        with self.teacher.expect_navigation():
            button.click()

    def close(self) -> None:
        """Close every browser."""
        for page in (self.teacher, *self.pupils):
            page.context.close()


@pytest.fixture
def lesson(browser: Browser, served: Served) -> Iterator[Class]:
    """A room that is open."""
    made = Class(browser, served.address)
    yield made
    made.close()


def write(page: Page, line: str) -> None:
    """Write a line on a phone, and see it sent."""
    page.locator("#line").fill(line)
    page.get_by_role("button", name=re.compile("Send")).click()
    expect(page.locator("#sent")).to_contain_text("Sent")


def test_a_class_writes_looks_and_goes_on(lesson: Class) -> None:
    """Lines stand side by side unmarked until the teacher says; then the class goes on, from either line."""
    teacher = lesson.teacher
    pupils = [lesson.come_in(seat) for seat in (1, 2, 3)]
    expect(teacher.locator("#tally")).to_contain_text("3 have come in")
    lesson.act("open")
    for pupil, line in zip(pupils, (RIGHT, "0.0011101", INVERTED), strict=True):
        write(pupil, line)
    expect(teacher.locator("#tally .state")).to_contain_text("3 of 3 have written")
    rows = teacher.locator("#tally tbody tr")
    expect(rows).to_have_count(2)
    expect(rows.first.locator(".n b")).to_have_text("2")
    expect(teacher.locator("#tally svg.g1")).to_have_count(0)  # nothing is marked yet
    lesson.act("close")
    expect(pupils[0].locator("#sent")).to_be_visible()
    expect(pupils[0].get_by_role("button", name=re.compile("Send"))).to_have_count(0)
    lesson.act("reveal")
    expect(rows.first).to_contain_text("right")
    lesson.act("follow")
    expect(teacher.locator("main")).to_contain_text("follows a wrong line")
    expect(pupils[2].locator("main")).to_contain_text("0.1110110")
    lesson.act("back")
    lesson.act("open")
    lesson.act("close")
    lesson.act("go-on")
    expect(pupils[0].locator("main")).to_contain_text("0.0011101")
    lesson.act("next")
    expect(pupils[1].locator("h1")).to_contain_text("1.5 + 2.5")
    teacher.get_by_text("Close and forget").click()
    teacher.get_by_role("button", name=f"Close {lesson.word}").click()
    expect(pupils[0].get_by_role("button", name="Come in")).to_be_visible()


def test_a_network_that_is_cut_doubles_nothing_and_loses_nothing(lesson: Class) -> None:
    """A line written without network arrives when it is back, once; the tally counts again."""
    pupil, other = lesson.come_in(1), lesson.come_in(2)
    lesson.act("open")
    write(other, RIGHT)
    expect(pupil.locator("#line")).to_be_visible()
    pupil.context.set_offline(True)
    pupil.locator("#line").fill(INVERTED)
    pupil.get_by_role("button", name=re.compile("Send")).click()
    expect(pupil.locator("#sent")).to_contain_text("Not sent yet")
    expect(lesson.teacher.locator("#tally .state")).to_contain_text("1 of 2")
    pupil.context.set_offline(False)
    expect(pupil.locator("#sent")).to_contain_text("Sent")
    write(pupil, INVERTED)
    expect(lesson.teacher.locator("#tally .state")).to_contain_text("2 of 2")
    lesson.teacher.context.set_offline(True)
    write(other, INVERTED)
    lesson.teacher.context.set_offline(False)
    expect(lesson.teacher.locator("#tally tbody .n b")).to_have_text(["2"])


def test_a_line_that_was_refused_is_written_again_on_the_same_page(lesson: Class) -> None:
    """The keys are there, and a network that is cut just then loses nothing either."""
    pupil = lesson.come_in(1)
    lesson.act("open")
    pupil.locator("#line").fill("banana")
    pupil.get_by_role("button", name="Send this line").click()
    expect(pupil.get_by_role("alert")).to_contain_text("'banana' cannot be read as this line")
    expect(pupil.locator("#line")).to_have_value("banana")
    pupil.locator("#line").fill("")
    for bit in RIGHT:
        pupil.get_by_role("button", name=bit, exact=True).click()
    pupil.context.set_offline(True)
    pupil.get_by_role("button", name="Send this line").click()
    expect(pupil.locator("#sent")).to_contain_text("Not sent yet")
    pupil.context.set_offline(False)
    expect(pupil.locator("#sent")).to_contain_text("Sent: 0.0011101")
    expect(lesson.teacher.locator("#tally .state")).to_contain_text("1 of 1 have written")


@pytest.mark.skipif(not CHILDREN_SHOWN, reason="looks for child processes as Linux shows them")
def test_a_class_outlives_a_process_and_the_database(
    browser: Browser, postgresql_server: str, tmp_path: Path
) -> None:
    """What is written while nothing answers arrives afterwards, and every open page is told again."""
    url = fresh_database(postgresql_server)
    with together(url, tmp_path) as (address, serving):
        lesson = Class(browser, address)
        pupil, other = lesson.come_in(1), lesson.come_in(2)
        lesson.act("open")
        write(other, RIGHT)
        expect(pupil.locator("#line")).to_be_visible()
        os.kill(workers(serving)[0], signal.SIGKILL)
        with away(url):
            pupil.locator("#line").fill(INVERTED)
            pupil.get_by_role("button", name=re.compile("Send")).click()
            expect(pupil.locator("#sent")).to_contain_text("Not sent yet")
            assert pupil.request.get(f"{address}/room/seat").status == 503
            lesson.teacher.wait_for_timeout(
                5_000
            )  # long enough that pages whose stream broke ask again, in vain
        expect(pupil.locator("#sent")).to_contain_text("Sent")
        expect(lesson.teacher.locator("#tally .state")).to_contain_text("2 of 2")
        lesson.act("close")
        expect(other.get_by_role("button", name=re.compile("Send"))).to_have_count(0)
        lesson.close()


def test_letter_cards_need_no_phones(lesson: Class) -> None:
    """A count typed by the teacher stands in the same view; a count that cannot be read is refused."""
    lesson.act("hinge")
    cards = lesson.teacher.get_by_label("Cards counted")
    cards.fill("A 12, E 1")
    lesson.teacher.get_by_role("button", name="Count").click()
    expect(lesson.teacher.locator("#refusal")).to_contain_text("not one of the answers")
    lesson.teacher.get_by_label("Cards counted").fill("A 12, B 7, C 3")
    lesson.teacher.get_by_role("button", name="Count").click()
    expect(lesson.teacher.locator("#tally .state")).to_contain_text("22")
    expect(lesson.teacher.locator("#tally .n b")).to_have_text(["12", "7", "3", "0"])


def test_pupils_choose_a_letter_on_phones_too(lesson: Class) -> None:
    """A chosen letter may be changed, and counts once."""
    pupil = lesson.come_in(5)
    lesson.act("hinge")
    pupil.locator("[name=letter]").nth(1).click()
    expect(lesson.teacher.locator("#tally .n b")).to_have_text(["0", "1", "0", "0"])
    pupil.locator("[name=letter]").nth(2).click()
    expect(lesson.teacher.locator("#tally .n b")).to_have_text(["0", "0", "1", "0"])


def test_a_slip_lets_its_seat_in_and_takes_it_back(lesson: Class) -> None:
    """A pupil whose phone died comes in again by the slip; the first browser is out."""
    first = lesson.come_in(4)
    lesson.teacher.get_by_role("button", name=re.compile("Print slips")).click()
    code = lesson.teacher.locator(".slips li").nth(3).locator(".bits").inner_text()
    again = lesson.page(390)
    lesson.pupils.append(again)
    again.goto(f"{lesson.address}/room")
    again.get_by_label("Or the signs on your slip").fill(code.lower())
    again.get_by_role("button", name="Come in").click()
    expect(again.locator("main")).to_contain_text("seat 4")
    first.reload()
    expect(first.get_by_role("button", name="Come in")).to_be_visible()


@pytest.mark.parametrize(
    ("word", "seat", "said"),
    [("heron dune", "1", "No room"), ("banana", "1", "word"), ("", "0", "not a seat")],
)
def test_a_wrong_word_or_seat_is_refused(lesson: Class, word: str, seat: str, said: str) -> None:
    """One sentence, and what was entered stays."""
    page = lesson.page(390)
    lesson.pupils.append(page)
    page.goto(f"{lesson.address}/room")
    page.get_by_label("The word on the board").fill(word or lesson.word)
    page.get_by_label("Your seat").fill(seat)
    page.get_by_role("button", name="Come in").click()
    expect(page.get_by_role("alert")).to_contain_text(said)
    expect(page.get_by_label("Your seat")).to_have_value(seat)


def test_words_cannot_be_guessed_one_after_the_other(lesson: Class, served: Served) -> None:
    """After many wrong ones of a browser even the right word waits; a slip lets in all the same."""
    page = lesson.page(390)
    lesson.pupils.append(page)
    page.goto(f"{lesson.address}/room")
    own = next(cookie["value"] for cookie in page.context.cookies() if cookie["name"] == DOOR)
    with served.store.write() as db:
        for _ in range(MOST_OF_BROWSER):
            tries.note(db, f"word {key_of(db).digest('browser', own)}")
    page.get_by_label("The word on the board").fill(lesson.word)
    page.get_by_label("Your seat").fill("1")
    page.get_by_role("button", name="Come in").click()
    expect(page.get_by_role("alert")).to_contain_text("wait a few minutes")
    lesson.teacher.get_by_role("button", name=re.compile("Print slips")).click()
    page.get_by_label("Or the signs on your slip").fill(
        lesson.teacher.locator(".slips .bits").first.inner_text()
    )
    page.get_by_role("button", name="Come in").click()
    expect(page.locator("main")).to_contain_text("seat 1")


def test_a_room_that_is_closed_leaves_nothing(lesson: Class, served: Served) -> None:
    """No seat, no line and no word of it is in the database."""
    pupil = lesson.come_in(1)
    lesson.act("open")
    write(pupil, RIGHT)
    lesson.teacher.get_by_text("Close and forget").click()
    lesson.teacher.get_by_role("button", name=f"Close {lesson.word}").click()
    expect(lesson.teacher.locator("h1")).to_have_text("A live class")
    with served.store.read() as db:
        for row in (RoomRow, SeatRow, LineRow):
            assert db.scalar(select(func.count()).select_from(row)) == 0


def test_pupils_have_no_way_to_the_teachers_pages_cookie_or_lines(lesson: Class, served: Served) -> None:
    """A pupil's cookie goes to the room only, and the room's pages say nothing of who wrote what."""
    pupil, other = lesson.come_in(1), lesson.come_in(2)
    lesson.act("open")
    write(other, "0.1110111")
    cookies = {cookie["name"]: cookie["path"] for cookie in pupil.context.cookies()}
    assert cookies == {"seat": "/room", "room-door": "/room"}
    pupil.reload()
    expect(pupil.locator("#line")).to_be_visible()
    assert "0.1110111" not in pupil.content()
    expect(lesson.teacher.locator("#tally .state")).to_contain_text("1 of 2")
    assert re.search(r"seat\s+2", lesson.teacher.locator("#tally").inner_text(), re.IGNORECASE) is None


def test_a_seat_that_was_left_is_free(lesson: Class) -> None:
    """Whoever takes it is not told that somebody sits there."""
    pupil = lesson.come_in(1)
    pupil.get_by_role("button", name="Leave the room").click()
    expect(pupil.get_by_role("button", name="Come in")).to_be_visible()
    again = lesson.come_in(1)
    expect(again.locator("main")).to_contain_text("seat 1")


def test_axe_finds_nothing_in_any_state_of_a_class(lesson: Class) -> None:
    """Teacher's and pupil's pages hold the rules while lines are written, looked at and shown."""
    pupil = lesson.come_in(1)

    def check() -> None:
        for page in (lesson.teacher, pupil):
            page.wait_for_load_state()
            found = Axe().run(page)
            assert found.violations_count == 0, found.generate_report()

    check()
    lesson.act("open")
    write(pupil, INVERTED)
    expect(lesson.teacher.locator("#tally tbody tr")).to_have_count(1)
    check()
    for act in ("close", "reveal", "follow", "hinge"):
        lesson.act(act)
        lesson.teacher.wait_for_load_state()
    expect(pupil.locator("[name=letter]").first).to_be_visible()
    check()


def test_without_script_a_pupil_writes_all_the_same(browser: Browser, lesson: Class) -> None:
    """Forms alone do: the page is sent, and says so."""
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{lesson.address}/room")
    page.get_by_label("The word on the board").fill(lesson.word)
    page.get_by_label("Your seat").fill("9")
    page.get_by_role("button", name="Come in").click()
    page.wait_for_url("**/room/seat")
    lesson.act("open")
    page.reload()
    page.locator("#line").fill(RIGHT)
    page.get_by_role("button", name=re.compile("Send")).click()
    expect(page.locator("#sent")).to_contain_text("Sent: 0.0011101")
    expect(lesson.teacher.locator("#tally .state")).to_contain_text("1 of 1")
    context.close()
