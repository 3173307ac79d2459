"""Sheets for marking: the key, and a template that answers are typed into, as text cells throughout.

A sheet program reads 0101 as the number 101 and 0.1 as a decimal: so every cell is text, in the cells
that are still empty too.
"""

from __future__ import annotations

import csv
import io
import re
import shutil
import zipfile
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from chalkpoint.marking.cells import tame
from chalkpoint.numbers.errors import missing_extra
from chalkpoint.publishing.papers.schemes import answer_of, answers_of
from chalkpoint.setting.papers import Item, SetPapers

if TYPE_CHECKING:
    from openpyxl import Workbook

__all__ = ["answers_xlsx", "dated", "key_csv", "key_xlsx"]

ANSWERS = ("student", "variant", "question", "line", "written")
KEY = (
    "variant",
    "code",
    "question",
    "operation",
    "format",
    "first",
    "second",
    "marks",
    "answer",
    "also right",
)
TEXT = "@"  # the number format of a text cell
MADE = (2020, 1, 1)  # a fixed date, so that the same papers make the same bytes

Rows = list[tuple[str, ...]]


def key_rows(papers: SetPapers) -> Rows:
    """Return the key, a row a question."""
    rows: Rows = [KEY]
    for paper in papers:
        for item in paper.questions:
            question = item.question
            first, *more = [*question.operands, ""]
            operands = first, "; ".join(filter(None, more))
            rows.append(
                (
                    str(paper.variant),
                    paper.code,
                    str(item.number),
                    question.operation.name,
                    str(question.format),
                    *operands,
                    str(item.scheme.total),
                    answer_of(item),
                    "; ".join(answers_of(item)[1:]),
                )
            )
    return rows


def answer_rows(papers: SetPapers) -> Rows:
    """Return the template: a row for each line of each question, its last cell to be written in."""
    rows: Rows = [ANSWERS]
    for paper in papers:
        for item in paper.questions:
            rows += [("", str(paper.variant), str(item.number), line, "") for line in lines_asked(item)]
    return rows


def lines_asked(item: Item) -> list[str]:
    """Return the lines an item's answers have, each once, `answer` last."""
    named = dict.fromkeys(mark.rule for mark in item.scheme.marks if mark.rule != "answer")
    has_answer = any(mark.rule == "answer" for mark in item.scheme.marks)
    return [*named, "answer"] if has_answer else [*named]


def key_csv(papers: SetPapers) -> bytes:
    """Return the key as comma-separated text, with a mark that tells a sheet program it is UTF-8."""
    kept = io.StringIO(newline="")
    csv.writer(kept).writerows([tame(cell) for cell in row] for row in key_rows(papers))
    return kept.getvalue().encode("utf-8-sig")


def key_xlsx(papers: SetPapers) -> bytes:
    """Return the key as a workbook."""
    return _workbook("key", key_rows(papers), (9, 10, 10, 12, 9, 18, 18, 8, 24, 24), papers.blueprint.title)


def answers_xlsx(papers: SetPapers) -> bytes:
    """Return the template for answers as a workbook."""
    return _workbook("answers", answer_rows(papers), (24, 9, 10, 22, 28), papers.blueprint.title)


def _workbook(name: str, rows: Rows, widths: Sequence[int], title: str) -> bytes:
    try:
        from openpyxl import Workbook
    except ImportError as reason:
        raise missing_extra("a sheet", "openpyxl", "print") from reason
    from openpyxl.cell import Cell, WriteOnlyCell
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter

    book = Workbook(write_only=True)
    sheet = book.create_sheet(name)
    for number, width in enumerate(widths, start=1):
        sheet.column_dimensions[get_column_letter(number)].width = width
    sheet.freeze_panes = "A2"
    bold = Font(bold=True)

    def cells(row: Iterable[str], *, heads: bool) -> list[Cell]:
        made = []
        for text in row:
            cell = WriteOnlyCell(sheet, value=text)
            cell.number_format = TEXT
            cell.data_type = "s"
            if heads:
                cell.font = bold
            made.append(cell)
        return made

    for at, row in enumerate(rows):
        sheet.append(cells(row, heads=at == 0))
    return _saved(book, title)


def _saved(book: Workbook, title: str) -> bytes:
    """Return the workbook's bytes, its dates fixed inside and on each part of the archive."""
    properties = book.properties
    properties.title, properties.creator = title, "chalkpoint"
    kept = io.BytesIO()
    book.save(kept)
    return dated(kept.getvalue())


def dated(package: bytes) -> bytes:
    """Return an office file with its dates fixed, inside and on each part of the archive: the same bytes every time."""
    made = datetime(*MADE, tzinfo=UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    fixed = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(package)) as parts,
        zipfile.ZipFile(fixed, "w", zipfile.ZIP_DEFLATED) as out,
    ):
        for part in parts.infolist():
            fresh = zipfile.ZipInfo(part.filename, (*MADE, 0, 0, 0))
            fresh.compress_type = zipfile.ZIP_DEFLATED
            with parts.open(part) as content, out.open(fresh, "w") as to:
                if part.filename == "docProps/core.xml":
                    to.write(_dated(content.read(), made))
                else:
                    shutil.copyfileobj(
                        content, to
                    )  # the marks of 100,000 pupils are never in memory unpacked
    return fixed.getvalue()


def _dated(content: bytes, made: str) -> bytes:
    return re.sub(rb"(<dcterms:(?:created|modified)[^>]*>)[^<]*", rb"\g<1>" + made.encode(), content)
