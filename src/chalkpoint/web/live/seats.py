"""What pupils ask together: the lines they send, and the state of the board; each in one transaction for all."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from chalkpoint.numbers.errors import ChalkpointError
from chalkpoint.records import rooms
from chalkpoint.records.roomlines import Line, write_lines
from chalkpoint.records.store import Store
from chalkpoint.teaching.live.room import Room
from chalkpoint.teaching.live.tally import check_line
from chalkpoint.web.gathering import Gathering
from chalkpoint.web.live.hub import LINES
from chalkpoint.web.live.opened import room_in

__all__ = ["Seats", "Sent", "state_of"]

LOOKED_AFTER = 0.02  # seconds: a board that changes is looked at by a whole class at once


@dataclass(frozen=True, slots=True)
class Sent:
    """A line as a pupil sent it.

    secret  of the browser that sits there
    round   that it was written for
    """

    secret: str
    round: int
    text: str


@dataclass(frozen=True, slots=True)
class Taken:
    """A line that is kept, in its one spelling, and the state of the board."""

    line: str
    state: str


class Seats:
    """The seats of all rooms, as their browsers ask.

    tell  told that something happened in a room: its id, and what
    """

    def __init__(self, store: Store, tell: Callable[[str, str], None]) -> None:
        self.store = store
        self.tell = tell
        self.lines: Gathering[Sent, Taken] = Gathering("lines", self._take)
        self.boards: Gathering[str, str] = Gathering("boards", self._look, pause=LOOKED_AFTER)

    def close(self) -> None:
        """Keep what was sent, and take no more."""
        self.lines.close()
        self.boards.close()

    def _take(self, sent: Sequence[Sent]) -> dict[Sent, Taken | Exception]:
        """Keep the lines of browsers that sit somewhere; what is acknowledged is kept, and what is refused is not."""
        given: dict[Sent, Taken | Exception] = {}
        written = []
        with self.store.write() as db:
            seats = rooms.seats_with(db, {one.secret for one in sent}, hold=True)
            for one in sent:
                seat = seats.get(one.secret)
                if seat is None:
                    continue
                room = room_in(seat.room)
                try:
                    line = check_line(room, one.round, one.text)
                except ChalkpointError as reason:
                    given[one] = reason
                else:
                    given[one] = Taken(line, state_of(room))
                    written.append(Line(seat.room.id, one.round, seat.number, line))
            write_lines(db, written)
        for changed in {line.room for line in written}:
            self.tell(changed, LINES)
        return given

    def _look(self, secrets: Sequence[str]) -> dict[str, str | Exception]:
        """Return the state of the board that each browser sees; none for one that sits nowhere any more."""
        with self.store.read() as db:
            seats = rooms.seats_with(db, secrets)
        return {secret: state_of(room_in(seat.room)) for secret, seat in seats.items()}


def state_of(room: Room) -> str:
    """Return what changes whenever a pupil's page must be another."""
    round_state = f"{room.round.number} {room.round.state}" if room.round else "-"
    return f"{room.at} {len(room.kept)} {round_state}"
