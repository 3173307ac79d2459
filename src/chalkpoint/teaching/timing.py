"""How long words take: rates bounded, captions long enough to read, pauses long enough to write.

Rates: 100 to 130 words a minute where bits are read, up to 150 elsewhere; lectures near 100 were followed
better than faster ones (Robinson et al. 1997). A caption stands two seconds at least, in two lines of at
most 37 characters. A pause to write is two seconds a bit and ten more (our own figure, untested).
Times are whole milliseconds.
"""

from __future__ import annotations

import textwrap
from dataclasses import dataclass

from chalkpoint.teaching.digits import count_words, speaks_bits

__all__ = ["BIT_PACE", "LINE", "Phrase", "phrases", "writing_pause"]

BIT_PACE = 120  # words a minute where bits are read out
LINE, LINES = 37, 2  # a caption's characters a line, and lines
SHORTEST = 2000  # ms a caption stands
PAUSE, PAUSE_A_BIT = 10_000, 2000  # ms


@dataclass(frozen=True, slots=True)
class Phrase:
    """What one caption shows, in lines, and the least time it stands, in ms."""

    lines: tuple[str, ...]
    milliseconds: int


def phrases(written: str, pace: int) -> tuple[Phrase, ...]:
    """Return *written* in captions, none faster than *pace* words a minute.

    >>> [phrase.lines for phrase in phrases("The carry out of the sign place is dropped.", 130)]
    [('The carry out of the', 'sign place is dropped.')]
    """
    rate = min(pace, BIT_PACE) if speaks_bits(written) else pace
    parts = max(1, -(-len(_lines(written, LINE)) // LINES))
    return tuple(_phrase(part, rate) for part in _shared_out(written, parts))


def _phrase(text: str, rate: int) -> Phrase:
    needed = -(-60_000 * count_words(text) // rate)
    return Phrase(tuple(_balanced(text)), max(SHORTEST, needed))


def _balanced(text: str) -> list[str]:
    """Return *text* in as few lines as it needs, of about one length."""
    fewest = len(_lines(text, LINE))
    shares = (_lines(text, width) for width in range(max(1, len(text) // fewest), LINE + 1))
    return next((lines for lines in shares if len(lines) == fewest), _lines(text, LINE))


def _lines(text: str, width: int) -> list[str]:
    return textwrap.wrap(text, width, break_long_words=False, break_on_hyphens=False) or [""]


def _shared_out(text: str, parts: int) -> list[str]:
    """Return *text* in at least *parts* pieces of about one length, each of two lines at most."""
    while True:
        width = max(LINE, -(-len(text) // parts) + 6)
        pieces = _lines(text, width)
        if all(len(_lines(piece, LINE)) <= LINES for piece in pieces):
            return pieces
        if width == LINE:
            return _lines(text, LINE)
        parts += 1


def writing_pause(bits: int) -> int:
    """Return how long a class needs to write *bits* digits, in ms."""
    return PAUSE + PAUSE_A_BIT * bits
