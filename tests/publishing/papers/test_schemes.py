"""Mark schemes, the key and solutions on paper."""

import io
from typing import Any

import pdfua
import pikepdf
import pypdfium2
import pytest

from brackwater import EVERY_KIND, PRACTICE, WHOLE, papers
from chalkpoint.publishing.papers.booklet import booklet_source, sides_of_booklet
from chalkpoint.publishing.papers.measures import sheet_for
from chalkpoint.publishing.papers.printing import sides_of
from chalkpoint.publishing.papers.schemes import (
    answer_of,
    expected,
    key_source,
    pointed,
    solutions_source,
)
from chalkpoint.publishing.papers.wronganswers import wrong_answers
from chalkpoint.publishing.typst.compiling import compile_pdf
from chalkpoint.setting.asking import Printing
from chalkpoint.setting.blueprint import STARTING, parse_blueprint
from chalkpoint.setting.setter import set_papers

WITH_ALL = papers(EVERY_KIND, 2)
FILES = {
    "schemes": compile_pdf(booklet_source(WITH_ALL, WITH_ALL.papers)),
    "schemes of practice": compile_pdf(booklet_source(papers(PRACTICE, 1), papers(PRACTICE, 1).papers)),
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
    """In boxes digit for digit, elsewhere with their point; each with its mark."""
    written = text_of(FILES["schemes"])
    for paper in WITH_ALL:
        for item in paper.questions:
            for mark in item.scheme.marks:
                shown = expected(item, mark)
                in_boxes = (
                    mark.row.bits if mark.row is not None else mark.expects.replace(".", "").replace(" ", "")
                )
                assert "".join(shown.split()) in written or in_boxes in written
                assert "".join(mark.letter.split()) in written


def test_marks_of_each_question_and_paper_are_printed() -> None:
    """Totals stand in the headings."""
    written = text_of(FILES["schemes"])
    for paper in WITH_ALL:
        assert f"Variant{paper.variant}" in written
        assert f"Code{paper.code}.{paper.marks}marks" in written


def test_other_methods_are_said_where_they_decide() -> None:
    """A lost bit of a moved subtrahend makes negating first another answer."""
    assert "Negatethenalign:" in text_of(FILES["schemes"])


def test_no_belief_is_called_by_its_id() -> None:
    """What wrong answers say is said in sentences."""
    written = text_of(FILES["schemes"])
    assert "TochangethesignIinverteverybit." in written
    assert "invertonly" not in written
    assert "invert-only" not in written


@pytest.mark.parametrize("text", ["usual", "large"])
def test_lines_of_the_booklet_lie_level_with_the_pupil_s(text: str) -> None:
    """From a question's first row of boxes to each of its others it is as far as on the paper."""
    of = papers(WHOLE, 1)
    sheet = sheet_for(Printing(text=text))
    compared = 0
    for number in (2, 3, 4):
        ways = []
        for sides in (sides_of(of, of.papers[0], sheet), sides_of_booklet(of, of.papers[0], sheet)):
            rows = [
                (placed.y, placed.block.data)
                for side in sides
                for placed in side.placed
                if placed.question == number
                and placed.block.kind == "row"
                and placed.block.data["kind"] == "boxes"
            ]
            boxes = [y + data["above"] for y, data in rows if not data.get("use_height")]
            ways.append([round(y - boxes[0], 3) for y in boxes])
            compared += len(boxes)
        assert ways[0] == ways[1]
    assert compared >= 20


def test_thirty_variants_of_the_default_test_take_sixty_five_sides_at_most() -> None:
    """One side each, and what wrong answers say once for every three."""
    thirty = set_papers(parse_blueprint(STARTING), variants=30, seed=7)
    sheet = sheet_for(thirty.blueprint.printing)
    assert all(len(sides_of(thirty, paper, sheet)) == 2 for paper in thirty)
    assert all(len(sides_of_booklet(thirty, paper, sheet)) == 1 for paper in thirty)
    assert len(pypdfium2.PdfDocument(compile_pdf(booklet_source(thirty, thirty.papers)))) <= 65


def test_eight_questions_take_four_sides_at_most() -> None:
    """Each kind of a usual test, with room to work; the booklet takes no more."""
    asked = ("decode", "encode", "normalise", "add", "add", "subtract", "subtract", "error")
    text = 'title = "Eight"\n[course]\n' + "".join(f'[[question]]\noperation = "{one}"\n' for one in asked)
    of = set_papers(parse_blueprint(text), variants=1, seed=7)
    sheet = sheet_for(of.blueprint.printing)
    assert len(sides_of(of, of.papers[0], sheet)) <= 4
    assert len(sides_of_booklet(of, of.papers[0], sheet)) <= 4


def test_the_key_of_a_class_is_one_page() -> None:
    """Thirty variants of the usual paper stand on one sheet, every answer among them."""
    whole_class = papers(WHOLE, 30)
    data = compile_pdf(key_source(whole_class))

    assert len(pypdfium2.PdfDocument(data)) == 1
    written = text_of(data)
    for paper in whole_class:
        for item in paper.questions:
            assert "".join(pointed(item, answer_of(item)).split()) in written


def test_solutions_draw_every_working() -> None:
    """Each question's title and each step's."""
    practice = papers(PRACTICE, 1)
    written = text_of(FILES["solutions"])
    for item in practice.papers[0].questions:
        assert "".join(item.working.title.split()) in written
        for step in item.working.steps:
            assert "".join(step.title.split()) in written


def test_the_point_stands_where_the_digits_were_written() -> None:
    """A line may have places more on the right, an answer a digit more in front."""
    item = next(item for item in WITH_ALL.papers[0].questions if item.question.operation.name == "subtract")

    assert pointed(item, "01010100") == "0.1010100"
    assert pointed(item, "101010100 0011") == "10.1010100 0011"
    assert pointed(item, "0011") == "0011"
    assert pointed(item, "overflow") == "overflow"


BY_METHOD = """title = "Signs"
methods = "list the answers"
accidental = "needs working"
[course]
format = "{format}"
method = "{method}"
[[question]]
operation = "{operation}"
operands = {operands}
"""


def booklet_of(operation: str, operands: str, method: str = "align-then-negate", fmt: str = "8+4") -> str:
    """Return the words and digits of the booklet of a paper with one question, without spaces."""
    text = BY_METHOD.format(operation=operation, operands=operands, method=method, format=fmt)
    of = set_papers(parse_blueprint(text), variants=1, seed=7)
    return text_of(compile_pdf(booklet_source(of, of.papers)))


def test_rows_with_a_guard_bit_are_printed_whole() -> None:
    """5.6875 - 1.359375: 0.1010111 moved two places, with its guard bit 0.00101011; negated; added to 0.10110110."""
    written = booklet_of("subtract", '["5.6875", "1.359375"]', "one-guard-bit")
    assert "alignM1:0.00101011." in written
    assert "negateM1ft:1.11010101." in written
    assert "addM1ft:0.10001011." in written


def test_lines_stand_in_the_booklet_where_the_pupil_has_them() -> None:
    """Exponents and product are written before the answer, and so it is marked."""
    written = booklet_of("multiply", '["10.5", "1.6875"]')
    assert written.index("exponentsM1") < written.index("productM1") < written.index("answerA1ft")


def test_the_opposite_in_ones_complement_is_one_line() -> None:
    """Inverting is all: there is no row to add one to, and none that says "in range"."""
    written = booklet_of("negate", '["10110011"]', fmt="8 ones-complement")
    assert "01001100" in written
    assert "inrange" not in written
    assert "oneadded" not in written


def test_a_stored_exponent_is_read_with_its_excess() -> None:
    """Of 8+4 excess-8 no exponent is a signed integer."""
    assert "Thestoredexponentlesstheexcess." in booklet_of("decode", '["01011110 1100"]', fmt="8+4 excess-8")


def test_no_cell_of_a_wrong_answer_is_broken_within_a_pattern() -> None:
    """Where answers are too long for one table there are two; each answer stands whole on a line."""
    of = papers(EVERY_KIND, 2)
    for question in wrong_answers(of.papers):
        for table in question["tables"]:
            wide = sum(table["widths"])
            assert wide <= 160 or len(table["heads"]) == 1
    assert [one["heads"] for one in wrong_answers(of.papers)[4]["tables"]] == [["right answer", *"abcdef"]]
