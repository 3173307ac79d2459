"""A pen, and how wide what it writes is: the one measure that every pen agrees on."""

from __future__ import annotations

from typing import Protocol

__all__ = ["CAP", "HEIGHT", "WIDTH", "Pen", "fitting", "powered", "text_width"]

WIDTH, HEIGHT = 1920, 1080
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


def powered(
    pen: Pen,
    at: tuple[float, float],
    text: str,
    size: float,
    colour: str,
    anchor: str = "start",
    a: float = 1,
) -> None:
    """Write *text*, its powers such as "2^\u22127" raised."""
    base, caret, power = text.partition("^")
    if not caret:
        pen.text(at, text, size, colour, anchor=anchor, a=a)
        return
    small, x = 0.66 * size, at[0]
    if anchor == "end":
        x -= text_width(base, size) + text_width(power, small)
    pen.text((x, at[1]), base, size, colour, a=a)
    pen.text((x + text_width(base, size), at[1] - 0.38 * size), power, small, colour, a=a)


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Return about how wide *text* is, in px: what every pen agrees on.

    >>> round(text_width("1011", 10), 2)
    25.44
    """
    return sum(_WIDE.get(letter, 0.636) for letter in text) * size * (1.1 if bold else 1)


_WIDE = (
    dict.fromkeys(" .,", 0.32)
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
