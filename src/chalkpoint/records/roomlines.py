"""The lines of live rooms: one of each seat in each round, written and counted for many seats and rooms at once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from chalkpoint.records.ids import now
from chalkpoint.records.looking import among, run
from chalkpoint.records.rooms import Seat
from chalkpoint.records.schema import LineRow
from chalkpoint.records.upserts import upsert

__all__ = ["Line", "counts_of", "line_of", "lines_of", "write_lines"]

LINE = LineRow.__table__


@dataclass(frozen=True, slots=True)
class Line:
    """What one seat wrote in one round of a room."""

    room: str
    round: int
    seat: int
    written: str


def write_lines(db: Session, lines: Iterable[Line]) -> None:
    """Keep *lines*; what a seat writes takes the place of what it wrote before in that round.

    They are written in the order of their keys, so that two processes that write the same ones wait for one another.
    """
    latest = {(line.room, line.round, line.seat): line.written for line in lines}
    rows = [
        {"room": room, "round": number, "seat": seat, "written": written, "at": now()}
        for (room, number, seat), written in sorted(latest.items())
    ]
    if rows:
        upsert(db, LineRow, rows)


def counts_of(db: Session, rounds: Mapping[str, int]) -> dict[str, dict[str, int]]:
    """Return how many wrote each line in the round of each room, by room."""
    query = select(LINE.c.room, LINE.c.round, LINE.c.written, func.count()).where(
        among(db, LINE.c.room, rounds), LINE.c.round.in_(set(rounds.values()))
    )
    found: dict[str, dict[str, int]] = {}
    for room, number, written, count in run(db, query.group_by(LINE.c.room, LINE.c.round, LINE.c.written)):
        if rounds[room] == number:
            found.setdefault(room, {})[written] = count
    return found


def lines_of(db: Session, room: str, round: int) -> dict[int, str]:
    """Return what was written in a round, by seat."""
    query = select(LineRow.seat, LineRow.written).where(LineRow.room == room, LineRow.round == round)
    return {seat: written for seat, written in db.execute(query.order_by(LineRow.seat))}  # noqa: C416


def line_of(db: Session, seat: Seat, round: int) -> str:
    """Return what the browser on a seat wrote in a round; "" where it wrote nothing, or another sat there then."""
    row = db.get(LineRow, (seat.room.id, round, seat.number))
    return row.written if row and row.at >= seat.since else ""
