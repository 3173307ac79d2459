"""Files, JSON and TOML that others wrote: what is wrong with one is told in a sentence, or as the library's own error.

Left to themselves the libraries break in other ways at texts nested a thousand deep and at numbers of thousands of
digits.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, TypeAlias

from chalkpoint.numbers.errors import EntryError, FileError

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["JsonMapping", "JsonObject", "load_json", "load_toml", "read_json", "read_text"]

JsonObject: TypeAlias = dict[str, Any]
"""A JSON object or a TOML table. What is in one that others wrote is checked where it is read."""

JsonMapping: TypeAlias = Mapping[str, Any]
"""The same, to be read only."""

DEEP = "it is nested too deep"
LONG = "it has a number of more digits than are read"


def read_text(path: str | Path, what: str, give: str, *, encoding: str = "utf-8") -> str:
    """Return the text in the file at *path*.

    what  what it is, as a refusal calls it
    give  what would be read, for the refusal

    Raises FileError when it cannot be read.
    """
    from pathlib import Path  # slow to load, and what is worked needs no file

    try:
        return Path(path).read_text(encoding=encoding)
    except (OSError, UnicodeDecodeError) as reason:
        why = getattr(reason, "strerror", None) or "not text in UTF-8"
        raise FileError(f"the {what} {str(path)!r} cannot be read ({why}); give {give}") from reason


def read_json(path: str | Path, what: str, give: str) -> Any:
    """Return what is written in the JSON file at *path*; *what* and *give* as for `read_text`.

    Raises FileError when it cannot be read, EntryError when it is no JSON.
    """
    import json

    try:
        return load_json(read_text(path, what, give))
    except json.JSONDecodeError as reason:
        raise EntryError(f"{path}: not JSON ({reason.msg}); give {give}") from reason


def load_json(text: str) -> Any:
    """Return what is written in JSON.

    >>> load_json('{"format": "8+4"}')
    {'format': '8+4'}
    >>> load_json("[" * 100_000)
    Traceback (most recent call last):
    ...
    json.decoder.JSONDecodeError: it is nested too deep: line 1 column 1 (char 0)

    Raises json.JSONDecodeError for what is none.
    """
    import json  # slow to load, as the next, and what is worked needs no file

    try:
        return json.loads(text)
    except json.JSONDecodeError:
        raise
    except RecursionError as reason:
        raise json.JSONDecodeError(DEEP, text, 0) from reason
    except ValueError as reason:
        raise json.JSONDecodeError(LONG, text, 0) from reason


def load_toml(text: str) -> JsonObject:
    """Return what is written in TOML.

    >>> load_toml("part = " + "9" * 5_000)
    Traceback (most recent call last):
    ...
    tomllib.TOMLDecodeError: it has a number of more digits than are read

    Raises tomllib.TOMLDecodeError for what is none.
    """
    import tomllib

    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        raise
    except RecursionError as reason:
        raise tomllib.TOMLDecodeError(DEEP) from reason
    except ValueError as reason:
        raise tomllib.TOMLDecodeError(LONG) from reason
