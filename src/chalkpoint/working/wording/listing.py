"""The list of formats as a person reads it, and as a program does."""

from __future__ import annotations

from itertools import groupby
from typing import Any

from chalkpoint.numbers.listed import list_formats

__all__ = ["formats_as_data", "formats_as_text"]


def formats_as_text() -> str:
    """Return the list of formats, a group at a time.

    >>> [line for line in formats_as_text().splitlines() if line[:1].isalpha()][:2]
    ['School floating point', 'Whole numbers and fixed point']
    """
    listed = list_formats()
    width = max(len(entry.spelling) for entry in listed)
    lines: list[str] = []
    for group, entries in groupby(listed, key=lambda entry: entry.group):
        lines += ["", group[0].upper() + group[1:]] if lines else [group[0].upper() + group[1:]]
        lines += [f"  {entry.spelling:<{width}}  {entry.bits:>3} bits  {entry.words}" for entry in entries]
    return "\n".join(lines) + "\n"


def formats_as_data() -> dict[str, Any]:
    """Return the list of formats as one JSON object.

    >>> formats_as_data()["formats"][0]["format"]
    '6+4'
    """
    return {
        "schema": "chalkpoint.formats/1",
        "formats": [
            {"group": entry.group, "format": entry.spelling, "bits": entry.bits, "words": entry.words}
            for entry in list_formats()
        ],
    }
