"""The narration as captions, word for word, in two lines of at most 37 characters: WebVTT and SubRip.

A bit string is never split between lines or captions. A pause is captioned by what it is for, as is usual
for meaningful silence.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from chalkpoint.teaching.digits import HELD
from chalkpoint.teaching.storyboard import Storyboard

__all__ = ["Caption", "captions", "srt", "vtt"]

LONGEST_SHOWN = 6000  # ms: a pause's caption is shown no longer


@dataclass(frozen=True, slots=True)
class Caption:
    """What is shown from *start* to *end*, in ms."""

    start: int
    end: int
    lines: tuple[str, ...]


def captions(told: Storyboard) -> Iterator[Caption]:
    """Yield the captions of *told* in order; none overlaps the next."""
    for start, cue in told.timed_cues():
        if cue.silent:
            if cue.written:
                shown = min(cue.milliseconds, LONGEST_SHOWN)
                seconds = round(cue.milliseconds / 1000)
                yield Caption(start, start + shown, (f"[pause of {seconds} seconds: {cue.written}]",))
            continue
        at = start
        for phrase in cue.phrases:
            yield Caption(
                at, at + phrase.milliseconds, tuple(line.replace(HELD, " ") for line in phrase.lines)
            )
            at += phrase.milliseconds


def vtt(told: Storyboard) -> str:
    """Return the captions as WebVTT."""
    cues = [f"{_time(one.start, '.')} --> {_time(one.end, '.')}\n{_escaped(one)}\n" for one in captions(told)]
    return "WEBVTT\n\n" + "\n".join(cues)


def srt(told: Storyboard) -> str:
    """Return the captions as SubRip."""
    cues = [
        "\n".join([str(number), f"{_time(one.start, ',')} --> {_time(one.end, ',')}", *one.lines, ""])
        for number, one in enumerate(captions(told), start=1)
    ]
    return "\n".join(cues)


def _escaped(caption: Caption) -> str:
    text = "\n".join(caption.lines)
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _time(milliseconds: int, mark: str) -> str:
    """Return a time with thousandths.

    >>> _time(3_725_004, ",")
    '01:02:05,004'
    """
    seconds, thousandths = divmod(milliseconds, 1000)
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}{mark}{thousandths:03}"
