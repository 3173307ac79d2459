"""A lesson as it is recorded: as long and in such words as wanted; silent, spoken, or as the teacher took it."""

from __future__ import annotations

import io
from dataclasses import replace

from chalkpoint.numbers.errors import EntryError, missing_extra
from chalkpoint.publishing.voice import RATE, Speak
from chalkpoint.teaching.length import parse_length, shortened
from chalkpoint.teaching.lesson import Lesson
from chalkpoint.teaching.parts import storyboard
from chalkpoint.teaching.script import read_script
from chalkpoint.teaching.storyboard import Cue, Shot, Storyboard
from chalkpoint.teaching.takes import read_take, timed_by
from chalkpoint.teaching.timing import BIT_PACE

__all__ = ["samples", "spoken", "taken", "told_in", "with_sound"]


def samples(sound: bytes, milliseconds: int, *, delay: int = 0) -> bytes:
    """Return *sound* as 16-bit samples, `voice.RATE` a second, exactly *milliseconds* long.

    delay  ms by which the sound runs behind its pictures, to be taken out

    Raises EntryError where it cannot be read.
    """
    try:
        import av
    except ImportError as reason:
        raise EntryError(
            "sound needs PyAV, which is not installed; run: pip install 'chalkpoint[video]'"
        ) from reason
    heard = bytearray()
    try:
        with av.open(io.BytesIO(sound), "r") as file:
            resampler = av.AudioResampler(format="s16", layout="mono", rate=RATE)
            for frame in file.decode(audio=0):
                for ready in resampler.resample(frame):
                    heard += bytes(ready.planes[0])[: 2 * ready.samples]
            for ready in resampler.resample(None):
                heard += bytes(ready.planes[0])[: 2 * ready.samples]
    except (av.error.FFmpegError, IndexError, ValueError) as reason:
        raise EntryError(
            f"the sound cannot be read ({reason}); give an .m4a, .mp3, .ogg, .wav or .webm"
        ) from reason
    start, length = 2 * (max(0, delay) * RATE // 1000), 2 * (milliseconds * RATE // 1000)
    kept = bytes(heard[start : start + length])
    return kept + b"\x00" * (length - len(kept))


BREATH, STEP_BREATH = 300, 700  # ms after a sentence, and after the last one over a picture


def with_sound(told: Storyboard, speak: Speak) -> tuple[Storyboard, bytes]:
    """Return *told* with cues that last as long as they are spoken (never less than captions need), and the sound.

    The sound is 16-bit samples, `voice.RATE` a second, exactly as long as the storyboard.
    """
    said = [cue.spoken for shot in told.shots for cue in shot.cues if not cue.silent]
    heard_next = iter(speak(said, min(told.pace, BIT_PACE)))
    sound = bytearray()
    shots: list[Shot] = []
    end = 0  # ms
    for shot in told.shots:
        cues: list[Cue] = []
        for turn, cue in enumerate(shot.cues, start=1):
            heard = b"" if cue.silent else next(heard_next)
            length = -(-len(heard) // 2 * 1000 // RATE)
            breath = STEP_BREATH if turn == len(shot.cues) else BREATH
            lasting = cue if cue.silent else cue.lasting(max(cue.milliseconds, length + breath))
            cues.append(lasting)
            end += lasting.milliseconds
            sound += heard
            sound += b"\x00" * (2 * (end * RATE // 1000) - len(sound))  # silence up to the next cue
        shots.append(replace(shot, cues=tuple(cues)))
    return replace(told, shots=tuple(shots)), bytes(sound)


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
        from chalkpoint.publishing.recording import with_sound
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
    from chalkpoint.publishing.recording import samples

    read = read_take(take, said_over(told))
    heard = sound or read.sound
    if not heard:
        raise EntryError("a list of times has no sound of its own; give its sound file too")
    return timed_by(told, read), samples(heard, read.milliseconds, delay=delay)
