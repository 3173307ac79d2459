"""Every picture proved: where each digit stands in each medium, over every family and awkward inputs."""

import pytest
from playwright.sync_api import Browser

import chalkpoint as cp
from chalkpoint.publishing.html import drawing, rails_sheet
from chalkpoint.publishing.layout import CARRY_DIGIT, DIGIT
from chalkpoint.publishing.parts import PlaceValues
from chalkpoint.publishing.scene import scene
from chalkpoint.publishing.svg import svg
from chalkpoint.publishing.svgsheet import WEIGHT as DRAWN_WEIGHT
from chalkpoint.publishing.svgsheet import U
from chalkpoint.publishing.text import text
from chalkpoint.publishing.typst.document import pdf, working_data
from columns import (
    READ_PAGE,
    Box,
    check_columns,
    expected,
    overlaps,
    page_lines,
    pdf_lines,
    svg_lines,
    text_lines,
)
from columns_cases import CASES, WORKINGS
from columns_weights import check_told, check_weights, page_weights, pdf_weights, svg_weights


def weighed(working: cp.Working) -> bool:
    """Tell whether place values stand under any row of *working*."""
    return any(isinstance(item, PlaceValues) for block in scene(working).blocks for item in block.items)


WEIGHT = 7.0  # pt, of place values on paper

Read = dict[str, list[list[object]]]


@pytest.mark.parametrize("width", [132, 80, 60])
@pytest.mark.parametrize("name", CASES)
def test_every_digit_of_a_text_stands_in_its_column(name: str, width: int) -> None:
    """On a wide terminal, in 80 columns, and in 60, where long rows break."""
    working = WORKINGS[name]
    written = text(scene(working), width=width)
    steps = expected(working)

    assert max(map(len, written.splitlines())) <= width
    assert check_columns(steps, text_lines(written, steps), least=1, equal=False)
    assert check_told(working, written) == weighed(working)


@pytest.mark.parametrize("name", CASES)
def test_plain_text_is_the_same_in_ascii(name: str) -> None:
    """Every digit stands where it does in the other text."""
    working = WORKINGS[name]
    written, steps = (
        text(scene(working), plain=True).replace("~", "\u2026").replace("-", "\u2212"),
        expected(working),
    )

    assert check_columns(steps, text_lines(written, steps), least=1, equal=False)
    assert check_told(working, written) == weighed(working)


@pytest.mark.parametrize("name", CASES)
def test_every_digit_of_a_drawing_stands_in_its_column(name: str) -> None:
    """Carries over their columns and the tray beside the last place among them."""
    working = WORKINGS[name]

    drawn, steps = svg(scene(working)), expected(working)
    seen = svg_lines(drawn, DIGIT * U, CARRY_DIGIT * U)

    assert check_columns(steps, seen, least=U)
    assert bool(check_weights(svg_weights(drawn, DRAWN_WEIGHT), steps, seen, 2.0)) is weighed(working)


@pytest.mark.parametrize("name", CASES)
def test_every_digit_on_paper_stands_in_its_column(name: str) -> None:
    """By the boxes of the characters; none overlaps another or leaves the page."""
    working = WORKINGS[name]
    drawn = scene(working)
    unit = working_data(drawn)["u"] / 25.4 * 72
    rows, faults, pages = pdf_lines(pdf(drawn), unit)
    steps = expected(working)
    weights = [weight for boxes in pages for weight in pdf_weights(boxes, WEIGHT)]

    assert faults == []
    assert check_columns(steps, rows, least=unit * 0.99)
    assert bool(check_weights(weights, steps, rows, 2.0)) is weighed(working)


def document() -> str:
    """Return one page with the pictures of all cases."""
    drawn = [drawing(scene(working)) for working in WORKINGS.values()]
    styles = "".join(str(one.styles) for one in drawn)
    pictures = "".join(f"<section>{one.markup}</section>" for one in drawn)
    return (
        f'<!doctype html><html lang="en"><meta charset="utf-8"><style>{rails_sheet()}{styles} body {{ margin: 16px }}'
        f'</style><body class="chalkpoint">{pictures}</body></html>'
    )


@pytest.fixture(scope="module", params=[1000, 360])
def read_back(request: pytest.FixtureRequest, browser: Browser) -> dict[str, Read]:
    """What the browser shows of every case, on a wide page and on a phone."""
    page = browser.new_page(viewport={"width": request.param, "height": 800})
    page.set_content(document())
    sideways = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    read = page.evaluate(READ_PAGE)
    page.close()
    assert sideways == 0
    return dict(zip(WORKINGS, read, strict=True))


@pytest.mark.parametrize("name", CASES)
def test_every_digit_of_a_page_stands_in_its_column(name: str, read_back: dict[str, Read]) -> None:
    """By the boxes of its text in a browser; none overlaps another or leaves the page."""
    steps, read = expected(WORKINGS[name]), read_back[name]
    boxes = [Box(str(text), *map(float, sides)) for text, *sides in read["boxes"]]  # type: ignore[arg-type]

    seen = page_lines(read["rows"], steps)  # type: ignore[arg-type]
    whole = all(mark.piece <= 0 for line in seen for mark in line)

    assert check_columns(steps, seen, least=7)
    assert not whole or bool(check_weights(page_weights(read["weights"]), steps, seen, 2.0)) is weighed(
        WORKINGS[name]
    )
    assert overlaps(boxes) == []
    assert read["crossed"] == []
    assert min(box.left for box in boxes) >= 0
