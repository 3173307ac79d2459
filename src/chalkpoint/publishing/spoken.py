"""A storyboard spoken: the sound of every cue, and the storyboard with each cue as long as its sound."""

from __future__ import annotations

from dataclasses import replace

from chalkpoint.publishing.voice import RATE, Speak
from chalkpoint.teaching.storyboard import Cue, Shot, Storyboard
from chalkpoint.teaching.timing import BIT_PACE

__all__ = ["with_sound"]

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
