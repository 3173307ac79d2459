"""A lesson as linear text, ready for a Braille display or embosser: one thing after another, 40 cells a line.

Bits are digits, a bit string stands on one line, and nothing depends on where on the line a digit stands.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from chalkpoint.teaching.digits import HELD, as_digits
from chalkpoint.teaching.storyboard import Shot, Storyboard

__all__ = ["linear"]

CELLS = 40


def linear(told: Storyboard) -> str:
    """Return *told* as text: a heading a chapter, then what is said, a sentence a paragraph."""
    return "\n".join(line.replace(HELD, " ") for line in _lines(told)) + "\n"


def _lines(told: Storyboard) -> Iterator[str]:
    yield from _wrapped(told.title)
    seen: set[tuple[int, int, int]] = set()
    for shot in told.shots:
        if shot.chapter:
            yield ""
            yield from _wrapped(f"# {shot.chapter}")
        for cue in shot.cues:
            said = (
                f"(pause, {cue.milliseconds // 1000} seconds: {cue.written})" if cue.silent else cue.written
            )
            yield from _wrapped(said)
        yield from _rows(shot, seen)


def _rows(shot: Shot, seen: set[tuple[int, int, int]]) -> Iterator[str]:
    """Yield the rows that have come into view, digit by digit: what others see, a reader's fingers find here."""
    step = shot.view.shown_step
    for at, row in enumerate(step.rows if step else ()):
        place = (id(shot.view.working), shot.view.step, at)
        if row.spoken and at not in shot.view.hidden and place not in seen:
            seen.add(place)
            yield from _wrapped(f"{as_digits(row.spoken)}.")


def _wrapped(text: str) -> list[str]:
    """Return *text* in lines; all but the first are set in by two cells, as Braille paragraphs are told apart."""
    return textwrap.wrap(
        text, CELLS, subsequent_indent="  ", break_long_words=False, break_on_hyphens=False
    ) or [""]
