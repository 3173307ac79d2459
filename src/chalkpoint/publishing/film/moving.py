"""From picture to picture: what moves, when, and everything at one instant."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from chalkpoint.publishing.film.items import Band, Bit, Item, faded, mixed
from chalkpoint.publishing.film.picture import Picture, Way
from chalkpoint.publishing.film.row import Cell, Row

__all__ = ["Move", "moves"]

SLIDE, FADE, FLIGHT, POINT = 0.6, 0.35, 0.5, 0.24  # seconds
#: When the first of a kind sets out (seconds, share of what is said), and how long after it the next.
SETS_OUT = {
    "move": (0.3, 0.0, 0.1),
    "invert": (0.5, 0.15, 0.22),
    "sum": (0.25, 0.3, 0.09),
    "rise": (0.3, 0.55, 0.1),
}
SPARE = 0.15  # seconds of stillness at the end of a cue


@dataclass(frozen=True, slots=True)
class Move:
    """A thing by its name, still until *start* s, then moving to *end* within *seconds*, then still.

    begin  where it comes from, or None where it fades in
    """

    name: str
    begin: Item | None
    end: Item
    start: float
    seconds: float

    def at(self, time: float) -> Item | None:
        """Return the thing at *time*; None before it has set out."""
        if time >= self.start + self.seconds:
            return self.end
        t = max(0.0, (time - self.start) / self.seconds)
        if self.begin is None:
            return faded(self.end, t) if t > 0 else None
        eased = t * t * (3 - 2 * t)
        return mixed(self.begin, self.end, eased)


def moves(before: Picture, after: Picture, seconds: float) -> tuple[list[Move], dict[str, Item]]:
    """Return what moves between two pictures, and what is still or only changes once digits have come.

    seconds  how long the second picture is talked about: everything has come by then
    """
    found: list[Move] = []
    still: dict[str, Item] = {}
    for name, item in after.items.items():
        old = before.items.get(name)
        if old == item:
            still[name] = item
            continue
        if old is None:
            old = next((before.items[one] for one in after.born.get(name, ()) if one in before.items), None)
        flights = list(_flights(name, old, item, after, seconds))
        if flights:
            landed = max(move.start + move.seconds for move in flights)
            still[name] = _waiting(item, old, {column for column, _ in _fresh(item, old, after, name)})
            found += flights
            found.append(Move(name, item, item, landed, 1e-6))
        elif old is None:
            found.append(Move(name, None, item, 0.0, FADE))
        elif type(old) is type(item):
            found.append(Move(name, old, item, 0.0, POINT if isinstance(item, Band) else SLIDE))
        else:
            still[name] = item
    return _within(found, seconds), still


def _within(found: list[Move], seconds: float) -> list[Move]:
    """Return the moves, hurried where they would last longer than there is time."""
    last = max((move.start + move.seconds for move in found), default=0.0)
    room = max(0.3, seconds - SPARE)
    if last <= room:
        return found
    share = room / last
    return [replace(move, start=move.start * share, seconds=move.seconds * share) for move in found]


def _fresh(item: Item, old: Item | None, after: Picture, name: str) -> Iterator[tuple[int, Way]]:
    """Yield the columns of a row whose digit has just come, each with its way."""
    if isinstance(item, Bit) and old is None and (name, 0) in after.ways:
        yield 0, after.ways[name, 0]
    if not isinstance(item, Row):
        return
    had = {cell.column: cell.digit for cell in old.cells} if isinstance(old, Row) else {}
    if isinstance(old, Row) and old.y != item.y:
        return  # the whole row travels
    for cell in item.cells:
        way = after.ways.get((name, cell.column))
        if way and cell.digit and not had.get(cell.column):
            yield cell.column, way


def _flights(name: str, old: Item | None, item: Item, after: Picture, seconds: float) -> Iterator[Move]:
    fresh = list(_fresh(item, old, after, name))
    for turn, (column, way) in enumerate(sorted(fresh, key=lambda each: each[1].turn)):
        lead, share, apart = SETS_OUT[way.kind]
        start = lead + share * seconds + apart * turn
        if isinstance(item, Bit):
            end: Bit = item
        elif isinstance(item, Row):
            cell = next(cell for cell in item.cells if cell.column == column)
            colour = (
                "ink" if cell.style in {"lost", "kept"} else "soft" if cell.style == "dropped" else "change"
            )
            end = Bit(
                digit=cell.digit, x=cell.x + item.u / 2, y=item.y + item.h / 2, size=item.size, colour=colour
            )
        else:
            continue
        begin = replace(end, x=way.x, y=way.y, size=way.size)
        yield Move(f"{name}>{column}" if isinstance(item, Row) else name, begin, end, start, FLIGHT)


def _waiting(item: Item, old: Item | None, coming: set[int]) -> Item:
    """Return a row while some of its digits are still on their way."""
    if not isinstance(item, Row):
        return item
    cells = tuple(_still_blank(cell) if cell.column in coming else cell for cell in item.cells)
    kept = tuple(cell for cell in cells if cell.digit or cell.style not in {"lost", "dropped", "extra"})
    if isinstance(old, Row) and not old.value:
        item = replace(item, value="", aside="")
    return replace(item, cells=kept)


def _still_blank(cell: Cell) -> Cell:
    style = cell.style if cell.style in {"lost", "dropped", "extra"} else "kept"
    return replace(cell, digit="", style=style)
