"""Slips: a printed strip of paper for each seat, with a code that lets that seat in and no other."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from chalkpoint.numbers.errors import EntryError
from chalkpoint.teaching.live.room import Room

__all__ = ["Slip", "new_slips"]

#: Letters and digits that are not mistaken for each other on paper: no I, L, O, S, Z, 0, 1, 2, 5.
SIGNS = "ABCDEFGHJKMNPQRTUVWXY346789"
LENGTH = 6

Choose = Callable[[Sequence[str]], str]


@dataclass(frozen=True, slots=True)
class Slip:
    """One strip of paper.

    seat  its number
    code  what lets this seat in
    word  the room's word, for the hand that loses the code
    """

    seat: int
    code: str
    word: str


def new_slips(room: Room, seats: Iterable[int], choose: Choose) -> tuple[Slip, ...]:
    """Return a slip for each of *seats*, every code different.

    choose  picks one of several: `secrets.choice`, so that nobody can guess a neighbour's code

    Raises EntryError for a seat the room has not.
    """
    wanted = list(dict.fromkeys(seats))
    for seat in wanted:
        if not 1 <= seat <= room.seats:
            raise EntryError(f"seat {seat} is not in this room; give seats from 1 to {room.seats}")
    slips: dict[str, Slip] = {}
    for seat in wanted:
        code = _code(choose)
        while code in slips:
            code = _code(choose)
        slips[code] = Slip(seat, code, room.word)
    return tuple(slips.values())


def _code(choose: Choose) -> str:
    return "".join(choose(SIGNS) for _ in range(LENGTH))
