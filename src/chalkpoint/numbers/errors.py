"""What is said when an entry cannot be taken: the value, the rule, and what would be accepted."""

from __future__ import annotations

import errno
from collections.abc import Iterable

__all__ = [
    "DISK_FULL",
    "ChalkpointError",
    "EntryError",
    "FileError",
    "is_disk_full",
    "missing_extra",
    "near_misses",
]

DISK_FULL = "the disk is full, so nothing was kept; make room on it and try again"
NO_ROOM = {errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC)}


class ChalkpointError(ValueError):
    """Base of every refusal: one sentence, meant to be shown unchanged."""


class EntryError(ChalkpointError):
    """An entry (bits, a value, a name) breaks a rule; the sentence says which and what to write."""


class FileError(ChalkpointError):
    """A file cannot be read or written."""


def missing_extra(what: str, package: str, extra: str, more: str = "") -> EntryError:
    """Return the refusal of *what* for want of *package*, with the command that installs the *extra* it belongs to.

    Run from a checkout, the command names that folder; else the package by its name.

    >>> str(missing_extra("A PDF", "typst", "print")).partition("run: ")[0]
    'A PDF takes typst, which is not installed; '
    """
    from pathlib import Path  # slow to load, and wanted where something is refused

    checkout = Path(__file__).parents[3]
    here = str(checkout) if (checkout / "pyproject.toml").is_file() else "chalkpoint"
    return EntryError(
        f'{what} takes {package}, which is not installed; run: python -m pip install "{here}[{extra}]"{more}'
    )


def near_misses(word: str, known: Iterable[str]) -> str:
    """Return the known names, those nearest to *word* first when any is near.

    >>> near_misses("substract", ["add", "subtract"])
    'did you mean subtract?'
    >>> near_misses("xyz", ["add", "subtract"])
    'give one of: add, subtract'
    """
    from difflib import get_close_matches  # slow to load, and wanted where something is refused

    names = list(known)
    close = get_close_matches(word, names)
    if close:
        return f"did you mean {' or '.join(close)}?"
    return f"give one of: {', '.join(names)}"


def is_disk_full(reason: BaseException) -> bool:
    """Tell whether something could not be written since the disk, or one's share of it, is full.

    Whichever said so: the system, or a database in its own words.

    >>> is_disk_full(OSError(errno.ENOSPC, "No space left on device")), is_disk_full(ValueError("full"))
    (True, False)
    """
    said = getattr(reason, "orig", None) or reason
    if isinstance(said, OSError):
        return said.errno in NO_ROOM
    return "disk is full" in str(said) or getattr(said, "sqlstate", "") == "53100"
