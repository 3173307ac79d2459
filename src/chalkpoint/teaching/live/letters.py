"""Letter cards: a hinge question shown in hands, counted by the teacher, typed as "A 12, B 7, C 3"."""

from __future__ import annotations

import re

from chalkpoint.numbers.errors import EntryError
from chalkpoint.teaching.live.room import LETTERS, Room

__all__ = ["parse_letters"]

PAIR = re.compile(r"([A-Za-z])\s*[:=]?\s*(\d{1,4})\b")
BETWEEN = re.compile(r"[\s,;.]*")
EXAMPLE = "A 12, B 7, C 3"
MOST_HANDS = 999


def parse_letters(room: Room, text: str) -> dict[str, int]:
    """Return how many hands each letter had, for `tally_of`; a letter left out had none.

    >>> from chalkpoint.teaching.live.room import ask_hinge, open_room
    >>> parse_letters(ask_hinge(open_room(["subtract 8.875, 3.6875"])), "A 12, B 7 c:3")
    {'A': 12, 'B': 7, 'C': 3}

    Raises EntryError for anything else, a letter that is no answer, or one given twice.
    """
    if room.round is None or room.round.kind != LETTERS:
        raise EntryError("no hinge question has been asked, so there are no letters to count; ask one first")
    known = [choice.letter for choice in room.round.choices]
    counts: dict[str, int] = {}
    at = 0
    while text[at:].strip(" ,;.\n\r\t"):
        between = BETWEEN.match(text, at)
        at = between.end() if between else at
        pair = PAIR.match(text, at)
        if pair is None:
            raise EntryError(f"{text[at : at + 12]!r} is not a letter and a number; write it as {EXAMPLE}")
        letter, count = pair[1].upper(), int(pair[2])
        _check(letter, count, known, counts)
        counts[letter] = count
        at = pair.end()
    if not counts:
        raise EntryError(f"no letters are given; write how many showed each, as {EXAMPLE}")
    return counts


def _check(letter: str, count: int, known: list[str], counts: dict[str, int]) -> None:
    if letter not in known:
        raise EntryError(f"{letter!r} is not one of the answers; give {', '.join(known)}, as in {EXAMPLE}")
    if letter in counts:
        raise EntryError(f"{letter} is given twice, {counts[letter]} and {count}; give each letter once")
    if count > MOST_HANDS:
        raise EntryError(f"{letter} {count} is more hands than a room has; give {MOST_HANDS} at most")
