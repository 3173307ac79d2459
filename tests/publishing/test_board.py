"""The board in a real browser, by keyboard, without a network."""

from collections.abc import Iterator
from dataclasses import replace

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from chalkpoint.publishing.board import board
from chalkpoint.working.work import work
from lessons import brackwater, told

PARALLELS = tuple(work("subtract", f"{6 + at / 4:g}", "1.25") for at in range(20))


@pytest.fixture(scope="module")
def page(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """A browser that may load nothing but the board's own file."""
    lesson = brackwater()
    parts = [replace(part, parallels=PARALLELS) if part.kind == "worked" else part for part in lesson.parts]
    file = tmp_path_factory.mktemp("board") / "board.html"
    file.write_text(board(replace(lesson, parts=tuple(parts))), encoding="utf-8")
    context = browser.new_context(viewport={"width": 1920, "height": 1080}, reduced_motion="reduce")
    opened = context.new_page()
    asked: list[str] = []
    opened.on("request", lambda request: asked.append(request.url))
    opened.on("pageerror", lambda error: asked.append(f"error: {error}"))
    opened.goto(file.as_uri())
    yield opened
    assert asked == [file.as_uri()]
    context.close()


#: Walks within the page, where a press and a look take no time: as long as *go* says, a press of *key*.
WALK = """([key, name, there]) => {
  const view = () => document.querySelector(".deck:not([hidden]) .view:not([hidden])");
  const title = () => view().querySelector("h2").innerText;
  const bits = () => [...view().querySelectorAll("svg .rail text")]
    .filter((text) => text.getClientRects().length && /^[01]$/.test(text.textContent)).map((text) => text.textContent)
    .join("");
  const seen = [[title(), bits()]];
  const button = document.querySelector(key === "PageUp" ? "#back" : "#next");
  while (!button.disabled && (name === "" || title().includes(name) === there)) {
    document.dispatchEvent(new KeyboardEvent("keydown", {key, bubbles: true}));
    seen.push([title(), bits()]);
  }
  return seen;
}"""


def walk(page: Page, key: str, name: str = "", *, there: bool = False) -> list[list[str]]:
    """Press *key* to the end, or until *name* is in view (until it no longer is: *there*); return what is seen."""
    seen: list[list[str]] = page.evaluate(WALK, [key, name, there])
    return seen


@pytest.fixture(autouse=True)
def _from_the_start(page: Page) -> None:
    walk(page, "PageUp")


def heading(page: Page) -> str:
    """Return the title in view."""
    return page.locator(".view:visible h2").inner_text()


def digits(page: Page) -> str:
    """Return every bit in view, in the order drawn."""
    found: str = page.evaluate(WALK, ["", "no such step", True])[0][1]
    return found


def to_step(page: Page, name: str) -> None:
    """Go on until the step is in view."""
    walk(page, "ArrowRight", name)


def to_the_end_of(page: Page, name: str) -> None:
    """Go on until the step's last state is in view."""
    to_step(page, name)
    walk(page, "ArrowRight", name, there=True)
    page.keyboard.press("ArrowLeft")


def test_each_press_changes_one_thing_and_all_bits_appear(page: Page) -> None:
    """Walked to the end, the titles are the storyboard's, and the last state of each step has all its bits."""
    ends: list[list[str]] = []
    walked = walk(page, "PageDown")
    for now in walked:
        if not ends or now[0] != ends[-1][0]:
            ends.append(now)
        ends[-1] = now
    shots = len(told().shots)
    assert len(walked) > shots
    whole = [shot for shot in told().shots if shot.view.shown_step and not shot.view.hidden]
    for shot in whole:
        rows = [row for row in shot.view.shown_step.rows if not row.carries]  # type: ignore[union-attr]
        written = "".join(row.lead + row.bits + row.lost + row.exponent_bits for row in rows)
        assert [written for title, seen in ends if shot.view.title in title and seen.endswith(written)], (
            written
        )


def test_an_addition_goes_a_column_at_a_time_and_back(page: Page) -> None:
    """Each press writes one more digit of the sum; going back takes it away."""
    to_step(page, "Add")
    seen = [digits(page)]
    for _ in range(3):
        page.keyboard.press("ArrowRight")
        seen.append(digits(page))
    page.keyboard.press("ArrowLeft")

    assert [len(one) - len(seen[0]) for one in seen] == [0, 1, 2, 3]
    assert digits(page) == seen[2]


def test_the_question_and_what_is_done_stay_in_sight(page: Page) -> None:
    """While digits are added the question stands above, and the rows of earlier steps stand small below it."""
    to_step(page, "Add")

    expect(page.locator(".view:visible .asked")).to_contain_text("8.875 \u2212 3.6875")
    assert page.locator(".view:visible svg .done:visible").count() == 4


def test_a_hidden_row_is_hidden_from_everybody(page: Page) -> None:
    """Before it is revealed neither the picture nor the words beside it hold the row."""
    to_step(page, "Match the exponents")
    words = page.locator(".view:visible ul.words li:not([hidden])")
    expect(words).to_have_count(1)

    to_the_end_of(page, "Match the exponents")

    expect(words).to_have_count(2)
    expect(words.nth(1)).to_contain_text("tray one zero")


def test_a_line_can_be_covered_and_uncovered(page: Page) -> None:
    """By its number or its button, so that a class can predict it."""
    to_the_end_of(page, "Match the exponents")
    whole = digits(page)

    page.keyboard.press("2")
    covered = digits(page)
    page.locator("#covers button").nth(1).press("Enter")

    assert len(covered) < len(whole)
    assert digits(page) == whole


def test_another_one_shows_a_parallel_and_comes_back(page: Page) -> None:
    """Twenty are there; after the last picture the lesson goes on where it was."""
    to_step(page, "Match the exponents")
    page.keyboard.press("a")
    assert "1.25" in heading(page)
    page.keyboard.press("End")
    to_step(page, "Match the exponents")

    assert page.locator(".deck").count() == 21


def test_notes_open_in_a_second_window_and_follow(page: Page) -> None:
    """What is said in this state, and what comes next."""
    to_step(page, "Match the exponents")
    with page.expect_popup() as opened:
        page.keyboard.press("n")
    notes = opened.value
    expect(notes.locator("body")).to_contain_text("the exponents must match")

    page.keyboard.press("ArrowRight")

    expect(notes.locator("body")).to_contain_text("up by two")
    notes.close()


def test_the_pen_writes_and_is_wiped(page: Page) -> None:
    """A stroke leaves ink on the glass; wiping takes it away."""
    ink = "[...document.querySelector('#ink').getContext('2d').getImageData(0, 0, 1900, 800).data].some(Boolean)"
    page.keyboard.press("p")
    page.mouse.move(300, 500)
    page.mouse.down()
    page.mouse.move(700, 600)
    page.mouse.up()
    assert page.evaluate(ink)

    page.keyboard.press("w")

    assert not page.evaluate(ink)
    page.keyboard.press("p")


def test_type_is_legible_at_the_back(page: Page) -> None:
    """Nothing in the picture is smaller than 20 px of 1080, words not smaller than 32."""
    to_step(page, "Match the exponents")
    sizes = page.evaluate(
        "[...document.querySelectorAll('.view:not([hidden]) :is(p, h2, li, button)')]"
        ".filter(e => e.offsetParent && !e.closest('.words')).map(e => parseFloat(getComputedStyle(e).fontSize))"
    )

    assert min(sizes) >= 32


@pytest.fixture(scope="module")
def small_page(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """Its worked question and its four answers alone: a checker walks everything, shown or not."""
    parts = tuple(part for part in brackwater().parts if part.kind in {"worked", "hinge"})
    file = tmp_path_factory.mktemp("small") / "board.html"
    file.write_text(board(replace(brackwater(), parts=parts)), encoding="utf-8")
    opened = browser.new_page(viewport={"width": 1920, "height": 1080})
    opened.goto(file.as_uri())
    yield opened
    opened.close()


@pytest.mark.parametrize("key", ["", "d"], ids=["light", "dark"])
def test_axe_finds_nothing(small_page: Page, key: str) -> None:
    """In both looks, on the check and on the four answers."""
    small_page.keyboard.press("Home")
    if key:
        small_page.keyboard.press(key)
    for name in ("Check in decimal", "Which of the four"):
        to_step(small_page, name)
        assert Axe().run(small_page).violations_count == 0


def test_the_script_does_no_arithmetic_on_bits() -> None:
    """No parsing of numbers, no bit operators: the script shows and hides."""
    script = board(brackwater()).rpartition("<script>")[2]

    assert not any(word in script for word in ("parseInt", "BigInt", "Number(", "<<", ">>", " ^ ", "~"))
