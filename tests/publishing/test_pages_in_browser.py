"""The page as people meet it: in a browser, light and dark, wide and narrow, enlarged, on paper, read aloud."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

import chalkpoint as cp
from chalkpoint.publishing.board import board
from chalkpoint.publishing.html import fragment, page
from chalkpoint.publishing.scene import scene
from chalkpoint.teaching.lessonfile import lesson_of
from columns_cases import work as case
from drawn import HERON

WORKINGS: dict[str, cp.Working] = {
    "gauge": cp.work("subtract", "8.875", "3.6875", course=HERON, names=("gauge", "datum")),
    "stored": cp.work("encode", "-5.3", course=HERON),
    "guard bit": cp.work("subtract", "01000111 0100", "00101111 0001", method="one-guard-bit"),
    "in full": cp.work("subtract", "01000111 0100", "00001011 1010", method="exact-then-truncate"),
    "exponent first": cp.work("add", "2.75", "3.5", course=HERON.with_(exponent="first")),
    "24+8": cp.work("subtract", "0.1", "-3.7", course=HERON.with_(format="24+8")),
    "64+16": cp.work("subtract", "0.1", "300.7", course=HERON.with_(format="64+16")),
    "range": cp.work("range", course=HERON),
    "IEEE": cp.work("add", "6.5", "1.375", format="1+4+3"),
    "sign inside": cp.work(
        "subtract", "1.5", "-2.5", course=cp.Course(format="8+4 sign-and-magnitude", exponent="first")
    ),
    "binary64": cp.work("multiply", "0.1", "0.3", format="binary64"),
    "converted": cp.work("convert", "-0.1", "8+4", format="1+4+3"),
    "implied": cp.work("add", "1.5", "2.5", format="C3x-32"),
    "whole": cp.work("multiply", "123456", "32109", format="32"),
}
NOTEBOOK = """<!doctype html><html lang="en"><head><title>A notebook</title><style>
.line { margin: 0 -15px } .out p { margin: 0 0 2em; line-height: 3 } .out ol { padding-left: 5em; list-style: decimal }
.out li { margin: 2em } .out b { color: red; font-weight: 900 } .out svg { max-width: 50px }
.out dt { float: left; width: 9em } .out span { font-size: 30px }
* { box-sizing: content-box } body { font: 13px serif; text-align: justify }
.out div { letter-spacing: .1em }
</style></head><body><main><h1>A notebook</h1><div class="out">"""

Show = Callable[..., Page]


@pytest.fixture
def show(browser: Browser, tmp_path: Path) -> Iterator[Show]:
    """Open a document in a window of its own; `width` in px, the rest as Playwright has it."""
    contexts = []

    def opened(document: str, *, width: int = 1280, **how: object) -> Page:
        context = browser.new_context(viewport={"width": width, "height": 800}, **how)  # type: ignore[arg-type]
        contexts.append(context)
        file = tmp_path / "page.html"
        file.write_text(document, encoding="utf-8")
        sheet = context.new_page()
        sheet.goto(file.as_uri())
        return sheet

    yield opened
    for context in contexts:
        context.close()


def sideways(sheet: Page) -> int:
    """Return how many px the page scrolls sideways."""
    return int(sheet.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth"))


def offences(sheet: Page) -> list[str]:
    """Return what the accessibility rules find."""
    found = Axe().run(sheet).response["violations"]
    return [f"{one['id']}: {one['nodes'][0]['html'][:200]}" for one in found]


@pytest.mark.parametrize("name", ["gauge", "stored", "24+8", "IEEE"])
@pytest.mark.parametrize("look", ["light", "dark"])
@pytest.mark.parametrize("width", [320, 1280])
def test_no_accessibility_rule_is_broken(show: Show, name: str, look: str, width: int) -> None:
    """The rules of axe find nothing, in either look, wide or narrow."""
    assert offences(show(page(scene(WORKINGS[name])), width=width, color_scheme=look)) == []


def test_no_accessibility_rule_is_broken_on_paper(show: Show) -> None:
    """Nor in the print look."""
    sheet = show(page(scene(WORKINGS["gauge"])))
    sheet.emulate_media(media="print")

    assert offences(sheet) == []


@pytest.mark.parametrize("name", list(WORKINGS))
def test_nothing_scrolls_sideways(show: Show, name: str) -> None:
    """From a telephone to a projector, every format."""
    sheet = show(page(scene(WORKINGS[name])))
    for width in (320, 400, 480, 600, 700, 800, 900, 1100, 1280, 1920):
        sheet.set_viewport_size({"width": width, "height": 800})

        assert (width, sideways(sheet)) == (width, 0)


@pytest.mark.parametrize("name", ["gauge", "24+8"])
def test_twice_the_size_still_fits(show: Show, name: str) -> None:
    """200% zoom is half the window in px; larger letters alone are the same to our measures."""
    document = page(scene(WORKINGS[name]))

    assert sideways(show(document, width=640, device_scale_factor=2)) == 0
    larger = show(document)
    larger.add_style_tag(content="html { font-size: 200% }")
    assert sideways(larger) == 0


@pytest.mark.parametrize("width", [320, 1280])
@pytest.mark.parametrize("name", ["gauge", "24+8", "exponent first", "IEEE", "converted"])
def test_a_place_keeps_its_column(show: Show, name: str, width: int) -> None:
    """Cells of one column, and of one line of a broken rail, stand exactly under each other."""
    sheet = show(page(scene(WORKINGS[name])), width=width)
    lefts = sheet.evaluate(
        """[...document.querySelectorAll('.step:not(.check) .line.rail .places .k')].map(piece => {
             const cell = piece.querySelector('b:not(.op)'), left = cell.getBoundingClientRect().left;
             const before = [...cell.parentNode.children].indexOf(cell);
             const column = Number(piece.style.getPropertyValue('--c')) + before;
             return [column, piece.style.getPropertyValue('--k'), Math.round(left * 10) / 10]; })"""
    )
    by_column: dict[tuple[int, str], set[float]] = {}
    for column, chunk, left in lefts:
        by_column.setdefault((column, chunk), set()).add(left)

    assert len(lefts) > 8
    assert all(max(found) - min(found) <= 1 for found in by_column.values())


@pytest.mark.parametrize("name", ["IEEE", "sign inside"])
def test_the_fields_stand_in_the_order_they_are_written(show: Show, name: str) -> None:
    """Sign, exponent, fraction; or exponent, sign, fraction: in every row, never over each other."""
    sheet = show(page(scene(WORKINGS[name])))
    rows = sheet.evaluate(
        """[...document.querySelectorAll('.step:not(.check) .line.rail')].map(line => {
             const sides = name => { const box = line.querySelector(name + ' .f').getBoundingClientRect();
               return [box.left, box.right]; };
             return [sides('.s'), sides('.x'), sides('.places')]; })"""
    )
    order = (1, 0, 2) if name == "sign inside" else (0, 1, 2)

    assert len(rows) > 8
    for fields in rows:
        first, second, third = (fields[at] for at in order)
        assert first[1] <= second[0]
        assert second[1] <= third[0]


def test_the_walls_stand_beside_the_lost_bits(show: Show) -> None:
    """The tray's left edge on the row, on the floor and the painted wall are one line."""
    sheet = show(page(scene(WORKINGS["gauge"])))
    lefts = sheet.evaluate(
        "[...document.querySelectorAll('b.t')].map(cell => cell.getBoundingClientRect().left)"
    )
    walls = sheet.evaluate(
        """[...document.querySelectorAll('.chute')].map(chute => chute.getBoundingClientRect().left
             + parseFloat(getComputedStyle(chute).backgroundPositionX))"""
    )

    assert len(lefts) == 5  # where they fell, on the floor, and in each of the three steps between
    assert len(walls) == 5
    assert max(lefts + walls) - min(lefts + walls) < 1.5


def test_it_works_with_script_off(show: Show) -> None:
    """Everything is there, and is read in the order of the steps."""
    sheet = show(page(scene(WORKINGS["gauge"])), java_script_enabled=False)
    shown = sheet.inner_text("main")

    assert shown.index("Read") < shown.index("Match the exponents") < shown.index("Truncation error: 0.0625")
    assert sheet.is_visible("text=left in tray")


def test_a_screen_reader_meets_words_and_no_cells(show: Show) -> None:
    """The accessibility tree holds each row's sentence and value, and none of its cells."""
    tree = show(page(scene(WORKINGS["gauge"]))).locator("main").aria_snapshot()

    assert (
        "mantissa zero point zero zero one one, one zero one; tray one zero; exponent zero one zero zero."
        in tree
    )
    assert 'heading "2 Match the exponents" [level=2]' in tree
    assert "3.625 and 0.0625 lost" in tree
    assert "A ruler in steps of 0.0625" in tree
    assert "01000111" not in tree


def test_on_paper_no_step_is_parted(show: Show) -> None:
    """Steps keep together, and the paper is white in a dark room too."""
    sheet = show(page(scene(WORKINGS["gauge"])), color_scheme="dark")
    sheet.emulate_media(media="print")
    step = sheet.locator(".step").first

    assert step.evaluate("step => getComputedStyle(step).breakInside") == "avoid"
    assert sheet.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    assert sheet.pdf().startswith(b"%PDF")


@pytest.mark.parametrize("width", [400, 1024])
def test_a_fragment_holds_its_own_in_any_page(show: Show, width: int) -> None:
    """A notebook's own rules change neither its colours nor its columns."""
    drawn = fragment(scene(WORKINGS["gauge"]))
    alone = show(f"<!doctype html><html lang=en><title>Alone</title>{drawn}", width=width)
    within = show(f"{NOTEBOOK}{drawn}</div></main></body></html>", width=width)
    measure = """[...document.querySelectorAll('.working b, .working text')].map(cell => {
        const style = getComputedStyle(cell);
        return [style.color, style.fontWeight, style.fontFamily, style.textAlign, style.letterSpacing]; })"""

    assert alone.evaluate(measure) == within.evaluate(measure)
    assert sideways(within) == 0
    threads = within.locator("svg.threads").first.bounding_box()
    rail = within.locator(".line.over .places .k").first.bounding_box()
    assert threads is not None
    assert rail is not None
    assert abs(threads["width"] / 11 - rail["width"] / 8) < 0.1


@pytest.mark.parametrize("name", ["24+8", "guard bit", "binary64"])
def test_a_check_on_the_board_keeps_its_picture(name: str, browser: Browser) -> None:
    """Beside the words, however many they are: a third of the page wide at least, nothing cut off, nothing sideways."""
    page = browser.new_page(viewport={"width": 1280, "height": 720})
    page.set_content(board(lesson_of(case(name))))
    page.keyboard.press("End")
    for _ in range(16):
        page.keyboard.press("ArrowRight")
    verdict = page.locator(".verdict:visible")
    picture, words = page.locator(".stage:visible > svg").bounding_box(), verdict.bounding_box()
    sizes = page.evaluate(
        "[...document.querySelectorAll('.stage')].filter(stage => stage.checkVisibility() && stage.clientHeight)"
        ".map(stage => [stage.scrollHeight - stage.clientHeight, document.body.scrollWidth])"
    )
    page.close()

    assert picture
    assert words
    assert picture["width"] > 640
    assert words["x"] > picture["x"] + picture["width"]
    assert sizes == [[0, 1280]]
