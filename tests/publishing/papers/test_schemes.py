"""Mark schemes, the key and solutions on paper."""

import io
from typing import Any

import pdfua
import pikepdf
import pypdfium2
import pytest

from brackwater import EVERY_KIND, PRACTICE, WHOLE, papers
from chalkpoint.publishing.papers.schemes import (
    answer_of,
    expected,
    key_source,
    pointed,
    schemes_source,
    solutions_source,
)
from chalkpoint.publishing.typst.compiling import compile_pdf
from chalkpoint.setting.papers import Papers

WITH_ALL = papers(EVERY_KIND, 2)
FILES = {
    "schemes": compile_pdf(schemes_source(WITH_ALL)),
    "schemes of practice": compile_pdf(schemes_source(papers(PRACTICE, 1))),
    "key": compile_pdf(key_source(WITH_ALL)),
    "solutions": compile_pdf(solutions_source(papers(PRACTICE, 1))),
}
each_file = pytest.mark.parametrize("data", FILES.values(), ids=FILES.keys())


def text_of(data: bytes) -> str:
    """Return the text of all pages, without spaces."""
    pages = pypdfium2.PdfDocument(data)
    return "".join("".join(page.get_textpage().get_text_range().split()) for page in pages)


def tag_names(element: Any) -> list[str]:
    """Return the tags below *element*, in reading order."""
    children = element.get("/K", [])
    found = []
    for child in children if isinstance(children, pikepdf.Array) else [children]:
        if isinstance(child, pikepdf.Dictionary):
            found += [str(child.get("/S", "")), *tag_names(child)]
    return found


@each_file
def test_the_checker_finds_nothing(data: bytes, tmp_path: Any) -> None:
    """The rules of PDF/UA-1 that the checker knows are kept."""
    file = tmp_path / "file.pdf"
    file.write_bytes(data)

    assert [str(finding) for finding in pdfua.validate(str(file)).findings] == []


@pytest.mark.parametrize("name", ["schemes", "key"])
def test_tables_have_header_cells(name: str) -> None:
    """A screen reader says the column with each cell."""
    with pikepdf.open(io.BytesIO(FILES[name])) as file:
        found = tag_names(file.Root["/StructTreeRoot"])

    assert found.count("/Table") > 0
    assert found.count("/TH") >= 2 * found.count("/Table")


def test_every_expected_value_and_letter_is_printed() -> None:
    """Bits with their point, words and decimals, each with its mark."""
    written = text_of(FILES["schemes"])
    for paper in WITH_ALL:
        for item in paper.items:
            for mark in item.scheme.marks:
                shown = expected(item, mark)
                assert "".join(shown.split()) in written
                assert "".join(mark.letter.split()) in written


def test_marks_of_each_question_and_paper_are_printed() -> None:
    """Totals stand in the headings."""
    written = text_of(FILES["schemes"])
    for paper in WITH_ALL:
        assert f"Variant{paper.variant},code{paper.code},{paper.marks}marks" in written


def test_other_methods_are_said_where_they_decide() -> None:
    """A lost bit of a moved subtrahend makes negating first another answer."""
    assert "Herethemethoddecidestheanswer" in text_of(FILES["schemes"])


def test_the_key_of_a_class_is_one_page() -> None:
    """Thirty variants of the usual paper stand on one sheet, every answer among them."""
    whole_class = papers(WHOLE, 30)
    data = compile_pdf(key_source(whole_class))

    assert len(pypdfium2.PdfDocument(data)) == 1
    written = text_of(data)
    for paper in whole_class:
        for item in paper.items:
            assert "".join(answer_of(item).split()) in written


def test_solutions_draw_every_working() -> None:
    """Each question's title and each step's."""
    practice: Papers = papers(PRACTICE, 1)
    written = text_of(FILES["solutions"])
    for item in practice.papers[0].items:
        assert "".join(item.working.title.split()) in written
        for step in item.working.steps:
            assert "".join(step.title.split()) in written


def test_the_point_stands_where_the_digits_were_written() -> None:
    """A line may have places more on the right, an answer a digit more in front."""
    item = next(item for item in WITH_ALL.papers[0].items if item.question.operation.name == "subtract")

    assert pointed(item, "01010100") == "0.1010100"
    assert pointed(item, "101010100 0011") == "10.1010100 0011"
    assert pointed(item, "0011") == "0011"
    assert pointed(item, "overflow") == "overflow"
