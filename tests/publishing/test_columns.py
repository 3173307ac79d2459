"""Every picture proved: where each digit stands in each medium, over every family and awkward inputs."""

import pytest
from playwright.sync_api import Browser

import chalkpoint as cp
from chalkpoint.publishing.html import drawing, rails_sheet
from chalkpoint.publishing.layout import CARRY_DIGIT, DIGIT
from chalkpoint.publishing.parts import PlaceValues
from chalkpoint.publishing.scene import scene
from chalkpoint.publishing.svg import svg
from chalkpoint.publishing.svgrows import WEIGHT_SIZE, U
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
from columns_weights import check_weights, page_weights, pdf_weights, svg_weights

LONG = ("the upstream gauge house", "the datum at Brackwater quay")
CASES: dict[str, tuple[str, list[str], str, dict[str, object]]] = {
    "lost bits": ("subtract", ["8.875", "3.6875"], "8+4", {}),
    "-1.0 taken away": ("subtract", ["0.5", "-1"], "5+3", {}),
    "-1.0 twice": ("add", ["-1", "-1"], "5+3", {}),
    "overflow": ("subtract", ["01111 011", "10000 011"], "5+3", {}),
    "zero": ("add", ["0", "5.25"], "8+4", {}),
    "all 1s": ("add", ["11111111 1111", "11111111 1111"], "8+4", {}),
    "long names": ("subtract", ["6.5", "0.1"], "8+4", {"names": LONG}),
    "two losses": ("add", ["5.5", "3.6875"], "8+4", {}),
    "guard bit": ("subtract", ["01000111 0100", "00101111 0001"], "8+4", {"method": "one-guard-bit"}),
    "in full": ("subtract", ["8.875", "0.7"], "8+4", {"method": "exact-then-truncate"}),
    "spare place": ("add", ["8.875", "3.6875"], "8+4", {"method": "spare-place-first"}),
    "exponent first": ("add", ["2.75", "3.6875"], "8+4", {"exponent": "first"}),
    "excess": ("add", ["2.75", "3.6875"], "8+4 excess-8", {}),
    "sign and size": ("subtract", ["2.75", "3.6875"], "8+4 sign-and-magnitude", {}),
    "24+8": ("add", ["1234.567", "0.00123"], "24+8", {}),
    "64+16": ("subtract", ["1e9", "12345.678"], "64+16", {}),
    "binary16": ("add", ["1.1", "2.7"], "binary16", {}),
    "binary32": ("subtract", ["1.1", "2.7"], "binary32", {}),
    "binary64": ("add", ["1.1", "2.7e-5"], "binary64", {}),
    "E4M3": ("add", ["6.5", "1.375"], "E4M3", {}),
    "infinity": ("subtract", ["-200", "100"], "1+4+3", {}),
    "1750A-32": ("add", ["1.5", "-2.7"], "1750A-32", {}),
    "1750A-48": ("subtract", ["1.1", "300.7"], "1750A-48", {}),
    "C3x-32": ("add", ["1.1", "-300.7"], "C3x-32", {}),
    "C3x-16": ("add", ["1.1", "-3.7"], "C3x-16", {}),
    "Q5.3": ("add", ["2.375", "-1.625"], "Q5.3", {}),
    "8": ("add", ["5", "9"], "8", {}),
    "8, carries": ("subtract", ["-77", "51"], "8", {}),
    "8 unsigned": ("add", ["200", "100"], "8 unsigned", {}),
    "8 unsigned, less": ("subtract", ["200", "100"], "8 unsigned", {}),
    "multiply": ("multiply", ["1.5", "-2.75"], "8+4", {}),
    "divide": ("divide", ["1.5", "-2.75"], "8+4", {}),
    "multiply sizes": ("multiply", ["1.1", "2.7"], "binary16", {}),
    "divide sizes": ("divide", ["1.1", "2.7"], "1+4+3", {}),
    "multiply 8": ("multiply", ["13", "-11"], "8", {}),
    "divide 8": ("divide", ["113", "-11"], "8", {}),
    "multiply 32": ("multiply", ["123456", "32109"], "32", {}),
    "sum": ("sum", ["64", "-0.25", "-64", "1", "1", "3.5"], "8+4", {}),
    "range": ("range", [], "8+4", {}),
    "range of 8": ("range", [], "8 excess-128", {}),
    "choose": ("choose-format", ["-10", "40", "0.25"], "8+4", {}),
    "convert": ("convert", ["1.1", "binary16"], "8+4", {}),
    "convert back": ("convert", ["-0.1", "8+4"], "1+4+3", {}),
    "encode": ("encode", ["0.1"], "10+6", {}),
    "rounded up": ("encode", ["5.29"], "8+4", {"rounding": "nearest"}),
    "decode": ("decode", ["0.0000000 0101"], "8+4", {}),
    "negate": ("negate", ["8 ones"], "8+4", {}),
    "ones' complement": ("negate", ["5"], "8 ones-complement", {}),
    "normalise": ("normalise", ["00000001 0101"], "8+4", {}),
}


def work(name: str) -> cp.Working:
    """Work a case."""
    operation, operands, spelling, more = CASES[name]
    operands = ["00000000 1000"] if operands == ["8 ones"] else operands
    names = more.get("names", ())
    conventions = {key: value for key, value in more.items() if key != "names"}
    course = cp.Course(format=spelling, **conventions)  # type: ignore[arg-type]
    return cp.work(operation, *operands, course=course, names=names)  # type: ignore[arg-type]


def weighed(working: cp.Working) -> bool:
    """Tell whether place values stand under any row of *working*."""
    return any(isinstance(item, PlaceValues) for block in scene(working).blocks for item in block.items)


WEIGHT = 7.0  # pt, of place values on paper

Read = dict[str, list[list[object]]]
WORKINGS = {name: work(name) for name in CASES}


@pytest.mark.parametrize("width", [132, 80, 60])
@pytest.mark.parametrize("name", CASES)
def test_every_digit_of_a_text_stands_in_its_column(name: str, width: int) -> None:
    """On a wide terminal, in 80 columns, and in 60, where long rows break."""
    working = WORKINGS[name]
    written = text(scene(working), width=width)
    steps = expected(working)

    assert max(map(len, written.splitlines())) <= width
    assert check_columns(steps, text_lines(written, steps), least=1, equal=False)


@pytest.mark.parametrize("name", CASES)
def test_plain_text_is_the_same_in_ascii(name: str) -> None:
    """Every digit stands where it does in the other text."""
    working = WORKINGS[name]
    written, steps = (
        text(scene(working), plain=True).replace("~", "\u2026").replace("-", "\u2212"),
        expected(working),
    )

    assert check_columns(steps, text_lines(written, steps), least=1, equal=False)


@pytest.mark.parametrize("name", CASES)
def test_every_digit_of_a_drawing_stands_in_its_column(name: str) -> None:
    """Carries over their columns and the tray beside the last place among them."""
    working = WORKINGS[name]

    drawn, steps = svg(scene(working)), expected(working)
    seen = svg_lines(drawn, DIGIT * U, CARRY_DIGIT * U)

    assert check_columns(steps, seen, least=U)
    assert bool(check_weights(svg_weights(drawn, WEIGHT_SIZE), steps, seen, 2.0)) is weighed(working)


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


@pytest.fixture(scope="module", params=[1280, 360])
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
    assert min(box.left for box in boxes) >= 0
