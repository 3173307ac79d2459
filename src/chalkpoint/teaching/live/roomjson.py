"""A room as data and back (chalkpoint.room/1), so that a row of a table or a file can hold it."""

from __future__ import annotations

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import EntryError
from chalkpoint.teaching.board import Kept, kept_to_dict
from chalkpoint.teaching.lesson import Choice
from chalkpoint.teaching.live.room import CLOSED, LETTERS, LINE, OPEN, SHOWN, Room, Round
from chalkpoint.working.course import course_from

__all__ = ["SCHEMA", "room_from_dict", "room_to_dict"]

SCHEMA = "chalkpoint.room/1"


def room_to_dict(room: Room) -> JsonObject:
    """Return *room* as JSON keys; nothing in it was written by a pupil but a line the class follows."""
    return {
        "schema": SCHEMA,
        "word": room.word,
        "course": room.course.to_dict(),
        "questions": list(room.questions),
        "seats": room.seats,
        "at": room.at,
        "kept": [kept_to_dict(line) for line in room.kept],
        "round": None if room.round is None else _round_to_dict(room.round),
        "rounds": room.rounds,
    }


def _round_to_dict(asked: Round) -> JsonObject:
    return {
        "number": asked.number,
        "rule": asked.rule,
        "title": asked.title,
        "kind": asked.kind,
        "state": asked.state,
        "choices": [
            {"letter": choice.letter, "answer": choice.answer, "belief": choice.belief, "says": choice.says}
            for choice in asked.choices
        ],
    }


def room_from_dict(data: object) -> Room:
    """Return the room that `room_to_dict` wrote as *data*.

    >>> from chalkpoint.teaching.live.room import open_room
    >>> room = open_room(["subtract 8.875, 3.6875"])
    >>> room_from_dict(room_to_dict(room)) == room
    True

    Raises EntryError where *data* is no room of this kind.
    """
    kept: JsonObject = data if isinstance(data, dict) else {}
    schema = kept.get("schema")
    if schema != SCHEMA:
        raise EntryError(f"schema = {schema!r} is no live room; give what was kept as {SCHEMA}")
    try:
        return _room(kept)
    except (KeyError, TypeError, IndexError) as reason:
        raise EntryError(f"this room was not kept whole ({reason}); open a new one") from reason


def _room(data: JsonObject) -> Room:
    return Room(
        word=data["word"],
        course=course_from(data["course"]),
        questions=tuple(data["questions"]),
        seats=data["seats"],
        at=data["at"],
        kept=tuple(Kept(**line) for line in data["kept"]),
        round=None if data["round"] is None else _round(data["round"]),
        rounds=data["rounds"],
    )


def _round(data: JsonObject) -> Round:
    choices = tuple(Choice(**choice) for choice in data["choices"])
    asked = Round(**{**data, "choices": choices})
    if asked.state not in {OPEN, CLOSED, SHOWN} or asked.kind not in {LINE, LETTERS}:
        raise EntryError(f"a round cannot be {asked.state!r} of kind {asked.kind!r}; open a new room")
    return asked
