"""Answers as files and sheets have them: a .csv or .json, cells that were pasted, a homework sheet; all as rows."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TextIO, TypeAlias

from chalkpoint.numbers.datafiles import load_json
from chalkpoint.numbers.errors import EntryError, FileError

__all__ = ["Cell", "Row", "encoding_of", "read_answers", "rows_in", "rows_in_text"]

Cell: TypeAlias = object  # text, a number, nothing; or whatever else a sheet program made of it
Row: TypeAlias = Sequence[Cell]


def read_answers(path: str | Path) -> Iterator[Row]:
    """Yield the rows of a .csv or .json file of answers, the first being the heads.

    A sheet (.xlsx) is read by ``publishing.workbooks.rows_of``.
    Raises FileError when the file cannot be read.
    """
    try:
        with Path(path).open("rb") as raw:
            encoding = encoding_of(raw.read(4))
        with Path(path).open(encoding=encoding, newline="") as file:
            yield from _rows(file, str(path), is_json=Path(path).suffix.lower() == ".json")
    except (OSError, UnicodeDecodeError) as reason:
        why = getattr(reason, "strerror", None) or "not text in UTF-8 or UTF-16"
        raise FileError(
            f"the answers {str(path)!r} cannot be read ({why}); give a .csv, .xlsx or .json file"
        ) from reason


def encoding_of(start: bytes) -> str:
    """Return how a text that begins with *start* is encoded: sheet programs that save "Unicode text" mean UTF-16.

    >>> encoding_of("student,1".encode("utf-16")), encoding_of(b"student,1")
    ('utf-16', 'utf-8-sig')
    """
    if start[:2] in {b"\xff\xfe", b"\xfe\xff"}:
        return "utf-16"
    return "utf-16-le" if start[1:2] == b"\x00" else "utf-8-sig"


def rows_in_text(text: str, *, is_json: bool = False) -> Iterator[Row]:
    r"""Yield the rows of answers in *text*, such as a sheet's cells pasted with tabs between them.

    >>> list(rows_in_text("student\t1\nOdo\t0.1010100 0011"))
    [['student', '1'], ['Odo', '0.1010100 0011']]
    """
    yield from _rows(io.StringIO(text, newline=""), "the answers", is_json=is_json)


def _rows(file: TextIO, where: str, *, is_json: bool) -> Iterator[Row]:
    if is_json:
        yield from rows_in(_json(file.read(), where))
        return
    start = file.read(4096)
    file.seek(0)
    try:
        yield from csv.reader(file, delimiter=_delimiter(start))
    except csv.Error as reason:
        raise EntryError(f"{where}: not a table ({reason}); give a row a pupil, or a row a line") from reason


def _delimiter(start: str) -> str:
    """Return what parts the cells: where commas are decimal, sheets are written with semicolons or tabs."""
    first = start.splitlines()[0] if start else ""
    return max(",;\t", key=first.count)


def _json(text: str, where: str) -> object:
    try:
        return load_json(text)
    except json.JSONDecodeError as reason:
        fault = f"{reason.msg} at line {reason.lineno}"
        raise EntryError(f"{where}: not JSON ({fault}); give a list of rows") from reason


def rows_in(table: object) -> Iterator[Row]:
    """Yield the rows of answers held as objects: a list of rows, or a homework sheet with "answers".

    >>> list(rows_in([{"student": "Odo", "question": 1, "written": "5.25"}]))[1]
    ('Odo', 1, 1, 'answer', '5.25')
    """
    if isinstance(table, dict):
        own = {key: table[key] for key in ("student", "variant") if key in table}
        table = table.get("answers", [])
    else:
        own = {}
    if not isinstance(table, list) or not all(isinstance(entry, dict) for entry in table):
        raise EntryError(
            'answers in JSON are a list of {"student": ..., "question": ..., "line": ..., "written": ...}'
        )
    yield ("student", "variant", "question", "line", "written")
    for entry in (own | entry for entry in table):
        yield (
            entry.get("student", ""),
            entry.get("variant", 1),
            entry.get("question", ""),
            entry.get("line", "answer"),
            entry.get("written", entry.get("answer", "")),
        )
