"""The drawing: every bit in its place, text as text, and the working told in words."""

from xml.etree import ElementTree as ET

from hypothesis import given, settings

import chalkpoint as cp
from chalkpoint.publishing.layout import DIGIT
from chalkpoint.publishing.parts import Held, Rail
from chalkpoint.publishing.scene import scene
from chalkpoint.publishing.svg import svg
from chalkpoint.publishing.svgsheet import U
from drawn import HERON, named_workings, svg_rows, truth, workings

SVG = "{http://www.w3.org/2000/svg}"
BRACKWATER = cp.work("subtract", "8.875", "3.6875", course=HERON, names=("gauge", "datum"))


@given(workings() | named_workings())
@settings(max_examples=120)
def test_every_bit_drawn_is_a_bit_of_the_working(working: cp.Working) -> None:
    """Read back from left to right, row by row; last, what the tray still holds."""
    drawn = scene(working)
    known, rows = iter(truth(working)), []
    for item in (item for block in drawn.blocks for item in block.items):
        if isinstance(item, Held):
            rows.append("".join(cell.digit for cell in item.cells))
        if isinstance(item, Rail):
            bits = next(known)
            before, after = (bits.exponent, "") if item.exponent_first else ("", bits.exponent)
            fields = before + bits.sign if drawn.sign_inside else bits.sign + before
            rows.append(fields + bits.lead + bits.kept + bits.lost + after)
    left = ["".join(cell.digit for cell in line.cells) for line in drawn.check.left]

    assert svg_rows(svg(drawn)) == [row for row in rows if row] + left


def test_a_drawing_has_a_title_and_a_description_first() -> None:
    """What a screen reader says of it."""
    root = ET.fromstring(svg(scene(BRACKWATER)))  # noqa: S314 -- it is our own
    title, description = root[0], root[1]

    assert (root.get("role"), title.tag, description.tag) == ("img", f"{SVG}title", f"{SVG}desc")
    assert title.text == "8.875 \u2212 3.6875 in 8+4"
    assert all(block.spoken in str(description.text) for block in scene(BRACKWATER).blocks)


@given(workings(sizes=(24, 8)) | named_workings())
@settings(max_examples=60)
def test_nothing_leaves_the_sheet(working: cp.Working) -> None:
    """Every stroke and box stands between the edges."""
    root = ET.fromstring(svg(scene(working)))  # noqa: S314
    width, height = float(root.get("width", "0")), float(root.get("height", "0"))
    for element in root.iter():
        across = [float(element.get(name, "0")) for name in ("x", "x1", "x2")]
        down = [float(element.get(name, "0")) for name in ("y", "y1", "y2")]

        assert 0 <= min(across) <= max(across) + float(element.get("width", "0")) <= width
        assert 0 <= min(down) <= max(down) <= height


def test_a_place_keeps_its_column() -> None:
    """Digits stand in 1 + 8 + 2 columns of the mantissa and 4 of the exponent, and nowhere else."""
    root = ET.fromstring(svg(scene(BRACKWATER)))  # noqa: S314
    digits = [text for text in root.iter(f"{SVG}text") if text.get("font-size") == f"{DIGIT * U:.2f}"]

    assert len({text.get("x") for text in digits}) == 15
