"""A lesson as linear text, ready for a Braille display or embosser: one thing after another, 40 cells a line.

Bits are digits, a bit string stands on one line, and nothing depends on where on the line a digit stands.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from chalkpoint.teaching.digits import HELD
from chalkpoint.teaching.storyboard import Storyboard

__all__ = ["linear"]

CELLS = 40


def linear(told: Storyboard) -> str:
    """Return *told* as text: a heading a chapter, then what is said, a sentence a paragraph."""
    return "\n".join(line.replace(HELD, " ") for line in _lines(told)) + "\n"


def _lines(told: Storyboard) -> Iterator[str]:
    yield from _wrapped(told.title)
    for shot in told.shots:
        if shot.chapter:
            yield ""
            yield from _wrapped(f"# {shot.chapter}")
        for cue in shot.cues:
            said = (
                f"(pause, {cue.milliseconds // 1000} seconds: {cue.written})" if cue.silent else cue.written
            )
            yield from _wrapped(said)


def _wrapped(text: str) -> list[str]:
    """Return *text* in lines; all but the first are set in by two cells, as Braille paragraphs are told apart."""
    return textwrap.wrap(
        text, CELLS, subsequent_indent="  ", break_long_words=False, break_on_hyphens=False
    ) or [""]
