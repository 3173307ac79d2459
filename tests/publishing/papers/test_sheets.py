"""Sheets: the key, and the template answers are typed into."""

import csv
import io

import openpyxl

from brackwater import EVERY_KIND, WHOLE, papers
from chalkpoint.marking.cells import untame
from chalkpoint.publishing.papers.schemes import answer_of
from chalkpoint.publishing.papers.sheets import answers_xlsx, key_csv, key_xlsx

PAPERS = papers(EVERY_KIND, 2)


def sheet_of(data: bytes) -> list[tuple[object, ...]]:
    """Return a workbook's only sheet, row by row."""
    (sheet,) = openpyxl.load_workbook(io.BytesIO(data)).worksheets
    return list(sheet.iter_rows(values_only=True))


def test_the_key_has_a_row_a_question_with_its_answer() -> None:
    """The same in both files."""
    rows = list(csv.reader(io.StringIO(key_csv(PAPERS).decode("utf-8-sig"))))
    items = [(paper, item) for paper in PAPERS for item in paper.questions]

    assert len(rows) == 1 + len(items)
    for row, (paper, item) in zip(rows[1:], items, strict=True):
        assert row[:3] == [str(paper.variant), paper.code, str(item.number)]
        assert row[-2:] == [answer_of(item), "; ".join(item.scheme.also_right)]
    workbook = [[str(cell or "") for cell in row] for row in sheet_of(key_xlsx(PAPERS))]
    assert workbook == [[untame(cell) for cell in row] for row in rows]


def test_every_cell_of_the_template_is_text() -> None:
    """0101 typed into it stays 0101: the empty cells are text cells too."""
    (sheet,) = openpyxl.load_workbook(io.BytesIO(answers_xlsx(PAPERS))).worksheets

    assert {cell.number_format for row in sheet.iter_rows() for cell in row} == {"@"}


def test_the_template_has_a_row_for_every_line_that_is_marked() -> None:
    """One for each line of the scheme, `answer` once and last."""
    head, *rows = sheet_of(answers_xlsx(papers(WHOLE, 1)))
    asked = [(row[2], row[3]) for row in rows]

    assert head == ("student", "variant", "question", "line", "written")
    assert [line for question, line in asked if question == "3"] == [
        "align",
        "negate",
        "add",
        "decimal",
        "answer",
    ]
    assert len(asked) == len(set(asked))


def test_same_papers_same_bytes() -> None:
    """No date of making is kept in a workbook."""
    assert answers_xlsx(PAPERS) == answers_xlsx(PAPERS)
    assert key_xlsx(PAPERS) == key_xlsx(PAPERS)
