"""A teacher's own recording: when each picture was turned to, and the lesson timed by it.

A take is what the board saves (JSON, the sound in it), or a list of times written by hand beside a sound file.
"""

from __future__ import annotations

import base64
import binascii
import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import EntryError
from chalkpoint.teaching.storyboard import Cue, Shot, Storyboard, pause

__all__ = ["SCHEMA", "Take", "Turn", "read_take", "timed_by"]

SCHEMA = "chalkpoint.take/1"
CLOCK = re.compile(r"(?:(\d+):)?(\d+(?:\.\d+)?)")
LONGEST = 4 * 3_600_000  # ms


@dataclass(frozen=True, slots=True)
class Turn:
    """At *at* ms a picture was turned to: the one shown while cues *first* to *first* + *count* are said."""

    at: int
    first: int
    count: int


@dataclass(frozen=True, slots=True)
class Take:
    """A recording.

    turns         in the order of time, the first at 0
    milliseconds  how long it lasts
    sound         the sound file as the browser wrote it, or b"" where it comes apart
    """

    turns: tuple[Turn, ...]
    milliseconds: int
    sound: bytes = b""


def read_take(text: str, states: Sequence[tuple[int, int]]) -> Take:
    r"""Return the take in *text*: what a board saved, or a time a line ("0:12.5") for one picture after the other.

    states  of each picture of the lesson, its first cue and how many are said over it; a list of times needs them

    >>> take = read_take("0:00\n0:04.5\n0:09 end", [(0, 1), (1, 2)])
    >>> take.turns, take.milliseconds
    ((Turn(at=0, first=0, count=1), Turn(at=4500, first=1, count=2)), 9000)

    Raises EntryError where it cannot be read.
    """
    if text.lstrip().startswith("{"):
        return _saved(text)
    return _listed(text, states)


def _saved(text: str) -> Take:
    try:
        table = json.loads(text)
        turns = tuple(Turn(*(round(float(entry)) for entry in turn)) for turn in table["turns"])
        take = Take(turns, round(float(table["milliseconds"])), _sound(table))
    except (ValueError, KeyError, TypeError, AttributeError) as reason:
        raise EntryError(f"this is not a take that a board saved ({reason}); record it again") from reason
    if table.get("schema") != SCHEMA:
        raise EntryError(f"the take's schema is {table.get('schema')!r}; {SCHEMA!r} is read")
    return _checked(take)


def _sound(table: JsonObject) -> bytes:
    written = str(table.get("sound", "")).rpartition(",")[2]
    try:
        return base64.b64decode(written, validate=True)
    except binascii.Error as reason:
        raise ValueError(f"its sound cannot be read: {reason}") from reason


def _listed(text: str, states: Sequence[tuple[int, int]]) -> Take:
    times: list[int] = []
    for number, line in enumerate((line.strip() for line in text.splitlines()), start=1):
        if not line or line.startswith("#"):
            continue
        found = CLOCK.match(line)
        if not found:
            raise EntryError(f"line {number} of the times, {line!r}, has no time; write one such as 0:12.5")
        times.append(_milliseconds(int(found[1] or 0), found[2]))
    if len(times) < 2:
        raise EntryError("a list of times needs one for each picture and one for the end")
    if len(times) - 1 > len(states):
        raise EntryError(
            f"there are {len(times) - 1} times before the end, and the lesson has {len(states)} pictures"
        )
    turns = (Turn(at, *state) for at, state in zip(times[:-1], states, strict=False))
    return _checked(Take(tuple(turns), times[-1]))


def _milliseconds(minutes: int, seconds: str) -> int:
    whole, _, part = seconds.partition(".")
    return minutes * 60_000 + int(whole) * 1000 + int((part + "000")[:3])


def _checked(take: Take) -> Take:
    """Return *take*, its first turn at 0, its turns in order and within it."""
    if not take.turns:
        raise EntryError("the take has no turns; start the recording on the first picture")
    ends = [*(turn.at for turn in take.turns), take.milliseconds]
    if sorted(ends) != ends or ends[0] < 0 or ends[-1] > LONGEST:
        raise EntryError("the take's times do not rise, or go on for more than four hours")
    if any(turn.first < 0 or turn.count < 0 for turn in take.turns):
        raise EntryError("the take names pictures that are none")
    return replace(take, turns=(replace(take.turns[0], at=0), *take.turns[1:]))


def timed_by(told: Storyboard, take: Take) -> Storyboard:
    """Return *told* as it was turned through: each picture as long as in *take*, its captions spread over it.

    What was turned back to comes again; what was left out is left out.

    Raises EntryError where the take belongs to another lesson.
    """
    cues = [(shot, cue) for _, shot, cue in told.timed_shots()]
    ends = [turn.at for turn in take.turns[1:]] + [take.milliseconds]
    shots: list[Shot] = []
    seen: set[str] = set()
    for turn, end in zip(take.turns, ends, strict=True):
        if turn.first + turn.count > len(cues):
            last = turn.first + turn.count
            raise EntryError(
                f"the take turns to sentence {last} of a lesson that has {len(cues)}: it is another's"
            )
        if end == turn.at:
            continue
        shot, said = _said(cues, turn)
        chapter = shot.chapter if shot.chapter not in seen else ""
        seen.add(shot.chapter)
        shots.append(Shot(shot.part, shot.view, tuple(_spread(said, end - turn.at)), chapter))
    return replace(told, shots=tuple(shots))


def _said(cues: Sequence[tuple[Shot, Cue]], turn: Turn) -> tuple[Shot, list[Cue]]:
    """Return what is shown and said from a turn on; where nothing is said, the whole picture before it."""
    mine = cues[turn.first : turn.first + turn.count]
    if not mine:
        return cues[max(0, turn.first - 1)][0], []
    spoken = [cue for _, cue in mine if not cue.silent]
    return mine[0][0], spoken or [mine[0][1]]


def _spread(said: Sequence[Cue], milliseconds: int) -> Iterator[Cue]:
    """Yield cues that last *milliseconds* together, in proportion; a silence keeps its picture and no words."""
    if not said or said[0].silent:
        yield pause("", milliseconds, moment=said[0].moment if said else None)
        return
    whole, used = sum(cue.milliseconds for cue in said), 0
    for cue in said[:-1]:
        share = cue.milliseconds * milliseconds // whole
        used += share
        yield cue.lasting(share)
    yield said[-1].lasting(milliseconds - used)
