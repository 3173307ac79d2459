"""Slips: a code for each seat, all different."""

import random

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.teaching.live.room import open_room
from chalkpoint.teaching.live.slips import SIGNS, new_slips

ROOM = open_room(["add 1.5, 2.5"])
SLIPS = new_slips(ROOM, range(1, 31), random.Random(5).choice)


def test_every_seat_has_a_code_of_its_own() -> None:
    """In signs that are not mistaken for each other."""
    assert [slip.seat for slip in SLIPS] == list(range(1, 31))
    assert len({slip.code for slip in SLIPS}) == 30
    assert set("".join(slip.code for slip in SLIPS)) <= set(SIGNS)
    assert not set(SIGNS) & set("ILOSZ0125")


def test_a_code_drawn_twice_is_drawn_again() -> None:
    """Even where the source repeats itself."""
    drawn = iter("AAAAAA" + "AAAAAA" + "BBBBBB")

    assert [slip.code for slip in new_slips(ROOM, [1, 2], lambda signs: next(drawn))] == ["AAAAAA", "BBBBBB"]


def test_a_seat_the_room_has_not_gets_no_slip() -> None:
    """The sentence names it."""
    with pytest.raises(EntryError, match="seat 100"):
        new_slips(ROOM, [100], random.Random(5).choice)
