"""A lesson made as short as a teacher wants it: what matters least is left out first, shot by shot."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from chalkpoint.numbers.errors import EntryError
from chalkpoint.teaching.storyboard import DETAIL, ESSENTIAL, USUAL, Cue, Shot, Storyboard

__all__ = ["LENGTHS", "parse_length", "shortened"]

#: Lengths by name, in ms; None for the whole of it.
LENGTHS: dict[str, int | None] = {"60s": 60_000, "3min": 180_000, "full": None}
SHORT_PAUSE = 3000  # ms


def parse_length(text: str) -> int | None:
    """Return a length in ms; None for a lesson in full.

    >>> parse_length("60s"), parse_length("full"), parse_length("90s")
    (60000, None, 90000)

    Raises EntryError where it is no length.
    """
    if text in LENGTHS:
        return LENGTHS[text]
    for unit, milliseconds in (("min", 60_000), ("s", 1000)):
        number = text.removesuffix(unit).strip()
        if text.endswith(unit) and number.isdecimal() and int(number):
            return int(number) * milliseconds
    raise EntryError(f"a length of {text!r} is not taken; give full, or a time such as 60s or 3min")


def shortened(told: Storyboard, milliseconds: int) -> Storyboard:
    """Return *told* without what matters least, until it lasts no longer than *milliseconds* if that can be.

    Pauses become short, then details go, then what is usual, then what is only nearly needed. What a step comes to
    is never left out, so a long working may stay longer than was asked for.
    """
    shots = list(told.shots)
    for weight in (DETAIL, USUAL, ESSENTIAL):
        if weight == DETAIL and _length(shots) > milliseconds:
            shots = [replace(shot, cues=tuple(map(_with_short_pause, shot.cues))) for shot in shots]
        for silent in (True, False):
            for at in _most_first(shots, weight, silent=silent):
                if _length(shots) <= milliseconds:
                    return replace(told, shots=tuple(_joined(shots)))
                shots[at] = _without(shots, at, weight, silent=silent)
    return replace(told, shots=tuple(_joined(shots)))


def _length(shots: Sequence[Shot]) -> int:
    return sum(shot.milliseconds for shot in shots)


def _with_short_pause(cue: Cue) -> Cue:
    return cue.lasting(min(cue.milliseconds, SHORT_PAUSE)) if cue.silent else cue


def _spared(shot: Shot, weight: int, *, silent: bool) -> list[Cue]:
    return [cue for cue in shot.cues if cue.weight == weight and cue.silent == silent]


def _most_first(shots: Sequence[Shot], weight: int, *, silent: bool) -> list[int]:
    """Return the indexes of the shots in which leaving out that weight saves something, the most first."""
    saved = {
        at: sum(cue.milliseconds for cue in _spared(shot, weight, silent=silent))
        for at, shot in enumerate(shots)
    }
    return sorted((at for at, much in saved.items() if much), key=lambda at: (-saved[at], at))


def _without(shots: Sequence[Shot], at: int, weight: int, *, silent: bool) -> Shot:
    """Return a shot without its cues of that weight; a step whose rows come in it keeps one."""
    shot = shots[at]
    gone = _spared(shot, weight, silent=silent)
    kept = tuple(cue for cue in shot.cues if cue not in gone)
    if not kept and not _goes_on(shots, at):
        kept = tuple(gone[-1:])
    return replace(shot, cues=kept)


def _goes_on(shots: Sequence[Shot], at: int) -> bool:
    """Tell whether the next shot shows the same step, and more of it."""
    one, other = shots[at].view, shots[at + 1].view if at + 1 < len(shots) else None
    return (
        other is not None
        and (one.kind, one.step) == (other.kind, other.step)
        and one.working is other.working
    )


def _joined(shots: Sequence[Shot]) -> Iterator[Shot]:
    """Yield the shots in which something is said; the chapter of one that is not begins with the next."""
    chapter = ""
    for shot in shots:
        chapter = chapter or shot.chapter
        if shot.cues:
            yield replace(shot, chapter=shot.chapter or chapter)
            chapter = ""
