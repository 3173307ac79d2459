"""A working on paper: the right bits, the right structure, the same bytes."""

import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pdfua
import pikepdf
import pypdfium2
import pytest

from chalkpoint.publishing.parts import Rail
from chalkpoint.publishing.scene import scene
from chalkpoint.publishing.typst.document import pdf
from chalkpoint.working.work import work

WORKINGS = {
    "lossy": work("subtract", "8.875", "3.6875"),
    "overflowing mantissa": work("add", "3.25", "2.75"),
    "long rails": work("subtract", "5.3", "-1/3", format="24+8"),
    "encode": work("encode", "-4.6"),
    "range": work("range"),
}
working = pytest.mark.parametrize("working", WORKINGS.values(), ids=WORKINGS.keys())


def tags(element: Any) -> Iterator[tuple[str, str]]:
    """Yield the tag of each structure element below *element*, with its alternative text."""
    children = element.get("/K", [])
    for child in children if isinstance(children, pikepdf.Array) else [children]:
        if isinstance(child, pikepdf.Dictionary):
            yield str(child.get("/S", "")), str(child.get("/Alt", ""))
            yield from tags(child)


def structure(data: bytes) -> list[tuple[str, str]]:
    """Return the tags of a PDF in reading order."""
    with pikepdf.open(io.BytesIO(data)) as file:
        return list(tags(file.Root["/StructTreeRoot"]))


def letters(data: bytes) -> str:
    """Return the text on all pages, without spaces."""
    pages = pypdfium2.PdfDocument(data)
    return "".join("".join(page.get_textpage().get_text_range().split()) for page in pages)


@working
def test_every_row_of_the_working_stands_on_paper(working: Any) -> None:
    """The digits of each rail can be read off the page, in order."""
    drawn = scene(working)
    written = letters(pdf(drawn))

    for block in drawn.blocks:
        for item in block.items:
            if isinstance(item, Rail):
                assert item.bits in written


@working
def test_every_picture_has_its_words(working: Any) -> None:
    """Each figure carries an alternative text; those of steps say every row."""
    drawn = scene(working)
    alts = [alt for tag, alt in structure(pdf(drawn)) if tag == "/Figure"]

    assert alts
    assert all(alts)
    spoken = " ".join(alts)
    rails = [item for block in drawn.blocks for item in block.items if isinstance(item, Rail)]
    assert [rail.words for rail in rails if rail.words not in spoken] == []


@working
def test_steps_are_headings_under_a_title(working: Any) -> None:
    """A reader can jump from step to step: one heading a step and one for the check."""
    drawn = scene(working)
    found = [tag for tag, _ in structure(pdf(drawn))]

    assert found.count("/H1") + found.count("/H2") >= len(drawn.blocks) + 1


@working
def test_the_checker_finds_nothing(working: Any, tmp_path: Path) -> None:
    """The rules of PDF/UA-1 that the checker knows are kept."""
    file = tmp_path / "working.pdf"
    file.write_bytes(pdf(scene(working)))

    assert [str(finding) for finding in pdfua.validate(str(file)).findings] == []


def test_title_and_language_are_set() -> None:
    """The file says what it is, and in which language."""
    file = pikepdf.open(io.BytesIO(pdf(scene(WORKINGS["lossy"]))))

    assert str(file.docinfo["/Title"]) == "8.875 \u2212 3.6875 in 8+4"
    assert str(file.Root["/Lang"]) == "en-GB"


def test_same_working_same_bytes() -> None:
    """Nothing in the file depends on when it was made."""
    drawn = scene(WORKINGS["lossy"])

    assert pdf(drawn) == pdf(drawn)


def test_a_short_working_takes_one_page() -> None:
    """Six steps of an 8+4 subtraction, check and ruler included, stand on one sheet."""
    assert len(pypdfium2.PdfDocument(pdf(scene(WORKINGS["lossy"])))) == 1


def test_only_the_faces_brought_along_are_used() -> None:
    """Every machine prints the same letters."""
    file = pikepdf.open(io.BytesIO(pdf(scene(WORKINGS["lossy"]))))
    names = {
        str(font["/BaseFont"]).partition("+")[2]
        for page in file.pages
        for font in page.Resources["/Font"].values()
    }

    assert names == {"DejaVuSans", "DejaVuSans-Bold", "DejaVuSansMono"}


def test_lines_with_meaning_survive_a_one_bit_copy() -> None:
    """At 150 dpi in black and white the heavy lines under the rails are still unbroken strokes."""
    page = pypdfium2.PdfDocument(pdf(scene(WORKINGS["lossy"])))[0]
    copy = page.render(scale=150 / 72).to_pil().convert("1", dither=0)
    cells = 8
    cell = round(6 / 25.4 * 150)  # a cell is about 6 mm wide
    rows = [bytes(copy.crop((0, y, copy.width, y + 1)).convert("L").tobytes()) for y in range(copy.height)]
    longest = [max((len(run) for run in row.split(b"\xff")), default=0) for row in rows]

    assert sum(length > (cells - 1) * cell for length in longest) >= 2 * 6
