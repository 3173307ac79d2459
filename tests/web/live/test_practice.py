"""Practice: its address holds all of it, hints go deeper, levels rise and fall, and the summary names nothing."""

import re

from playwright.sync_api import Browser, expect

from conftest_web import Client, Served

START = "/practice?operation=subtract&format=8%2B4&seed=7&level=3"


def test_a_session_is_its_address(client: Client) -> None:
    """The same address shows the same page, in another browser too; nothing is kept here."""
    page = client.get(f"{START}&act=w0.1111111&act=h").text
    again = Client(client.app, base_url="http://127.0.0.1:8000").get(f"{START}&act=w0.1111111&act=h").text
    assert page == again
    assert "0.1111111" in page


def test_what_cannot_be_read_is_refused_and_the_line_stays(client: Client) -> None:
    """One sentence, the entry kept, and no step is lost."""
    answer = client.get(f"{START}&now=w&line=banana")
    assert answer.status_code == 422
    assert 'value="banana"' in answer.text
    for broken in ("&act=x", "&level=99", "&seed=-1"):
        assert client.get(START.replace("&level=3", "") + broken).status_code == 422


def test_a_long_session_ends_with_a_sentence(client: Client) -> None:
    """Past the most steps it is said to begin another."""
    answer = client.get(START + "&act=h" * 301)
    assert answer.status_code == 422
    assert "begin another" in answer.text


def test_the_summary_says_what_was_done_without_labels(client: Client) -> None:
    """It is plain text to keep, and names no belief."""
    address = START.replace("practice?", "practice/summary.txt?")
    answers = [client.get(f"{address}{'&act=f' * lines}&act=n") for lines in range(3, 7)]
    (text,) = [answer.text for answer in answers if answer.status_code == 200]
    assert text.startswith("Practice: subtract in 8+4")
    assert "filled in" in text
    assert "invert-only" not in text


def test_a_pupil_goes_through_a_question_by_keyboard(browser: Browser, served: Served) -> None:
    """A wrong line is met with a question, a hint goes deeper, the line filled in leads on."""
    context = browser.new_context(viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(served.address + START)
    expect(page.locator("#line")).to_be_focused()
    zero = page.get_by_role("button", name="0", exact=True)
    box = zero.bounding_box()
    assert box
    assert box["height"] >= 90  # large enough for a thumb
    zero.click()
    expect(page.locator("#line")).to_have_value("0")
    page.get_by_role("button", name="Rub out").click()
    page.locator("#line").focus()
    page.keyboard.type("0.1111111")
    page.keyboard.press("Enter")
    expect(page.locator(".said")).to_contain_text("Not yet")
    nudge = page.locator(".said").inner_text()
    with page.expect_navigation():
        page.get_by_role("button", name="A hint").click()
    expect(page.locator(".said")).not_to_have_text(nudge)
    fill, onward = (page.get_by_role("button", name=name) for name in ("Fill it in", "Next question"))
    while fill.count():
        with page.expect_navigation():  # in the moment between two pages there is no button at all
            fill.click()
    onward.click()
    expect(page.locator(".top")).to_contain_text("Question 2")
    expect(page).to_have_url(re.compile("act="))
    context.close()
