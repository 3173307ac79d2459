"""A lesson as it is recorded: as long and in such words as wanted; silent, spoken, or as the teacher took it."""

from __future__ import annotations

from chalkpoint.numbers.errors import EntryError, missing_extra
from chalkpoint.teaching.length import parse_length, shortened
from chalkpoint.teaching.lesson import Lesson
from chalkpoint.teaching.parts import storyboard
from chalkpoint.teaching.script import read_script
from chalkpoint.teaching.storyboard import Storyboard
from chalkpoint.teaching.takes import read_take, timed_by

__all__ = ["spoken", "taken", "told_in"]

SPOKEN_SLOWER = 7  # percent by which the voice takes longer than its captions need


def told_in(lesson: Lesson, *, words: str = "", length: str = "full", speech: bool = False) -> Storyboard:
    """Return the lesson told.

    words   a script in the teacher's own words, or "" for the lesson's
    length  full, or a time such as 60s
    speech  whether it will be spoken, which takes longer than captions

    Raises EntryError where the words are of another lesson or the length is none.
    """
    told, wanted = storyboard(lesson), parse_length(length)
    if wanted:
        told = shortened(told, wanted * (100 - SPOKEN_SLOWER * speech) // 100)
    return read_script(words, told) if words else told


def spoken(told: Storyboard) -> tuple[Storyboard, bytes]:
    """Return *told* with cues as long as the voice takes, and the sound as samples.

    Raises MissingExtraError where no voice is installed.
    """
    try:
        from chalkpoint.publishing.phrases import keeping
        from chalkpoint.publishing.spoken import with_sound
        from chalkpoint.publishing.voice import NAME, speak

        return with_sound(told, keeping(speak, NAME))
    except ModuleNotFoundError as reason:
        raise missing_extra("a voice", str(reason.name), "speech") from reason


def taken(told: Storyboard, take: str, *, sound: bytes = b"", delay: int = 0) -> tuple[Storyboard, bytes]:
    """Return *told* as the teacher turned through it, and the teacher's own sound as samples.

    take   what the board saved, or a list of times
    sound  a sound file, where it is not in the take
    delay  ms by which the sound runs behind its pictures

    Raises EntryError where either cannot be read or belongs to another lesson.
    """
    from chalkpoint.publishing.film.stills import said_over
    from chalkpoint.publishing.recorded import samples

    read = read_take(take, said_over(told))
    heard = sound or read.sound
    if not heard:
        raise EntryError("a list of times has no sound of its own; give its sound file too")
    return timed_by(told, read), samples(heard, read.milliseconds, delay=delay)
