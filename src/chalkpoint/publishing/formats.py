"""The formats that can be named, as a list: in groups, one spelling each."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from itertools import groupby

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.listed import Listed

__all__ = ["formats_as_json", "formats_text"]

SCHEMA = "chalkpoint.formats/1"
INDENT, GAP = 2, 2
LONGEST_BESIDE = 24  # characters; what says more of a longer spelling stands below it
LEAST_WORDS = 20  # characters a line
BITS = 8  # characters of "128 bits"


def formats_text(listed: tuple[Listed, ...], *, width: int = 80) -> str:
    """Return *listed* as lines of text, a group under each heading, ending in a line break.

    >>> from chalkpoint.numbers.listed import list_formats
    >>> print(formats_text(list_formats()[-2:]), end="")
    Military and signal processors
      C3x-32   32 bits  TMS320C3x single: 8-bit exponent first, sign, 23 fraction
                        bits, one bit implied
      C3x-40   40 bits  TMS320C3x extended: 8-bit exponent first, sign, 31 fraction
                        bits, one bit implied
    """
    spelt = max(len(one.spelling) for one in listed if len(one.spelling) <= LONGEST_BESIDE)
    groups = []
    for name, members in groupby(listed, key=lambda one: one.group):
        lines = [line for one in members for line in _lines(one, spelt, width)]
        groups.append("\n".join([name[0].upper() + name[1:], *lines]))
    return "\n\n".join(groups) + "\n"


def _lines(one: Listed, spelt: int, width: int) -> Iterator[str]:
    bits = f"{one.bits} bits".rjust(BITS)
    start = f"{'':{INDENT}}{one.spelling:{spelt}}{'':{GAP}}"
    if len(one.spelling) > spelt:
        yield f"{'':{INDENT}}{one.spelling}"
        start = " " * (INDENT + spelt + GAP)
    start += f"{bits}{'':{GAP}}"
    said = textwrap.wrap(one.words, max(LEAST_WORDS, width - len(start)))
    yield f"{start}{said[0]}"
    for line in said[1:]:
        yield " " * len(start) + line


def formats_as_json(listed: tuple[Listed, ...]) -> JsonObject:
    """Return *listed* as a dictionary of JSON values.

    >>> from chalkpoint.numbers.listed import list_formats
    >>> [one["bits"] for one in formats_as_json(list_formats())["formats"] if one["spelling"] == "8+4"]
    [12]
    """
    return {
        "schema": SCHEMA,
        "formats": [
            {"group": one.group, "spelling": one.spelling, "bits": one.bits, "words": one.words}
            for one in listed
        ],
    }
