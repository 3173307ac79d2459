"""A pen, and how wide what it writes is: the one measure that every pen agrees on."""

from __future__ import annotations

import re
from typing import Protocol

__all__ = ["CAP", "HEIGHT", "WIDTH", "Pen", "fitting", "powered", "text_width"]

WIDTH, HEIGHT = 1920, 1080
RAISED = str.maketrans("0123456789\u2212", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻")
POWER = re.compile(r"\^(\u2212?\d+)")
CAP = 0.365  # from the middle of a digit down to its baseline, of its size


class Pen(Protocol):
    """Draws in px from the top left, in the colours of the look, by name; *a* is how much covers what is below."""

    def box(self, x: float, y: float, w: float, h: float, colour: str, a: float = 1) -> None:
        """Fill a box."""

    def hatch(self, x: float, y: float, w: float, h: float) -> None:
        """Fill a box with strokes."""

    def wedge(self, x: float, y: float, w: float, h: float, colour: str) -> None:
        """Draw a triangle that points up."""

    def stroke(
        self, ends: tuple[float, float, float, float], thick: float, colour: str, a: float = 1
    ) -> None:
        """Draw a straight stroke from (x1, y1) to (x2, y2)."""

    def text(
        self,
        at: tuple[float, float],
        text: str,
        size: float,
        colour: str = "ink",
        *,
        bold: bool = False,
        anchor: str = "start",
        a: float = 1,
    ) -> None:
        """Write on a baseline; *anchor* is "start", "middle" or "end"."""


def powered(text: str) -> str:
    """Return *text* with its powers raised.

    >>> powered("0.5 \u00d7 2^\u22128")
    '0.5 × 2⁻⁸'
    """
    return POWER.sub(lambda power: power[1].translate(RAISED), text)


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Return about how wide *text* is, in px: what every pen agrees on.

    >>> round(text_width("1011", 10), 2)
    25.44
    """
    return sum(_WIDE.get(letter, 0.636) for letter in powered(text)) * size * (1.1 if bold else 1)


_WIDE = (
    dict.fromkeys(" .,", 0.32)
    | dict.fromkeys("⁰¹²³⁴⁵⁶⁷⁸⁹", 0.41)
    | dict.fromkeys("ijlI", 0.28)
    | dict.fromkeys("csz", 0.53)
    | dict.fromkeys("kvxy", 0.59)
    | dict.fromkeys("aeo", 0.613)
    | dict.fromkeys("mwMW", 0.95)
    | dict.fromkeys("+\u2212=\u2248\u00d7\u00f7", 0.84)
    | dict.fromkeys("()", 0.39)
    | {":": 0.34, "t": 0.39, "f": 0.35, "r": 0.41}
)


def fitting(text: str, room: float, largest: float, smallest: float) -> float:
    """Return the largest size at which *text* is no wider than *room*.

    >>> fitting("5.25", 400, 40, 18)
    40
    """
    wide = text_width(text, largest)
    return largest if wide <= room else max(smallest, int(largest * room / wide))
