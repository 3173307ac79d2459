"""Live rooms, as long as they are open: who sits where is a secret in a browser, never a name or an address.

A room that is closed is forgotten: its seats and every line go with it.
"""

from __future__ import annotations

import secrets
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, fields

from sqlalchemy import delete, func, select, update
from sqlalchemy.orm import Session

from chalkpoint.numbers.errors import EntryError
from chalkpoint.records.ids import new_id, now, secret_digest
from chalkpoint.records.kept import NotKept
from chalkpoint.records.looking import among, find, run
from chalkpoint.records.schema import RoomRow, SeatRow
from chalkpoint.records.upserts import insert_if_new, upsert

__all__ = [
    "KeptRoom",
    "Seat",
    "came",
    "change_room",
    "close_room",
    "code_room",
    "free_all",
    "free_seat",
    "keep_room",
    "leave_seat",
    "let_in",
    "one_room",
    "put_codes",
    "room_called",
    "room_with",
    "rooms_of",
    "rooms_with",
    "seat_of",
    "seats_with",
    "sit",
    "words_taken",
]

BYTES = 24
ROOM, SEAT = RoomRow.__table__, SeatRow.__table__


@dataclass(frozen=True, slots=True)
class KeptRoom:
    """A room as it is kept: *body* is chalkpoint.room/1 as text.

    closed       whether newcomers are kept out
    per_address  how many seats may be taken from one address by the word; 0 for any number
    """

    id: str
    word: str
    body: str
    opened: str
    closed: bool = False
    per_address: int = 0


@dataclass(frozen=True, slots=True)
class Seat:
    """A seat that is taken, and its room.

    since  when its browser came
    """

    room: KeptRoom
    number: int
    since: str = ""


#: The columns of a room, in the order of `KeptRoom`; what is asked many times a second asks for columns, not objects.
ROOM_COLUMNS = [ROOM.c[field.name] for field in fields(KeptRoom)]


def keep_room(db: Session, teacher: str, word: str, body: str) -> str:
    """Keep a new room and return its id."""
    own = new_id()
    row = {"id": own, "teacher": teacher, "word": word, "body": body, "opened": now()}
    if not insert_if_new(db, RoomRow, row):
        raise EntryError(f"another room was given the word {word!r} just now; open yours again")
    return own


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
    db.execute(delete(RoomRow).where(RoomRow.id == _row(db, teacher, id).id))


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


def rooms_with(db: Session, ids: Collection[str]) -> dict[str, KeptRoom]:
    """Return the rooms that are open of *ids*, by id."""
    rows = run(db, select(*ROOM_COLUMNS).where(among(db, ROOM.c.id, ids)))
    return {row[0]: KeptRoom(*row) for row in rows}


# === Seats ===


def put_codes(db: Session, teacher: str, id: str, codes: Iterable[tuple[int, str]]) -> None:
    """Keep the codes of slips, a seat each, in place of those before."""
    room = _row(db, teacher, id)
    rows = [{"room": room.id, "seat": seat, "code": code} for seat, code in codes]
    if rows:
        upsert(db, SeatRow, rows)


def code_room(db: Session, code: str) -> Seat | None:
    """Return the seat that a slip's code is for."""
    row = db.scalar(select(SeatRow).where(SeatRow.code == code))
    room = room_with(db, row.room) if row else None
    return Seat(room, row.seat) if row and room else None


def sit(
    db: Session, room: str, seat: int, *, by_slip: bool = False, source: str = "", before: str = ""
) -> str:
    """Take a seat and return the secret that its browser keeps.

    by_slip  whether a slip was shown, which takes the seat even from another browser, and from a closed room
    source   a digest of the address that the browser came from, "" where that is not counted
    before   the secret of the seat this browser had, which it gives up

    Raises EntryError where somebody sits there, the room is closed to newcomers, or too many came from there.
    """
    row = db.get_one(RoomRow, room, with_for_update=True)
    if before:
        leave_seat(db, before)
    if not by_slip:
        _check_open(db, row, source)
    insert_if_new(db, SeatRow, {"room": room, "seat": seat})
    taken = db.get_one(SeatRow, (room, seat), with_for_update=True, populate_existing=True)
    if taken.digest and not by_slip:
        raise EntryError(
            f"somebody sits on seat {seat} already; give your own seat, or ask your teacher to free it"
        )
    secret = secrets.token_urlsafe(BYTES)
    if not taken.digest:  # a slip shown again is the same pupil's, who may see what was written
        taken.since = now()
    taken.digest, taken.source = secret_digest(secret), source
    db.flush()
    return secret


def _check_open(db: Session, room: RoomRow, source: str) -> None:
    if room.closed:
        raise EntryError("the room is closed to newcomers; ask your teacher to open it")
    if not source or not room.per_address:
        return
    query = select(func.count()).where(
        SeatRow.room == room.id, SeatRow.source == source, SeatRow.digest.is_not(None)
    )
    if (db.scalar(query) or 0) >= room.per_address:
        raise EntryError(
            f"{room.per_address} seats are taken from your address already; come in by a slip, or ask your teacher "
            "to let in more from one address"
        )


def seat_of(db: Session, secret: str) -> Seat | None:
    """Return the seat whose browser has this secret; None once its room is closed."""
    return seats_with(db, [secret]).get(secret)


def seats_with(db: Session, secrets: Iterable[str], *, hold: bool = False) -> dict[str, Seat]:
    """Return the seats whose browsers have these secrets, by secret; one whose room is closed has none.

    hold  whether their rooms stay as they are until the end of the transaction
    """
    by_digest = {secret_digest(secret): secret for secret in secrets}
    query = select(SEAT.c.digest, SEAT.c.seat, SEAT.c.since, *ROOM_COLUMNS).join(
        ROOM, ROOM.c.id == SEAT.c.room
    )
    query = query.where(among(db, SEAT.c.digest, by_digest))
    rows = run(db, query.with_for_update(read=True, of=ROOM) if hold else query)
    return {by_digest[row[0]]: Seat(KeptRoom(*row[3:]), row[1], row[2]) for row in rows}


def leave_seat(db: Session, secret: str) -> None:
    """Free the seat whose browser has this secret."""
    row = db.scalar(select(SeatRow).where(SeatRow.digest == secret_digest(secret)))
    if row is not None:
        row.digest = None


def free_seat(db: Session, teacher: str, id: str, seat: int) -> None:
    """Free a seat, so that another browser can take it; what was written there stays counted once."""
    row = db.get(SeatRow, (_row(db, teacher, id).id, seat))
    if row is not None:
        row.digest = None


def free_all(db: Session, teacher: str, id: str) -> None:
    """Free every seat of a room; what was written stays counted."""
    db.execute(update(SeatRow).where(SeatRow.room == _row(db, teacher, id).id).values(digest=None, source=""))


def let_in(db: Session, teacher: str, id: str, *, closed: bool, per_address: int) -> None:
    """Say whether newcomers are kept out, and how many may come from one address by the word; 0 for any number."""
    row = _row(db, teacher, id)
    row.closed, row.per_address = closed, per_address


def came(db: Session, rooms: Collection[str]) -> dict[str, int]:
    """Return how many seats are taken in each of *rooms* where any is."""
    query = select(SEAT.c.room, func.count()).where(among(db, SEAT.c.room, rooms), SEAT.c.digest.is_not(None))
    return {room: count for room, count in run(db, query.group_by(SEAT.c.room))}  # noqa: C416


def _row(db: Session, teacher: str, id: str) -> RoomRow:
    row = find(db, RoomRow, id)
    if row is None or row.teacher != teacher:
        raise NotKept(f"no room {id!r} is open here; open it from the list")
    return row


def _kept(row: RoomRow) -> KeptRoom:
    return KeptRoom(row.id, row.word, row.body, row.opened, row.closed, row.per_address)
