"""Live rooms, as long as they are open: who sits where is a secret in a browser, never a name or an address.

A room that is closed is forgotten: its seats and every line go with it.
"""

from __future__ import annotations

import secrets
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.orm import Session

from chalkpoint.numbers.errors import EntryError
from chalkpoint.records.ids import now
from chalkpoint.records.kept import NotKept
from chalkpoint.records.looking import find
from chalkpoint.records.schema import LineRow, RoomRow, SeatRow

__all__ = [
    "KeptRoom",
    "Seat",
    "came",
    "change_room",
    "close_room",
    "code_room",
    "free_seat",
    "keep_room",
    "leave_seat",
    "line_of",
    "lines_of",
    "one_room",
    "put_codes",
    "room_called",
    "room_with",
    "rooms_of",
    "seat_of",
    "sit",
    "words_taken",
    "write_line",
]

BYTES = 24


@dataclass(frozen=True, slots=True)
class KeptRoom:
    """A room as it is kept: *body* is chalkpoint.room/1 as text."""

    id: str
    word: str
    body: str
    opened: str


@dataclass(frozen=True, slots=True)
class Seat:
    """A seat that is taken, and its room."""

    room: KeptRoom
    number: int


def keep_room(db: Session, teacher: str, word: str, body: str) -> str:
    """Keep a new room and return its id."""
    row = RoomRow(teacher=teacher, word=word, body=body)
    db.add(row)
    db.flush()
    return row.id


def one_room(db: Session, teacher: str, id: str) -> KeptRoom:
    """Return a teacher's room.

    Raises NotKept where there is none, or it is another's.
    """
    return _kept(_row(db, teacher, id))


def rooms_of(db: Session, teacher: str) -> Sequence[KeptRoom]:
    """Return a teacher's open rooms, the latest first."""
    query = select(RoomRow).where(RoomRow.teacher == teacher).order_by(RoomRow.opened.desc())
    return [_kept(row) for row in db.scalars(query)]


def change_room(db: Session, teacher: str, id: str, body: str) -> None:
    """Keep a room as it is after an act of the teacher's."""
    _row(db, teacher, id).body = body


def close_room(db: Session, teacher: str, id: str) -> None:
    """Close a room and forget everything about it."""
    db.delete(_row(db, teacher, id))


def words_taken(db: Session) -> Sequence[str]:
    """Return the words of every open room."""
    return list(db.scalars(select(RoomRow.word)))


def room_called(db: Session, word: str) -> KeptRoom | None:
    """Return the open room with that word."""
    row = db.scalar(select(RoomRow).where(RoomRow.word == word))
    return _kept(row) if row else None


def room_with(db: Session, id: str) -> KeptRoom | None:
    """Return a room by its id, for those who sit in it."""
    row = find(db, RoomRow, id)
    return _kept(row) if row else None


# === Seats ===


def put_codes(db: Session, teacher: str, id: str, codes: Iterable[tuple[int, str]]) -> None:
    """Keep the codes of slips, a seat each, in place of those before."""
    room = _row(db, teacher, id)
    for seat, code in codes:
        row = db.get(SeatRow, (room.id, seat))
        if row is None:
            db.add(SeatRow(room=room.id, seat=seat, code=code))
        else:
            row.code = code
    db.flush()


def code_room(db: Session, code: str) -> Seat | None:
    """Return the seat that a slip's code is for."""
    row = db.scalar(select(SeatRow).where(SeatRow.code == code))
    room = room_with(db, row.room) if row else None
    return Seat(room, row.seat) if row and room else None


def sit(db: Session, room: str, seat: int, *, by_slip: bool = False) -> str:
    """Take a seat and return the secret that its browser keeps.

    by_slip  whether a slip was shown, which takes the seat even from another browser

    Raises EntryError where somebody sits there.
    """
    secret = secrets.token_urlsafe(BYTES)
    insert = _insert(db, SeatRow).values(room=room, seat=seat)
    db.execute(insert.on_conflict_do_nothing(index_elements=["room", "seat"]))
    row = db.get_one(SeatRow, (room, seat), with_for_update=True, populate_existing=True)
    if row.digest and not by_slip:
        raise EntryError(
            f"somebody sits on seat {seat} already; give your own seat, or ask your teacher to free it"
        )
    row.digest = _digest(secret)
    db.flush()
    return secret


def seat_of(db: Session, secret: str) -> Seat | None:
    """Return the seat whose browser has this secret; None once its room is closed."""
    query = select(SeatRow, RoomRow).join(RoomRow, RoomRow.id == SeatRow.room)
    found = db.execute(query.where(SeatRow.digest == _digest(secret))).first()
    return Seat(_kept(found[1]), found[0].seat) if found else None


def leave_seat(db: Session, secret: str) -> None:
    """Free the seat whose browser has this secret."""
    row = db.scalar(select(SeatRow).where(SeatRow.digest == _digest(secret)))
    if row is not None:
        row.digest = None


def free_seat(db: Session, teacher: str, id: str, seat: int) -> None:
    """Free a seat, so that another browser can take it; what was written there stays counted once."""
    row = db.get(SeatRow, (_row(db, teacher, id).id, seat))
    if row is not None:
        row.digest = None


def came(db: Session, room: str) -> int:
    """Return how many seats are taken."""
    query = select(func.count()).where(SeatRow.room == room, SeatRow.digest.is_not(None))
    return db.scalar(query) or 0


# === Lines ===


def write_line(db: Session, room: str, round: int, seat: int, written: str) -> None:
    """Keep what a seat wrote in a round, in place of what it wrote before: however often it is sent, it is one line."""
    row = {"room": room, "round": round, "seat": seat, "written": written, "at": now()}
    made = _insert(db, LineRow).values(row)
    changed = {"written": made.excluded.written, "at": made.excluded.at}
    db.execute(made.on_conflict_do_update(index_elements=["room", "round", "seat"], set_=changed))


def lines_of(db: Session, room: str, round: int) -> dict[int, str]:
    """Return what was written in a round, by seat."""
    query = select(LineRow.seat, LineRow.written).where(LineRow.room == room, LineRow.round == round)
    return {seat: written for seat, written in db.execute(query.order_by(LineRow.seat))}  # noqa: C416


def line_of(db: Session, room: str, round: int, seat: int) -> str:
    """Return what one seat wrote in a round, "" where it wrote nothing."""
    row = db.get(LineRow, (room, round, seat))
    return row.written if row else ""


def _insert(db: Session, table: type[LineRow | SeatRow]) -> sqlite.Insert:
    """Return a statement that can be told what to do where there is such a row already, alike on both databases."""
    on: Any = postgresql if db.get_bind().dialect.name == "postgresql" else sqlite
    made: sqlite.Insert = on.insert(table)
    return made


def _row(db: Session, teacher: str, id: str) -> RoomRow:
    row = find(db, RoomRow, id)
    if row is None or row.teacher != teacher:
        raise NotKept(f"no room {id!r} is open here; open it from the list")
    return row


def _kept(row: RoomRow) -> KeptRoom:
    return KeptRoom(row.id, row.word, row.body, row.opened)


def _digest(secret: str) -> str:
    return sha256(secret.encode()).hexdigest()
