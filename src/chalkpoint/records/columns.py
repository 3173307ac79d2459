"""What a column takes: the same on every database, and refused in a sentence before any database sees it."""

from __future__ import annotations

import re
from typing import Any

from sqlalchemy import Dialect, Integer, String, Text
from sqlalchemy.exc import DontWrapMixin
from sqlalchemy.types import TypeDecorator

from chalkpoint.numbers.errors import EntryError

__all__ = ["Unwritable", "Whole", "Words"]

SHOWN = 40  # characters of a refused text that are said again
HALVES = re.compile("[\ud800-\udfff]")  # a loop over the signs of a large class's marks takes a minute
LARGEST = 2**31 - 1  # PostgreSQL's integers have 32 bits


class Unwritable(EntryError, DontWrapMixin):  # noqa: N818 - it reads as what it says
    """A text or a number that not every database can keep."""


class Words(TypeDecorator[str]):
    """Text: of any length, or of *length* characters at most."""

    impl = Text
    cache_ok = True

    def __init__(self, length: int | None = None) -> None:
        super().__init__()
        self.length = length

    def load_dialect_impl(self, dialect: Dialect) -> Any:
        """Return the database's own type."""
        return Text() if self.length is None else String(self.length)

    def process_bind_param(self, value: str | None, dialect: Dialect) -> str | None:
        """Refuse what is too long, the sign with the code 0, and halves of signs."""
        if value is None:
            return None
        if self.length is not None and len(value) > self.length:
            raise Unwritable(
                f"{value[:SHOWN]!r} and so on has {len(value)} characters; give {self.length} at most"
            )
        if "\0" in value or (not value.isascii() and HALVES.search(value)):
            raise Unwritable(f"{value[:SHOWN]!r} has a sign that cannot be kept; give plain text")
        return value


class Whole(TypeDecorator[int]):
    """A whole number of 32 bits."""

    impl = Integer
    cache_ok = True

    def process_bind_param(self, value: int | None, dialect: Dialect) -> int | None:
        """Refuse a number that is too large."""
        if value is not None and not -LARGEST <= value <= LARGEST:
            raise Unwritable(f"{value} cannot be kept; give a number from {-LARGEST} to {LARGEST}")
        return value
