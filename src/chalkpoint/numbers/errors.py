"""What is said when an entry cannot be taken: the value, the rule, and what would be accepted."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

__all__ = ["ChalkpointError", "EntryError", "FileError", "near_misses"]


class ChalkpointError(ValueError):
    """Base of every refusal: one sentence, meant to be shown as it stands."""


class EntryError(ChalkpointError):
    """An entry (bits, a value, a name) breaks a rule; the sentence says which and what to write."""


class FileError(ChalkpointError):
    """A file cannot be read or written."""


def near_misses(word: str, known: Iterable[str]) -> str:
    """Return the known names, those nearest to *word* first when any is near.

    >>> near_misses("substract", ["add", "subtract"])
    'did you mean subtract?'
    >>> near_misses("xyz", ["add", "subtract"])
    'give one of: add, subtract'
    """
    names = list(known)
    close = get_close_matches(word, names)
    if close:
        return f"did you mean {' or '.join(close)}?"
    return f"give one of: {', '.join(names)}"
