"""Sheets read: the rows of a workbook's first sheet, each cell as the sheet program kept it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from chalkpoint.numbers.errors import EntryError, FileError

__all__ = ["rows_of"]


def rows_of(path: str | Path) -> Iterator[tuple[Any, ...]]:
    """Yield the rows of the first sheet of the .xlsx file at *path*, one at a time.

    Raises FileError when it cannot be read as a workbook.
    """
    try:
        from openpyxl import load_workbook
    except ImportError as reason:
        raise EntryError(
            "sheets need openpyxl, which is not installed; run: pip install 'chalkpoint[print]', or save as .csv"
        ) from reason
    try:
        book = load_workbook(path, read_only=True, data_only=True)
    except Exception as reason:  # the library raises whatever its parts raise
        why = getattr(reason, "strerror", None) or "not a workbook"
        raise FileError(
            f"the answers {str(path)!r} cannot be read ({why}); give a .csv, .xlsx or .json file"
        ) from reason
    try:
        yield from book.worksheets[0].iter_rows(values_only=True)
    finally:
        book.close()
