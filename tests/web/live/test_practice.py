"""Practice: its address holds all of it, hints go deeper, levels rise and fall, and the summary names nothing."""

import re

from playwright.sync_api import Browser, Page, expect

from chalkpoint.web.live.practice import FORMATS
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


ONES = "subtract&format=8+ones-complement&level=2"
#: What is practised, and the lines of its question with seed 3 by hand: right ones only.
BY_HAND = [
    # 55 - 38: 00100110 inverted, added with its carry, and the carry brought round to the end: 17
    (ONES, ("11011001", "100010000", "00010001")),
    # -6.625: the sign, 110.101 in binary, the point two places on, 7 + 2 stored; nothing is left to round
    ("convert&format=Q5.3&to=1%2B4%2B3&level=6", ("-6.625", "1", "110.101", "2", "1.101", "1 1001 101")),
]


def test_other_families_are_practised_line_by_line(client: Client) -> None:
    """Right lines in the families' own manner are right, and the last leads on."""
    for asked, lines in BY_HAND:
        acts = "".join(f"&act=w{line.replace(' ', '+')}" for line in lines)
        page = client.get(f"/practice?operation={asked}&seed=3{acts}")
        assert page.status_code == 200
        assert "Not yet" not in page.text
        assert "Next question" in page.text


def test_each_kind_of_format_is_offered_and_begins(client: Client) -> None:
    """The form has every format in words, and a sum in the first of each kind begins."""
    form = client.get("/practice").text
    for among in FORMATS.values():
        assert all(f">{words}</option>" in form for words in among.values())
        spelling = next(iter(among)).replace("+", "%2B").replace(" ", "+")
        assert client.get(f"/practice?operation=add&format={spelling}&level=1&seed=1").status_code == 200


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
    begin_in_ones_complement(page)
    context.close()


def begin_in_ones_complement(page: Page) -> None:
    """Begin another: what no whole number can do is refused and stays chosen; reading it begins."""
    page.get_by_role("link", name="Begin another").click()
    page.get_by_label("Format").select_option("8 bits, ones\u2019 complement")
    page.get_by_label("What").select_option("normalise")
    page.get_by_role("button", name="Begin").click()
    expect(page.get_by_role("alert")).to_contain_text("nothing to normalise")
    expect(page.get_by_label("Format")).to_have_value("8 ones-complement")
    page.get_by_label("What").select_option("decode")
    page.get_by_label("Begin").select_option("with the last line mine")
    page.get_by_role("button", name="Begin").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Decode")
    expect(page.locator("#line")).to_be_focused()
