"""A workbook of one sheet, written a row at a time as the XML it is kept in: the same bytes for the same rows.

The package is that of ECMA-376 part 1, with no part more than a sheet program needs.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import BinaryIO
from xml.sax.saxutils import escape
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from chalkpoint.marking.cells import column_name

__all__ = ["MADE", "write_book"]

MADE = (2020, 1, 1, 0, 0, 0)  # a fixed date: no file tells when it was made
SHOWN_AS_TYPED, TEXT, BOLD_TEXT = 0, 1, 2  # styles of cells, by their number in the part of styles
FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")  # no XML file holds them

HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
KIND = "application/vnd.openxmlformats-officedocument.spreadsheetml"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
PARTS = {
    "[Content_Types].xml": f'<Types xmlns="{PACKAGE}/content-types">'
    '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="xml" ContentType="application/xml"/>'
    f'<Override PartName="/xl/workbook.xml" ContentType="{KIND}.sheet.main+xml"/>'
    f'<Override PartName="/xl/worksheets/sheet1.xml" ContentType="{KIND}.worksheet+xml"/>'
    f'<Override PartName="/xl/styles.xml" ContentType="{KIND}.styles+xml"/>'
    '<Override PartName="/docProps/core.xml" '
    'ContentType="application/vnd.openxmlformats-package.core-properties+xml"/></Types>',
    "_rels/.rels": f'<Relationships xmlns="{PACKAGE}/relationships">'
    f'<Relationship Id="rId1" Type="{OFFICE}/officeDocument" Target="xl/workbook.xml"/>'
    f'<Relationship Id="rId2" Type="{PACKAGE}/relationships/metadata/core-properties" Target="docProps/core.xml"/>'
    "</Relationships>",
    "xl/_rels/workbook.xml.rels": f'<Relationships xmlns="{PACKAGE}/relationships">'
    f'<Relationship Id="rId1" Type="{OFFICE}/worksheet" Target="worksheets/sheet1.xml"/>'
    f'<Relationship Id="rId2" Type="{OFFICE}/styles" Target="styles.xml"/></Relationships>',
    "xl/styles.xml": f'<styleSheet xmlns="{MAIN}">'
    '<fonts count="2"><font><sz val="11"/><name val="Calibri"/></font>'
    '<font><b/><sz val="11"/><name val="Calibri"/></font></fonts>'
    '<fills count="2"><fill><patternFill patternType="none"/></fill>'
    '<fill><patternFill patternType="gray125"/></fill></fills>'
    '<borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>'
    '<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>'
    '<cellXfs count="3"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/>'
    '<xf numFmtId="49" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/>'
    '<xf numFmtId="49" fontId="1" fillId="0" borderId="0" xfId="0" applyNumberFormat="1" applyFont="1"/></cellXfs>'
    '<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles></styleSheet>',
}


def write_book(
    to: Path | BinaryIO,
    name: str,
    rows: Iterable[Sequence[str | int]],
    *,
    title: str = "",
    widths: Sequence[int] = (),
    frozen: int = 0,
    as_text: bool = False,
) -> None:
    """Write *rows*, the heads first, to *to* as a workbook whose sheet is called *name*.

    A string is a cell that is said to be text, which no sheet program runs or takes the zeros of; an int is a number.

    widths   of the first columns, in characters
    frozen   how many columns stay in sight, as the heads do
    as_text  whether what is typed over a cell is text too; the heads are bold then

    >>> from io import BytesIO
    >>> from chalkpoint.publishing.workbooks import rows_of
    >>> made = BytesIO()
    >>> write_book(made, "marks", [["student", "1"], ["Odo", 5], ["=Fenn()", 0]])
    >>> list(rows_of(made))
    [('student', '1'), ('Odo', 5), ('=Fenn()', 0)]
    """
    with ZipFile(to, "w", ZIP_DEFLATED) as package:
        for part, text in (
            PARTS | {"xl/workbook.xml": _book(name), "docProps/core.xml": _core(title)}
        ).items():
            package.writestr(_dated(part), HEAD + text)
        with package.open(_dated("xl/worksheets/sheet1.xml"), "w") as sheet:
            sheet.write((HEAD + _before_rows(widths, frozen)).encode())
            for number, row in enumerate(rows, start=1):
                style = (BOLD_TEXT if number == 1 else TEXT) if as_text else SHOWN_AS_TYPED
                cells = "".join(
                    _cell(f"{column_name(at)}{number}", cell, style) for at, cell in enumerate(row)
                )
                sheet.write(f'<row r="{number}">{cells}</row>'.encode())
            sheet.write(b"</sheetData></worksheet>")


def _dated(part: str) -> ZipInfo:
    made = ZipInfo(part, MADE)
    made.compress_type = ZIP_DEFLATED
    return made


def _book(name: str) -> str:
    return (
        f'<workbook xmlns="{MAIN}" xmlns:r="{OFFICE}"><sheets>'
        f'<sheet name="{_plain(name)}" sheetId="1" r:id="rId1"/></sheets></workbook>'
    )


def _core(title: str) -> str:
    made = "{:04}-{:02}-{:02}T{:02}:{:02}:{:02}Z".format(*MADE)
    dates = "".join(
        f'<dcterms:{what} xsi:type="dcterms:W3CDTF">{made}</dcterms:{what}>'
        for what in ("created", "modified")
    )
    return (
        f'<cp:coreProperties xmlns:cp="{PACKAGE}/metadata/core-properties" '
        'xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:dcterms="http://purl.org/dc/terms/" '
        'xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">'
        f"<dc:title>{_plain(title)}</dc:title><dc:creator>chalkpoint</dc:creator>{dates}</cp:coreProperties>"
    )


def _before_rows(widths: Sequence[int], frozen: int) -> str:
    across = f'xSplit="{frozen}" ' if frozen else ""
    pane = "bottomRight" if frozen else "bottomLeft"
    columns = "".join(
        f'<col min="{number}" max="{number}" width="{width}" customWidth="1"/>'
        for number, width in enumerate(widths, start=1)
    )
    return (
        f'<worksheet xmlns="{MAIN}"><sheetViews><sheetView workbookViewId="0">'
        f'<pane {across}ySplit="1" topLeftCell="{column_name(frozen)}2" activePane="{pane}" state="frozen"/>'
        f"</sheetView></sheetViews>{f'<cols>{columns}</cols>' if columns else ''}<sheetData>"
    )


def _cell(place: str, cell: str | int, style: int) -> str:
    styled = f' s="{style}"' if style else ""
    if isinstance(cell, int):
        return f'<c r="{place}"{styled}><v>{cell}</v></c>'
    return f'<c r="{place}"{styled} t="inlineStr"><is><t xml:space="preserve">{_plain(cell)}</t></is></c>'


def _plain(text: str) -> str:
    return escape(FORBIDDEN.sub("\N{REPLACEMENT CHARACTER}", text), {'"': "&quot;"})
