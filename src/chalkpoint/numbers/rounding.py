"""Roundings: how a value that falls between two patterns is brought to one of them.

Each rule answers one question about a *floor* and what lies above it: 0 to keep the floor, 1 to
take the next pattern up. Exact integers only.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

__all__ = ["DIRECTIONS", "ROUNDINGS", "Rounding", "cut", "cut_size", "round_quotient", "rounding_called"]

Rounding: TypeAlias = Callable[[int, int, int], int]


def cut(floor: int, rest: int, whole: int) -> int:
    """Toward minus infinity: what cutting a two's complement pattern does.

    >>> cut(5, 3, 4), cut(-6, 3, 4)  # 5.75 and -5.25
    (0, 0)
    """
    return 0


def cut_size(floor: int, rest: int, whole: int) -> int:
    """Toward zero: cut the size, then give it its sign.

    >>> cut_size(5, 3, 4), cut_size(-6, 3, 4), cut_size(-6, 0, 4)  # 5.75, -5.25 and -6
    (0, 1, 0)
    """
    return 1 if floor < 0 and rest else 0


def nearest(floor: int, rest: int, whole: int) -> int:
    """To the nearest; a tie goes to the even number, whose size ends in 0 (IEEE 754-2019, 4.3.1)."""
    return 1 if 2 * rest > whole or (2 * rest == whole and floor & 1) else 0


def nearest_away(floor: int, rest: int, whole: int) -> int:
    """To the nearest; a tie goes away from zero (IEEE 754-2019, 4.3.1)."""
    return 1 if 2 * rest > whole or (2 * rest == whole and floor >= 0) else 0


def up(floor: int, rest: int, whole: int) -> int:
    """Toward plus infinity (IEEE 754-2019, 4.3.2)."""
    return 1 if rest else 0


#: What is done with a two's complement pattern that is too long.
ROUNDINGS: dict[str, Rounding] = {
    "cut": cut,
    "cut size": cut_size,
    "nearest": nearest,
    "nearest away": nearest_away,
}

#: The five rounding directions of IEEE 754-2019, 4.3, for formats with a sign and a size.
DIRECTIONS: dict[str, Rounding] = {
    "nearest": nearest,
    "nearest away": nearest_away,
    "toward zero": cut_size,
    "up": up,
    "down": cut,
}


def rounding_called(name: str) -> Rounding:
    """Return the rule called *name*, of either family.

    >>> rounding_called("down") is rounding_called("cut")
    True
    """
    return ROUNDINGS.get(name) or DIRECTIONS[name]


def round_quotient(number: int, divisor: int, rounding: Rounding) -> int:
    """Return *number* / *divisor* brought to an integer by *rounding*; *divisor* is positive.

    >>> [round_quotient(-5, 2, rule) for rule in (cut, cut_size, nearest, nearest_away)]
    [-3, -2, -2, -3]
    """
    floor, rest = divmod(number, divisor)
    return floor + rounding(floor, rest, divisor)
