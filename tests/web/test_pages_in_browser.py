"""Every page in a real browser: narrow and wide, light and dark, with script and without; axe finds nothing."""

from __future__ import annotations

from typing import Literal

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from conftest_web import Furnished
from pages import FOUND, PAGES, WORKED

Look = Literal["light", "dark"]
SHOWN: tuple[tuple[int, Look], ...] = ((320, "light"), (1920, "dark"))
FIRST_PAGE = 150_000  # bytes of a teacher's first page, with everything it loads
PUPILS_PAGE = 60_000
#: Texts of four letters or more that are broken into lines of fewer than three.
LETTER_BY_LETTER = """() => {
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), found = [];
  while (walk.nextNode()) {
    const text = walk.currentNode.data.trim(), range = document.createRange();
    if (text.length < 4 || walk.currentNode.parentElement.closest("script, style, svg")) continue;
    range.selectNodeContents(walk.currentNode);
    const lines = new Set([...range.getClientRects()].filter(one => one.width > 1).map(one => Math.round(one.top)));
    if (lines.size > 2 && text.length < 3 * lines.size) found.push(text);
  }
  return found;
}"""


def opened(
    browser: Browser,
    furnished: Furnished,
    page: str,
    width: int,
    look: Look = "light",
    *,
    script: bool = True,
) -> Page:
    """Open a page of the furnished server in a browser of its own."""
    context = browser.new_context(
        viewport={"width": width, "height": 900},
        color_scheme=look,
        java_script_enabled=script,
    )
    made = context.new_page()
    made.set_default_timeout(30_000)
    made.goto(furnished.address + page.format(**furnished.at))
    made.wait_for_url(lambda url: "/jobs/" not in url)  # on a busy machine a count takes a page of its own
    return made


@pytest.mark.parametrize("page", PAGES)
def test_axe_finds_nothing_nothing_scrolls_sideways_and_script_changes_no_words(
    browser: Browser, furnished: Furnished, page: str
) -> None:
    """In either look, narrow or wide, the rules of axe hold, and a page is no wider than its window.

    What a page is about stands in it without script.
    """
    width, look = SHOWN[-1]
    without = opened(browser, furnished, page, width, look, script=False)
    made = opened(browser, furnished, page, width, look)
    try:
        assert without.locator("h1").first.inner_text() == made.locator("h1").first.inner_text()
        if not page.endswith("/board") and "rooms/" not in page:
            assert without.locator("form").count() == made.locator("form").count()
        for width, look in reversed(SHOWN):
            made.set_viewport_size({"width": width, "height": 900})
            made.emulate_media(color_scheme=look)
            found = Axe().run(made)
            assert found.violations_count == 0, found.generate_report()
            if not page.endswith("/board"):  # a stage of its own, scaled to the window
                assert made.evaluate("document.documentElement.scrollWidth") <= width
            if page.startswith(("/set", "/find")):
                assert made.evaluate(LETTER_BY_LETTER) == []
    finally:
        without.context.close()
        made.context.close()


@pytest.mark.parametrize(
    ("page", "most"), [(WORKED, FIRST_PAGE), ("/room", PUPILS_PAGE), ("/practice", PUPILS_PAGE)]
)
def test_a_page_is_small_and_loads_nothing_from_outside(
    browser: Browser, furnished: Furnished, page: str, most: int
) -> None:
    """All that a first visit loads comes from here and is within its limit."""
    context = browser.new_context()
    made = context.new_page()
    loaded: list[tuple[str, int]] = []
    made.on("response", lambda answer: loaded.append((answer.url, len(answer.body()))))
    made.goto(furnished.address + page)
    made.wait_for_load_state("networkidle")
    context.close()
    assert sum(size for _, size in loaded) < most
    assert all(url.startswith((furnished.address, "data:")) for url, _ in loaded)


def test_every_control_is_reached_by_keyboard_and_is_large_enough(
    browser: Browser, furnished: Furnished
) -> None:
    """Tab goes through every control of the page in turn; none is smaller than a fingertip's least; none is printed."""
    made = opened(browser, furnished, FOUND, 1280)
    wanted = made.locator(
        "a:visible, button:visible, input:not([type=hidden]):visible, select:visible, [tabindex='0']:visible"
    ).count()
    seen = set()
    for _ in range(wanted + 20):
        made.keyboard.press("Tab")
        seen.add(made.evaluate("[...document.querySelectorAll('*')].indexOf(document.activeElement)"))
    assert len(seen) >= wanted
    sizes = made.eval_on_selector_all(
        "button, a.button, input:not([type=hidden]), select",
        "all => all.map(one => one.getBoundingClientRect().height)",
    )
    assert min(size for size in sizes if size) >= 24
    made.emulate_media(media="print")
    assert made.locator(".top:visible, .foot:visible, .acts:visible, button:visible").count() == 0
    made.context.close()


def test_zoomed_to_200_percent_a_page_still_fits(browser: Browser, furnished: Furnished) -> None:
    """A window of 1280 at 200% has 640 px: nothing scrolls sideways but tables in their own box."""
    made = opened(browser, furnished, "{marking}", 640)
    assert made.evaluate("document.documentElement.scrollWidth") <= 640
    made.context.close()


@pytest.mark.parametrize("page", ["{marking}/report", "{marking}/report/class.html"])
def test_the_words_of_a_narrow_report_stay_whole(browser: Browser, furnished: Furnished, page: str) -> None:
    """Its tables scroll in their box; a pupil's code is one line high."""
    made = opened(browser, furnished, page, 320)
    made.wait_for_url("**/report**")
    high, line = made.locator("tbody th").first.evaluate(
        "one => { const r = document.createRange(); r.selectNodeContents(one);"
        " return [r.getBoundingClientRect().height, parseFloat(getComputedStyle(one).lineHeight)]; }"
    )
    assert high <= line * 1.5
    made.context.close()
