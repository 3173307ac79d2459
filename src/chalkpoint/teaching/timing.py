"""How long words take: rates bounded, captions long enough to read, pauses long enough to write.

Rates: 100 to 130 words a minute where bits are read, up to 150 elsewhere; lectures near 100 were followed
better than faster ones (Robinson et al. 1997). A caption is shown for two seconds at least, in two lines of at
most 37 characters. A pause to write is two seconds a bit and ten more (our own figure, untested).
Times are whole milliseconds.
"""

from __future__ import annotations

import re
import textwrap
from dataclasses import dataclass

from chalkpoint.teaching.digits import count_words, speaks_bits

__all__ = ["BIT_PACE", "LINE", "Phrase", "phrases", "writing_pause"]

BIT_PACE = 120  # words a minute where bits are read out
LINE, LINES = 37, 2  # a caption's characters a line, and lines
SHORTEST = 2000  # ms a caption is shown
CLAUSE_END = re.compile(r"(?<=[,;:.?!]) ")
#: Words that never end a line, and words that may begin one.
HANGING = frozenset(
    (
        "a",
        "an",
        "the",
        "of",
        "to",
        "in",
        "on",
        "at",
        "by",
        "from",
        "and",
        "or",
        "is",
        "are",
        "its",
        "so",
        "no",
    )
)
OPENING = frozenset(
    (
        "and",
        "or",
        "so",
        "but",
        "that",
        "which",
        "to",
        "from",
        "in",
        "into",
        "of",
        "at",
        "with",
        "by",
        "than",
        "as",
    )
)
PAUSE, PAUSE_A_BIT = 10_000, 2000  # ms


@dataclass(frozen=True, slots=True)
class Phrase:
    """What one caption shows, in lines, and the least time it is shown, in ms."""

    lines: tuple[str, ...]
    milliseconds: int


def phrases(written: str, pace: int) -> tuple[Phrase, ...]:
    """Return *written* in captions, none faster than *pace* words a minute.

    >>> [phrase.lines for phrase in phrases("The carry out of the sign place is dropped.", 130)]
    [('The carry out', 'of the sign place is dropped.')]
    """
    rate = min(pace, BIT_PACE) if speaks_bits(written) else pace
    return tuple(_phrase(part, rate) for part in _captions(written))


def _phrase(text: str, rate: int) -> Phrase:
    needed = -(-60_000 * count_words(text) // rate)
    return Phrase(_balanced(text), max(SHORTEST, needed))


def _captions(text: str) -> list[str]:
    """Return *text* in captions of two lines at most, broken where a phrase ends wherever that is possible."""
    captions: list[str] = []
    for clause in CLAUSE_END.split(text):
        together = f"{captions[-1]} {clause}" if captions else clause
        if captions and _fits(together):
            captions[-1] = together
        elif _fits(clause):
            captions.append(clause)
        else:
            captions += _shared_out(clause)
    return captions


def _fits(text: str) -> bool:
    return len(_lines(text, LINE)) <= LINES


def _balanced(text: str) -> tuple[str, ...]:
    """Return *text* in as few lines as it needs, broken between phrases and into lines of about one length."""
    if len(text) <= LINE or " " not in text:
        return tuple(_lines(text, LINE))
    words = text.split(" ")
    halves: list[tuple[str, ...]] = [
        (" ".join(words[:at]), " ".join(words[at:])) for at in range(1, len(words))
    ]
    fitting = [half for half in halves if max(map(len, half)) <= LINE]
    return min(fitting, key=_roughness) if fitting else tuple(_lines(text, LINE))


def _roughness(half: tuple[str, ...]) -> int:
    """Return how badly a caption breaks between two lines: uneven, after a small word, within a phrase."""
    upper, lower = half
    cost = abs(len(upper) - len(lower))
    if upper[-1] in ",;:.?!":
        cost -= 14
    if upper.rpartition(" ")[2].lower() in HANGING:
        cost += 20
    return cost - (10 if lower.partition(" ")[0] in OPENING else 0)


def _lines(text: str, width: int) -> list[str]:
    return textwrap.wrap(text, width, break_long_words=False, break_on_hyphens=False) or [""]


def _shared_out(text: str) -> list[str]:
    """Return a long clause in pieces of about one length, each of two lines at most."""
    parts = -(-len(_lines(text, LINE)) // LINES)
    while True:
        width = max(LINE, -(-len(text) // parts) + 6)
        pieces = _lines(text, width)
        if all(_fits(piece) for piece in pieces):
            return pieces
        if width == LINE:
            return _lines(text, LINE)
        parts += 1


def writing_pause(bits: int) -> int:
    """Return how long a class needs to write *bits* digits, in ms.

    >>> writing_pause(8), writing_pause(12)
    (26000, 34000)
    """
    return PAUSE + PAUSE_A_BIT * bits
