"""Long lists, a page at a time."""

from __future__ import annotations

from dataclasses import dataclass

from chalkpoint.web.forms import Form

__all__ = ["Part", "part_asked"]

LISTED = 50  # things on a page
MOST_PAGES = 100_000


@dataclass(frozen=True, slots=True)
class Part:
    """The part of a long list that a page shows.

    name    the entry of the address that says which part is asked for
    number  which one it is, from 1
    count   how many things the whole list has
    size    how many a page shows

    >>> part = Part("page", 3, count=120, size=50)
    >>> part.start, part.last, part.pages
    (100, 120, 3)
    """

    name: str
    number: int
    count: int
    size: int

    @property
    def start(self) -> int:
        """How many things the pages before show."""
        return (self.number - 1) * self.size

    @property
    def last(self) -> int:
        """The number of the last thing on this page."""
        return min(self.start + self.size, self.count)

    @property
    def pages(self) -> int:
        """How many pages the list has."""
        return -(-self.count // self.size)


def part_asked(form: Form, count: int, *, name: str = "page", size: int = LISTED) -> Part:
    """Return which part of a list of *count* things is asked for; the last one where the list has grown shorter.

    >>> part_asked(Form({"page": ["2"]}), 70).start, part_asked(Form({"page": ["2"]}), 30).start
    (50, 0)

    Raises EntryError for what is no page's number.
    """
    last = max(1, Part(name, 1, count, size).pages)
    return Part(name, min(form.number(name, 1, least=1, most=MOST_PAGES), last), count, size)
