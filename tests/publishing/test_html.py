"""The page and the fragment: well-formed, complete in themselves, every bit right, every row in words."""

import re
from xml.etree import ElementTree as ET

import html5lib
import pytest
from hypothesis import given, settings

import chalkpoint as cp
from chalkpoint.publishing.html import fragment, page
from chalkpoint.publishing.scene import scene
from drawn import HERON, html_rows, named_workings, truth, workings

BRACKWATER = cp.work("subtract", "8.875", "3.6875", course=HERON, names=("gauge", "datum"))
STRANGE = cp.work(
    "add", "1.5", "2", names=('<b>"tide" & co</b>', "surge"), course=cp.Course(name="<12 & Heron>")
)


def parsed(document: str) -> ET.Element:
    """Return the tree of *document*, which must have no error at all."""
    tree: ET.Element = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(document)
    return tree


def tags(tree: ET.Element, name: str) -> list[ET.Element]:
    """Return the elements of one kind, in order; SVG's among them."""
    return [element for element in tree.iter() if str(element.tag).rpartition("}")[2] == name]


def words_of(element: ET.Element) -> str:
    """Return the text in *element*."""
    return "".join(element.itertext())


@given(workings() | named_workings())
@settings(max_examples=120)
def test_every_bit_on_the_page_is_a_bit_of_the_working(working: cp.Working) -> None:
    """Read back from the cells: sign, extra sign place, mantissa, tray and exponent of every row."""
    assert html_rows(page(scene(working))) == truth(working)


@given(workings(sizes=(24, 8)) | named_workings())
@settings(max_examples=40)
def test_page_and_fragment_are_well_formed(working: cp.Working) -> None:
    """A strict parser finds no error, and no id stands twice."""
    drawn = scene(working)
    for document in (page(drawn), f"<!doctype html><title>A notebook</title>{fragment(drawn)}"):
        tree = parsed(document)
        ids = [element.get("id") for element in tree.iter() if element.get("id")]

        assert len(ids) == len(set(ids))


@given(workings(sizes=(24, 8)) | named_workings())
@settings(max_examples=60)
def test_every_row_has_its_words(working: cp.Working) -> None:
    """The words for the ear stand beside each rail, the cells are hidden from it."""
    lines = [
        line for line in tags(parsed(page(scene(working))), "div") if "rail" in line.get("class", "").split()
    ]
    rows = [row for step in working.steps for row in step.rows if not row.carries]

    assert len(lines) == len(rows)
    for line, row in zip(lines, rows, strict=True):
        heard = [
            part
            for part in line.iter("span")
            if part.get("class") == "words" and row.spoken in words_of(part)
        ]
        cells = [part for part in line if set(part.get("class", "").split()) & {"places", "s", "x", "lab"}]

        assert len(heard) == 1
        assert all(part.get("aria-hidden") == "true" for part in cells)


def test_the_page_needs_nothing_else() -> None:
    """No script, no other file, no other address."""
    document = page(scene(BRACKWATER))

    assert "<script" not in document
    assert "<link" not in document
    assert "@import" not in document
    assert "url(" not in document
    assert set(re.findall(r"https?://\S+", document)) == set()
    assert not tags(parsed(document), "img")


def test_the_page_has_a_language_a_title_and_one_first_heading() -> None:
    """What a screen reader asks for first."""
    tree = parsed(page(scene(BRACKWATER)))

    assert tree.get("lang") == "en"
    assert words_of(tags(tree, "title")[0]) == "8.875 \u2212 3.6875 in 8+4, worked, chalkpoint"
    assert [words_of(heading) for heading in tags(tree, "h1")] == ["8.875 \u2212 3.6875 in 8+4"]
    assert [words_of(heading) for heading in tags(tree, "h2")] == [
        "1 Read",
        "2 Match the exponents",
        "3 Negate the datum",
        "4 Add",
        "5 Normalise",
        "6 Check in decimal",
    ]
    assert len(tags(tree, "ol")) == 1
    assert len([item for item in tags(tree, "li") if item.get("class", "").startswith("step")]) == 6


def test_the_ruler_is_told_in_words() -> None:
    """It is a picture, with its sentence."""
    (ruler,) = [svg for svg in tags(parsed(page(scene(BRACKWATER))), "svg") if svg.get("role") == "img"]

    assert ruler.get("aria-label") == (
        "A ruler in steps of 0.0625. The exact answer is 5.1875; the answer worked is one step higher, 5.25."
    )


def test_names_are_text_and_never_markup() -> None:
    """What people type is escaped wherever it stands."""
    document = page(scene(STRANGE))

    assert "<b>&#34;tide" not in document
    assert "&lt;b&gt;&#34;tide&#34; &amp; co&lt;/b&gt;" in document
    assert "Course: &lt;12 &amp; Heron&gt;, 8+4" in document
    parsed(document)


@pytest.mark.parametrize("name", ["h1", "h2", "header", "main", "script", "html"])
def test_a_fragment_leaves_the_page_around_it_alone(name: str) -> None:
    """No headings or landmarks of its own."""
    assert f"<{name}" not in fragment(scene(BRACKWATER))


def test_the_styles_of_a_fragment_touch_nothing_else() -> None:
    """Every rule is about elements inside the fragment."""
    styles = re.search(r"<style>(.*?)</style>", fragment(scene(BRACKWATER)), re.DOTALL)
    assert styles is not None
    bare = re.sub(r"/\*.*?\*/", "", styles[1], flags=re.DOTALL)
    selectors = [selector.strip() for selector in re.findall(r"([^{}]+)\{[^{}]*\}", bare)]
    ours = re.compile(r"\.(chalkpoint|working|fit-[-\w]+)\b")

    assert len(selectors) > 50
    assert [selector for selector in selectors if not ours.match(selector.removeprefix("{").strip())] == []


def test_the_same_working_gives_the_same_page() -> None:
    """Byte for byte."""
    again = cp.work("subtract", "8.875", "3.6875", course=HERON, names=("gauge", "datum"))

    assert page(scene(again)) == page(scene(BRACKWATER))
