"""A blueprint's form with its script in a real browser: what is changed is kept and shown on the page itself."""

from playwright.sync_api import Browser, expect

from conftest_web import Furnished

TWO = """title = "Levels"

[course]
format = "6+4"

[[question]]
operation = "decode"

[[question]]
operation = "subtract"
where = ["align-shift = 2"]
"""


def test_changes_are_kept_and_words_bring_what_fits(browser: Browser, furnished: Furnished) -> None:
    """A choice is kept as it is made; typed words bring conditions with counts, and the typing goes on."""
    page = browser.new_page()
    page.set_default_timeout(30_000)
    try:
        page.goto(f"{furnished.address}/set/new?as=text")
        page.locator("#blueprint").fill(TWO)
        page.get_by_role("button", name="Save", exact=True).last.click()
        page.wait_for_url("**/set/blueprints/*")
        page.evaluate("window.stayed = true")

        page.evaluate("document.querySelector('#row-1').dataset.before = 1")
        with page.expect_response(lambda answer: answer.request.method == "POST"):
            page.locator("#q1-marks").fill("3")
            page.locator("#q1-marks").press("Tab")
        expect(page.locator("#row-1:not([data-before])")).to_be_visible()  # what was kept is shown
        expect(page.locator("#q1-marks")).to_have_value("3")
        page.locator("#row-1 .picks summary").click()
        page.locator("#say-1").press_sequentially("carry leaves")
        expect(page.locator("#row-1 .picks li").first).to_be_visible()
        expect(page.locator("#say-1")).to_be_focused()
        expect(page.locator("#say-1")).to_have_value("carry leaves")
        assert page.evaluate("window.stayed")
        page.goto(f"{page.url.partition('?')[0]}?as=text")
        assert "marks = 3" in page.locator("#blueprint").input_value()
    finally:
        page.close()
