"""Sheets read: the rows of a workbook's first sheet, each cell as the sheet program kept it."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from typing import BinaryIO
from zipfile import BadZipFile, ZipFile

from chalkpoint.numbers.errors import EntryError, FileError, missing_extra

__all__ = ["rows_of"]

MOST_UNPACKED = 100_000_000  # bytes: a board's entry of 100,000 scripts, with room
MOST_PARTS = 1_000
MOST_ROWS = 1_048_576  # what a sheet program has
MOST_COLUMNS = 300


def rows_of(path: str | Path | BinaryIO) -> Iterator[tuple[object, ...]]:
    """Yield the rows of the first sheet of the .xlsx file at *path*, or of an open one, one at a time.

    Raises FileError when it cannot be read as a workbook, EntryError when it unpacks to more than is read.
    """
    try:
        from openpyxl import load_workbook
    except ImportError as reason:
        raise missing_extra("a sheet", "openpyxl", "print", "; or save as .csv") from reason
    _check_size(path)
    try:
        book = load_workbook(path, read_only=True, data_only=True)
    except Exception as reason:  # the library raises whatever its parts raise
        raise _unreadable(path, getattr(reason, "strerror", None) or "not a workbook") from reason
    try:
        for row in islice(book.worksheets[0].iter_rows(values_only=True), MOST_ROWS):
            yield row[:MOST_COLUMNS]
    except Exception as reason:  # a sheet is unpacked as it is read, so damage shows only here
        raise _unreadable(path, "its first sheet is damaged, or there is none") from reason
    finally:
        book.close()


def _unreadable(path: str | Path | BinaryIO, why: str) -> FileError:
    return FileError(f"{_named(path)} cannot be read ({why}); give a .csv, .xlsx or .json file")


def _check_size(path: str | Path | BinaryIO) -> None:
    """Raise before anything is unpacked that would fill the memory: a workbook is a zip file, and may be a bomb."""
    try:
        with ZipFile(path) as packed:
            parts = packed.infolist()
            size = sum(part.file_size for part in parts)
    except (BadZipFile, OSError, ValueError):
        return  # what is no zip file is refused below, with the library's reason
    if size > MOST_UNPACKED or len(parts) > MOST_PARTS:
        raise EntryError(
            f"{_named(path)} unpacks to {size:,} bytes in {len(parts):,} parts; up to {MOST_UNPACKED:,} bytes in "
            f"{MOST_PARTS:,} parts are read; save the sheet of answers alone, or as .csv"
        )


def _named(path: str | Path | BinaryIO) -> str:
    return f"the answers {str(path)!r}" if isinstance(path, str | Path) else "the sheet"
