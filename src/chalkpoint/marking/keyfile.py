"""A key in a file: a table with the columns question and answer, and one for each line of working given."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from chalkpoint.marking.key import Item
from chalkpoint.numbers.datafiles import read_text
from chalkpoint.numbers.errors import EntryError

__all__ = ["read_key_file", "read_key_text"]


def read_key_file(path: str | Path) -> list[Item]:
    """Return the items of the key in the CSV file at *path*; rows without an answer are left out.

    Raises FileError when the file cannot be read and EntryError when a column is missing.
    """
    text = read_text(path, "key", "a CSV file", encoding="utf-8-sig")
    return read_key_text(text, where=str(path))


def read_key_text(text: str, *, where: str = "the key") -> list[Item]:
    r"""Return the items of the key in *text*, a table with commas; *where* opens the sentence of an error.

    >>> read_key_text("question,answer\nadd 1.5 2.5,01000000 0011")[0].answer
    '01000000 0011'
    """
    rows = csv.DictReader(io.StringIO(text), skipinitialspace=True)
    columns = [(name or "").strip().lower() for name in rows.fieldnames or []]
    for needed in ("question", "answer"):
        if needed not in columns:
            raise EntryError(
                f"{where}: no column {needed!r} among {', '.join(columns) or 'none'}; "
                "the first row must name the columns question and answer"
            )
    rows.fieldnames = columns
    items = []
    for row in rows:
        cells = {
            name: (value or "").strip() for name, value in row.items() if name and not isinstance(value, list)
        }
        question, answer = cells.pop("question", ""), cells.pop("answer", "")
        if question and answer:
            items.append(Item(question, answer, {name: text for name, text in cells.items() if text}))
    if not items:
        raise EntryError(f"{where}: no row has a question and an answer; write at least one")
    return items
