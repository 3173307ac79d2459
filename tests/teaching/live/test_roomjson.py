"""A room kept and read back is the same room, in every state."""

import json
from typing import Any

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.teaching.live.room import (
    Room,
    ask_hinge,
    close_round,
    follow,
    go_on,
    open_room,
    open_round,
    reveal,
)
from chalkpoint.teaching.live.roomjson import room_from_dict, room_to_dict
from chalkpoint.working.course import Course

FRESH = open_room(["subtract 8.875, 3.6875"], course=Course(name="12 Heron", accepts=("negate-then-align",)))
OPENED = open_round(FRESH)
STATES = [
    FRESH,
    OPENED,
    close_round(OPENED),
    reveal(OPENED),
    go_on(close_round(OPENED)),
    follow(close_round(OPENED), "01110110"),
    ask_hinge(FRESH),
]


@pytest.mark.parametrize("room", STATES)
def test_a_room_comes_back_as_it_was(room: Room) -> None:
    """Through JSON."""
    assert room_from_dict(json.loads(json.dumps(room_to_dict(room)))) == room


@pytest.mark.parametrize(
    "data",
    [
        None,
        {},
        {"schema": "chalkpoint.room/2"},
        {"schema": "chalkpoint.room/1"},
        room_to_dict(OPENED) | {"round": {"number": 1}},
        room_to_dict(OPENED) | {"round": {**room_to_dict(OPENED)["round"], "state": "ajar"}},
        room_to_dict(OPENED) | {"course": {"format": "8+"}},
    ],
)
def test_what_is_no_room_is_refused(data: Any) -> None:
    """In one sentence, not with a traceback."""
    with pytest.raises(EntryError):
        room_from_dict(data)
