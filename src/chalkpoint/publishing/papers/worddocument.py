"""A paper as a document for a word processor: every word, number and table in it can be changed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING, NamedTuple
from xml.sax.saxutils import escape
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import missing_extra
from chalkpoint.publishing.papers.fields import plan_fields
from chalkpoint.publishing.papers.formatcard import courses_of
from chalkpoint.publishing.papers.measures import Sheet, sheet_for
from chalkpoint.publishing.papers.questions import lines_first, lines_of_room
from chalkpoint.publishing.papers.rows import lines_of, rows_of
from chalkpoint.publishing.xlsxbook import MADE
from chalkpoint.setting.cards import card_sentences, format_name
from chalkpoint.setting.papers import Item, SetPaper, SetPapers
from chalkpoint.working.wording.words_papers import HEADING

if TYPE_CHECKING:
    from docx.document import Document

__all__ = ["paper_docx"]

A_MM = 56.7  # twentieths of a point
LABELS = 31.0  # mm, before the boxes
BEFORE_MARKS, MARKS = 2.0, 9.0  # mm, behind them
FACE = "Verdana"  # of the faces that every word processor has, the one with the widths of the printed paper's
STYLES = {"Normal": 10, "Heading 1": 15, "Heading 2": 11}  # pt
TRAY_NAME = "tray"
BLANK = "_" * 16
DATES = re.compile(rb"(<dcterms:(?:created|modified)[^>]*>)[^<]*")
GAP = re.compile(r"\{[a-z]*\}")
SPACE = "http://schemas.openxmlformats.org/wordprocessingml/2006/main"


def paper_docx(papers: SetPapers, paper: SetPaper) -> bytes:
    """Return a variant as a .docx file, the same bytes every time.

    Raises EntryError when the print extra is not installed.
    """
    try:
        from docx import Document
        from docx.shared import Mm, Pt, RGBColor
    except ImportError as reason:
        raise missing_extra("a word processor\u2019s document", "python-docx", "print") from reason
    document = Document()
    sheet = sheet_for(replace(papers.blueprint.printing, scan=False))  # what is edited is not read by machine
    page = document.sections[0]
    page.page_width, page.page_height = Mm(sheet.page[0]), Mm(sheet.page[1])
    page.left_margin = page.right_margin = page.top_margin = page.bottom_margin = Mm(18)
    for style, size in STYLES.items():
        font = document.styles[style].font
        font.name, font.size, font.color.rgb = FACE, Pt(size * sheet.scale), RGBColor(0, 0, 0)
        if style != "Normal":  # a heading's face would else be the theme's
            font.element.rPr.rFonts.attrib.clear()
            font.name = FACE
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
            HEADING.format(format=format_name(one.number_format)),
            level=2,
        )
        document.add_paragraph(" ".join(card_sentences(one, drawn=False)))
    for item in paper.questions:
        _question(document, item, sheet)
    kept = BytesIO()
    document.save(kept)
    return _dated(kept.getvalue())


def _dated(package: bytes) -> bytes:
    """Return a document with its dates fixed, inside and on each part of the archive: the same bytes every time."""
    fixed = BytesIO()
    with ZipFile(BytesIO(package)) as parts, ZipFile(fixed, "w", ZIP_DEFLATED) as out:
        for name in parts.namelist():
            content = parts.read(name)
            if name == "docProps/core.xml":
                content = DATES.sub(rb"\g<1>2020-01-01T00:00:00Z", content)
            out.writestr(ZipInfo(name, MADE), content, ZIP_DEFLATED)
    return fixed.getvalue()


def _question(document: Document, item: Item, sheet: Sheet) -> None:
    document.add_heading(f"Question {item.number}  [{item.scheme.total}]", level=2)
    if item.level:
        document.add_paragraph(item.level)
    for words in (item.words, *item.notes):
        document.add_paragraph(words).paragraph_format.keep_with_next = True
    rows = rows_of(item)
    trays = [row["name"] for row in rows if row["lost"] is not None]
    named = {rows[0]["name"] if rows else "", *trays[:1]}  # the first row, and the first one with a tray
    given = [row for row in rows if row["kind"] == "given"]
    for row in given:
        _table(document, row, sheet, named=row["name"] in named)
    for _ in range(lines_of_room(item)):
        document.add_paragraph().paragraph_format.keep_with_next = True
    if lines_first(item):
        _lines(document, item)
    for row in rows[len(given) :]:
        _table(document, row, sheet, named=row["name"] in named)
    if not lines_first(item):
        _lines(document, item)
    if item.question.operation.name == "explain":
        for _ in range(2 * item.scheme.total):
            document.add_paragraph("_" * 70)


def _lines(document: Document, item: Item) -> None:
    """Add the lines of words and blanks, each with its mark."""
    unit = f" {item.story.unit}" if item.story and item.story.unit else ""

    def blank(gap: re.Match[str]) -> str:
        return BLANK * (2 if gap[0] == "{long}" else 1) + (unit if gap[0] == "{unit}" else "")

    for _, words, mark in lines_of(item):
        document.add_paragraph(
            f"{GAP.sub(blank, words)}  {mark}"
        ).paragraph_format.keep_with_next = lines_first(item)


def _table(document: Document, row: JsonObject, sheet: Sheet, *, named: bool) -> None:
    """Add a row of boxes as a table, a line of it for each line that the boxes take on paper.

    named  whether the names of the fields stand over its boxes
    """
    from docx.oxml import parse_xml

    plan = plan_fields(row["format"], sheet, tray=row["lost"] is not None)
    for line in range(plan.lines):
        cells = list(_cells(row, line, sheet))
        grid = "".join(f'<w:gridCol w:w="{round(cell.width * A_MM)}"/>' for cell in cells)
        wide = sum(round(cell.width * A_MM) for cell in cells)
        made = "".join(map(_cell, cells))
        begins = plan.lines > 1 and any(run.line == line and not run.first for run in plan.runs)
        over = "".join(map(_cell, _cells(row, line, sheet, names=True))) if named or begins else ""
        names = f"<w:tr><w:trPr><w:cantSplit/></w:trPr>{over}</w:tr>" if over else ""
        table = parse_xml(
            f'<w:tbl xmlns:w="{SPACE}"><w:tblPr><w:tblW w:w="{wide}" w:type="dxa"/><w:tblLayout w:type="fixed"/>'
            '<w:tblCellMar><w:left w:w="20" w:type="dxa"/><w:right w:w="20" w:type="dxa"/></w:tblCellMar></w:tblPr>'
            f"<w:tblGrid>{grid}</w:tblGrid>{names}<w:tr><w:trPr><w:cantSplit/>"
            f'<w:trHeight w:val="{round(sheet.height * A_MM)}" w:hRule="atLeast"/></w:trPr>{made}</w:tr></w:tbl>'
        )
        space = document.add_paragraph()
        space.paragraph_format.space_after = 0
        space.paragraph_format.line_spacing = 0.5
        space.paragraph_format.keep_with_next = True
        space._p.addprevious(table)  # noqa: SLF001 - the library has no call for a table made whole


class Cell(NamedTuple):
    """A cell of a row's table: its width in mm, its content, and its frame: none, or that of a box.

    point    whether the binary point stands at its right edge, as a thick line
    hatched  whether it is a box of the tray
    edge     how the frame is drawn
    columns  how many boxes wide it is
    small    whether its words are small, as the names over the boxes are
    """

    width: float
    text: str
    framed: bool = False
    point: bool = False
    hatched: bool = False
    edge: str = "single"
    columns: int = 1
    small: bool = False


def _cells(row: JsonObject, line: int, sheet: Sheet, *, names: bool = False) -> Iterator[Cell]:
    """Yield the cells of a line, with its boxes where they stand on the printed paper; or the *names* over them."""
    plan = plan_fields(row["format"], sheet, tray=row["lost"] is not None)
    lead = row["lead"] if line == 0 else ""
    label = LABELS * sheet.scale - (sheet.box if lead else 0)
    yield Cell(label, row["label"] if line == 0 and not names else "")
    if lead:
        yield Cell(sheet.box, lead.strip(), framed=not names, edge="dashed")
    at = 0.0
    parts = [
        (
            run.x,
            row["digits"][run.name][run.first : run.first + run.bits],
            run.point,
            "" if run.first else run.name,
        )
        for run in plan.runs
        if run.line == line
    ]
    if row["lost"] is not None and plan.tray is not None and plan.tray[1] == line:
        parts.append((plan.tray[0], row["lost"], None, TRAY_NAME))
    for x, digits, point, name in sorted(parts, key=lambda part: part[0]):
        if x - at > 0.1:
            yield Cell(x - at, "")
        if names:
            yield Cell(len(digits) * sheet.box, name, columns=len(digits), small=True)
        for number, digit in enumerate("" if names else digits, start=1):
            yield Cell(
                sheet.box, digit.strip(), framed=True, point=number == point, hatched=name == TRAY_NAME
            )
        at = x + len(digits) * sheet.box
    if row["mark"] and not names and line == plan.lines - 1:
        yield Cell(BEFORE_MARKS, "")
        yield Cell(MARKS * sheet.scale, row["mark"])


def _cell(cell: Cell) -> str:
    sizes = {"top": 6, "left": 6, "bottom": 6, "right": 24 if cell.point else 6}
    edges = "".join(
        f'<w:{side} w:val="{cell.edge}" w:sz="{size}" w:space="0" w:color="000000"/>'
        for side, size in sizes.items()
    )
    borders = f"<w:tcBorders>{edges}</w:tcBorders>" if cell.framed else ""
    hatched = '<w:shd w:val="thinDiagStripe" w:color="auto" w:fill="auto"/>' if cell.hatched else ""
    centred = '<w:jc w:val="center"/>' if cell.framed else ""
    span = f'<w:gridSpan w:val="{cell.columns}"/>' if cell.columns > 1 else ""
    small = '<w:rPr><w:sz w:val="16"/></w:rPr>' if cell.small else ""
    return (
        f'<w:tc><w:tcPr><w:tcW w:w="{round(cell.width * A_MM)}" w:type="dxa"/>{span}'
        f'{borders}{hatched}<w:vAlign w:val="center"/></w:tcPr>'
        f'<w:p><w:pPr><w:keepNext/><w:spacing w:after="0"/>{centred}</w:pPr>'
        f"<w:r>{small}<w:t>{escape(cell.text)}</w:t></w:r></w:p></w:tc>"
    )
