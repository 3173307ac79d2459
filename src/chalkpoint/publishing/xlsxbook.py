"""A workbook of one sheet, written a row at a time: the same bytes for the same rows."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import BinaryIO

from chalkpoint.numbers.errors import missing_extra

__all__ = ["MADE", "write_book"]

MADE = (2020, 1, 1, 0, 0, 0)  # a fixed date: no file tells when it was made
FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")  # no XML file holds them
TEXT = {"num_format": "@"}


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
    try:
        from xlsxwriter import Workbook
    except ImportError as reason:
        raise missing_extra("a sheet", "xlsxwriter", "print", "; or save as .csv") from reason
    with Workbook(to, {"constant_memory": True}) as book:
        book.set_properties(
            {"title": _plain(title), "author": "chalkpoint", "created": datetime(*MADE, tzinfo=UTC)}
        )
        sheet = book.add_worksheet(name)
        sheet.freeze_panes(1, frozen)
        for column, width in enumerate(widths):
            sheet.set_column(column, column, width)
        text, head = (
            (book.add_format(TEXT), book.add_format(TEXT | {"bold": True})) if as_text else (None, None)
        )
        for number, row in enumerate(rows):
            for column, cell in enumerate(row):
                if isinstance(cell, int):
                    sheet.write_number(number, column, cell)
                else:
                    sheet.write_string(number, column, _plain(cell), text if number else head)


def _plain(text: str) -> str:
    return FORBIDDEN.sub("\N{REPLACEMENT CHARACTER}", text)
