"""A picture of the page: named things in drawing order, and the ways by which digits come to their places."""

from __future__ import annotations

from dataclasses import dataclass, field

from chalkpoint.publishing.film.items import Item

__all__ = ["Picture", "Way"]


@dataclass(frozen=True, slots=True)
class Way:
    """How one digit comes: from the middle (x, y) at some *size*.

    kind  "move" where all move together; "invert" one after the other; "sum" and "rise" once the pointer is there
    turn  which of its kind it is
    """

    x: float
    y: float
    size: float
    kind: str = "move"
    turn: int = 0


@dataclass(slots=True)
class Picture:
    """One state of the page.

    items  what is drawn on it, by name: the same thing has the same name from picture to picture
    born   by name, the names of what it may have been in the picture before
    ways   by name and column, how a digit that is new there comes
    words  the picture for those who cannot see it
    """

    items: dict[str, Item] = field(default_factory=dict)
    born: dict[str, tuple[str, ...]] = field(default_factory=dict)
    ways: dict[tuple[str, int], Way] = field(default_factory=dict)
    words: str = ""

    def to_back(self, name: str) -> None:
        """Let everything else be drawn over what is called *name*."""
        self.items = {name: self.items[name]} | self.items
