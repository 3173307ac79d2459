"""A room as it is kept, and a kept room as a room: read once for as many as look at it."""

from __future__ import annotations

import json
from functools import lru_cache

from chalkpoint.records.rooms import KeptRoom
from chalkpoint.teaching.live.room import Room
from chalkpoint.teaching.live.roomjson import room_from_dict, room_to_dict

__all__ = ["body_of", "room_in"]


def room_in(one: KeptRoom) -> Room:
    """Return the room that is kept."""
    return _room_of(one.body)


@lru_cache(1024)
def _room_of(body: str) -> Room:
    return room_from_dict(json.loads(body))


def body_of(room: Room) -> str:
    """Return a room as it is kept."""
    return json.dumps(room_to_dict(room), ensure_ascii=False)
