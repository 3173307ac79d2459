"""The room's word: two words said aloud in class, typed on a phone, and hard to mistake for two others.

The words are from the shore of a tide station. No two begin with the same three letters, none sounds like
another English word of different spelling, and none is longer than seven letters.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from chalkpoint.numbers.errors import EntryError, near_misses

__all__ = ["WORDS", "new_word", "read_word"]

WORDS: tuple[str, ...] = (
    "anchor", "arch", "barge", "basket", "beacon", "bottle", "bridge", "bucket", "cable", "canvas",
    "channel", "clock", "cobble", "compass", "copper", "crab", "cutter", "dinghy", "dolphin", "drum",
    "dune", "eagle", "engine", "estuary", "flag", "fog", "garden", "glove", "granite", "gull",
    "hammer", "heron", "hollow", "island", "jacket", "jetty", "kettle", "ladder", "lantern", "lobster",
    "magnet", "marsh", "meadow", "mirror", "needle", "orchard", "otter", "oyster", "paddle", "pebble",
    "pelican", "pilot", "pontoon", "pulley", "quarry", "rabbit", "ribbon", "rocket", "rudder", "salmon",
    "sand", "shingle", "signal", "slate", "spider", "sponge", "storm", "summer", "swan", "timber",
    "tunnel", "valley", "velvet", "walnut", "willow", "winter", "yellow", "zigzag",
)  # fmt: skip

Choose = Callable[[Sequence[str]], str]


def new_word(choose: Choose, *, taken: Sequence[str] = ()) -> str:
    """Return a word for a new room: two different words, and none of those *taken*.

    choose  picks one of several: `secrets.choice`, so that nobody can guess it
    taken   the words of the rooms that are open

    >>> new_word(lambda words: words[0])
    'anchor arch'
    """
    used = set(taken)
    free = [f"{first} {second}" for first in WORDS for second in WORDS if first != second]
    free = [word for word in free if word not in used]
    if not free:
        raise EntryError("every room's word is taken; close a room first")
    return choose(free)


def read_word(text: str) -> str:
    """Return the room's word as *text* has it: capitals, hyphens and spaces apart.

    >>> read_word(" Heron-DUNE ")
    'heron dune'

    Raises EntryError, with the nearest words of the list, where it is no such word.
    """
    parts = text.lower().replace("-", " ").replace("_", " ").split()
    if len(parts) == 1:
        parts = _parted(parts[0])
    if len(parts) != 2:
        raise EntryError(
            f"{text.strip()!r} is not a room's word; give the two words on the board, such as heron dune"
        )
    for part in parts:
        if part not in WORDS:
            close = near_misses(part, WORDS)
            hint = close if close.startswith("did") else "look at the two words on the board"
            raise EntryError(f"{part!r} is not in any room's word; {hint}")
    return " ".join(parts)


def _parted(run: str) -> list[str]:
    """Return the two words in *run*, where it is two words of the list without a space."""
    for first in WORDS:
        if run.startswith(first) and run[len(first) :] in WORDS:
            return [first, run[len(first) :]]
    return [run]
