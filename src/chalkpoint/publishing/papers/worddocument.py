"""A paper as a document for a word processor: every word, number and table in it can be changed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import missing_extra
from chalkpoint.publishing.papers.fields import plan_fields
from chalkpoint.publishing.papers.formatcard import courses_of
from chalkpoint.publishing.papers.measures import Sheet, sheet_for
from chalkpoint.publishing.papers.rows import lines_of, rows_of
from chalkpoint.publishing.papers.sheets import dated
from chalkpoint.setting.cards import card_sentences, format_in_words
from chalkpoint.setting.papers import Item, SetPaper, SetPapers

if TYPE_CHECKING:
    from docx.document import Document

__all__ = ["paper_docx"]

A_MM = 56.7  # twentieths of a point
LABELS = 31.0  # mm, before the boxes
MARKS = 9.0  # mm, behind them
BLANK = "_" * 16
GAP = re.compile(r"\{[a-z]*\}")
SPACE = "http://schemas.openxmlformats.org/wordprocessingml/2006/main"


def paper_docx(papers: SetPapers, paper: SetPaper) -> bytes:
    """Return a variant as a .docx file, the same bytes every time.

    Raises EntryError when the print extra is not installed.
    """
    try:
        from docx import Document
        from docx.shared import Mm, Pt
    except ImportError as reason:
        raise missing_extra("a word processor\u2019s document", "python-docx", "print") from reason
    document = Document()
    sheet = sheet_for(replace(papers.blueprint.printing, scan=False))  # what is edited is not read by machine
    page = document.sections[0]
    page.page_width, page.page_height = Mm(sheet.page[0]), Mm(sheet.page[1])
    page.left_margin = page.right_margin = page.top_margin = page.bottom_margin = Mm(18)
    document.styles["Normal"].font.name, document.styles["Normal"].font.size = (
        "DejaVu Sans",
        Pt(10 * sheet.scale),
    )
    document.core_properties.title = f"{papers.blueprint.title}, variant {paper.variant}"
    document.core_properties.language = "en-GB"
    document.add_heading(papers.blueprint.title, level=1)
    course = papers.blueprint.course.name
    document.add_paragraph(
        f"{course + ', variant' if course else 'Variant'} {paper.variant}. Code {paper.code}. {paper.marks} marks."
    )
    document.add_paragraph(f"Name {BLANK}{BLANK}    Date {BLANK}")
    formats = {one.format: one for item in paper.questions for one in courses_of(item.question)}
    for one in formats.values():
        document.add_heading(
            f"How numbers are written here: {format_in_words(one.number_format).removeprefix('the ')}",
            level=2,
        )
        document.add_paragraph(" ".join(card_sentences(one)))
    for item in paper.questions:
        _question(document, item, sheet)
    kept = BytesIO()
    document.save(kept)
    return dated(kept.getvalue())


def _question(document: Document, item: Item, sheet: Sheet) -> None:
    document.add_heading(f"Question {item.number}  [{item.scheme.total}]", level=2)
    if item.level:
        document.add_paragraph(item.level)
    for words in (item.words, *item.notes):
        document.add_paragraph(words).paragraph_format.keep_with_next = True
    for row in rows_of(item):
        _table(document, row, sheet)
    unit = f" {item.story.unit}" if item.story and item.story.unit else ""
    for _, words, mark in lines_of(item):
        shown = GAP.sub(lambda gap: BLANK + (unit if gap[0] == "{unit}" else ""), words)
        document.add_paragraph(f"{shown}  {mark}")
    if item.question.operation.name == "explain":
        for _ in range(2 * item.scheme.total):
            document.add_paragraph("_" * 70)


def _table(document: Document, row: JsonObject, sheet: Sheet) -> None:
    """Add a row of boxes as a table, a line of it for each line that the boxes take on paper."""
    from docx.oxml import parse_xml

    plan = plan_fields(row["format"], sheet)
    for line in range(plan.lines):
        cells = list(_cells(row, line, sheet))
        grid = "".join(f'<w:gridCol w:w="{round(width * A_MM)}"/>' for width, _, _ in cells)
        made = "".join(_cell(width, text, framed=framed) for width, text, framed in cells)
        table = parse_xml(
            f'<w:tbl xmlns:w="{SPACE}"><w:tblPr><w:tblLayout w:type="fixed"/>'
            '<w:tblCellMar><w:left w:w="20" w:type="dxa"/><w:right w:w="20" w:type="dxa"/></w:tblCellMar></w:tblPr>'
            f"<w:tblGrid>{grid}</w:tblGrid><w:tr><w:trPr><w:cantSplit/>"
            f'<w:trHeight w:val="{round(sheet.height * A_MM)}" w:hRule="atLeast"/></w:trPr>{made}</w:tr></w:tbl>'
        )
        space = document.add_paragraph()
        space.paragraph_format.space_after = 0
        space.paragraph_format.line_spacing = 0.5
        space.paragraph_format.keep_with_next = True
        space._p.addprevious(table)  # noqa: SLF001 - the library has no call for a table made whole


def _cells(row: JsonObject, line: int, sheet: Sheet) -> Iterator[tuple[float, str, bool]]:
    """Yield the cells of a line: width in mm, what stands in it, and whether it is a box."""
    plan = plan_fields(row["format"], sheet)
    yield LABELS * sheet.scale, row["label"] if line == 0 else "", False
    at = 0.0
    parts = [
        (run.x, row["digits"][run.name][run.first : run.first + run.bits])
        for run in plan.runs
        if run.line == line
    ]
    if row["lost"] is not None and plan.tray is not None and plan.tray[1] == line:
        parts.append((plan.tray[0], row["lost"]))
    for x, digits in sorted(parts):
        if x - at > 0.1:
            yield x - at, "", False
        for digit in digits:
            yield sheet.box, digit.strip(), True
        at = x + len(digits) * sheet.box
    if row["mark"] and line == plan.lines - 1:
        yield MARKS * sheet.scale, row["mark"], False


def _cell(width: float, text: str, *, framed: bool) -> str:
    edges = "".join(f'<w:{side} w:val="single" w:sz="4"/>' for side in ("top", "left", "bottom", "right"))
    borders = f"<w:tcBorders>{edges}</w:tcBorders>" if framed else ""
    centred = '<w:jc w:val="center"/>' if framed else ""
    return (
        f'<w:tc><w:tcPr><w:tcW w:w="{round(width * A_MM)}" w:type="dxa"/>{borders}<w:vAlign w:val="center"/></w:tcPr>'
        f'<w:p><w:pPr><w:keepNext/><w:spacing w:after="0"/>{centred}</w:pPr>'
        f"<w:r><w:t>{escape(text)}</w:t></w:r></w:p></w:tc>"
    )
