"""What the pages of teachers show of their rooms: made once for each change, and told as what differs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.records import rooms
from chalkpoint.records.roomlines import counts_of
from chalkpoint.records.rooms import KeptRoom
from chalkpoint.records.store import Store, Transaction
from chalkpoint.teaching.live.room import LETTERS, Room, to_write
from chalkpoint.teaching.live.tally import Tally, TallyLine, tally_of
from chalkpoint.web.gathering import Gathering
from chalkpoint.web.live.opened import room_in
from chalkpoint.web.rendering import render

if TYPE_CHECKING:
    from markupsafe import Markup

__all__ = ["Seen", "Tallies", "difference", "seen_of"]

GATHERED = 0.06  # seconds in which many lines make one tally


@dataclass(frozen=True)
class Seen:
    """A room as its teacher sees it: one look, which every page of that room shows.

    kept   the room as it is kept
    room   the room
    tally  of the round that it is in, None between rounds
    came   how many seats are taken
    """

    kept: KeptRoom
    room: Room
    tally: Tally | None
    came: int

    @property
    def state(self) -> str:
        """What changes whenever the teacher's buttons must be others."""
        room = self.room
        return f"{room.rounds} {room.round.state if room.round else ''} {len(room.kept)} {room.at}"

    @cached_property
    def rows(self) -> Mapping[str, Markup]:
        """Each line of the tally as a row of its table, by what was written or the letter of a card."""
        if self.tally is None or self.room.round is None:
            return {}
        shown = (self.room.round.kind == LETTERS, self.room.is_open, self.tally.marked)
        return {line.letter or line.written: _row(line, *shown) for line in self.tally.lines}

    @cached_property
    def says(self) -> Markup:
        """How many have written or come in, as a part of the page."""
        return render("tally-says.html.jinja", self._shown)

    @cached_property
    def whole(self) -> Markup:
        """All of it as a part of the page."""
        return render("tally.html.jinja", self._shown | {"says": self.says, "rows": self.rows})

    @property
    def _shown(self) -> JsonObject:
        return {"room": self.room, "tally": self.tally, "came": self.came, "left": to_write(self.room)}


@lru_cache(4096)
def _row(line: TallyLine, letters: bool, is_open: bool, marked: bool) -> Markup:  # noqa: FBT001 - a key of the cache
    """Return a row of the table, drawn once for all classes that wrote that line."""
    return render(
        "tally-row.html.jinja", {"line": line, "letters": letters, "is_open": is_open, "marked": marked}
    )


def difference(before: Seen | None, now: Seen) -> tuple[str, JsonObject] | None:
    """Return the name and data of the event that makes a page show *now* where it shows *before*; None for none.

    A page whose frame is another is told all of it.
    """
    if before is None or _frame(before) != _frame(now):
        return "tally", {"state": now.state, "html": now.whole}
    rows = {name: row for name, row in now.rows.items() if before.rows.get(name) != row}
    if not rows and list(before.rows) == list(now.rows) and before.says == now.says:
        return None
    return "change", {"state": now.state, "says": now.says, "rows": rows, "order": list(now.rows)}


def _frame(seen: Seen) -> tuple[object, ...]:
    """Return what surrounds the rows."""
    return seen.state, bool(seen.rows), seen.tally.asks if seen.tally else None


class Tallies:
    """The present look of each room that is asked for, made for all of them in one transaction."""

    def __init__(self, store: Store) -> None:
        self.store = store
        self.looks: Gathering[str, Seen] = Gathering("tallies", self._look, pause=GATHERED)

    def close(self) -> None:
        """Make no more."""
        self.looks.close()

    def _look(self, ids: Sequence[str]) -> dict[str, Seen | Exception]:
        with self.store.read() as db:
            kept = rooms.rooms_with(db, ids)
            return dict(seen_of(db, list(kept.values())))


def seen_of(db: Transaction, kept: Sequence[KeptRoom]) -> dict[str, Seen]:
    """Return what teachers see of rooms, by their ids."""
    opened = {one.id: room_in(one) for one in kept}
    counts = counts_of(db, {own: room.round.number for own, room in opened.items() if room.round})
    came = rooms.came(db, list(opened))
    return {one.id: _seen(one, opened[one.id], counts.get(one.id, {}), came.get(one.id, 0)) for one in kept}


def _seen(one: KeptRoom, room: Room, counts: Mapping[str, int], came: int) -> Seen:
    return Seen(one, room, tally_of(room, counts, came=came) if room.round else None, came)
