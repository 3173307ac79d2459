"""Numbers short enough to fit beside a row: in full as far as there is room, else rounded and marked so."""

from __future__ import annotations

import re
from fractions import Fraction

from chalkpoint.numbers.exact import MINUS, write_value

__all__ = ["shortened"]

LONGEST = 13  # characters of a number written in full
FIGURES, FEW = 9, 4  # of a number that is rounded; fewer where it is small
BITS = frozenset("01.,")
SMALL = Fraction(1, 100)
NUMBER = re.compile(rf"({MINUS}?)(\d+)(?:([.,])(\d+)| × 2\^({MINUS}?\d+))?(?![\d/])")


def shortened(text: str) -> str:
    """Return *text* with every number in it that is too long rounded.

    >>> shortened("1009.199951171875"), shortened("\u22125033165 × 2^\u221224"), shortened("0.000048828125 lost")
    ('≈ 1009.19995', '≈ −0.300000012', '≈ 0.00004883 lost')
    >>> shortened("\u22120.5078125 × 2^\u22128 = \u22120.001983642578125")
    '−0.5078125 × 2^−8 ≈ −0.001984'
    >>> shortened("3.88525390625"), shortened("0.1010010 0011")
    ('3.88525390625', '0.1010010 0011')
    """
    return NUMBER.sub(_short, text).replace("= \u2248", "\u2248")


def _short(match: re.Match[str]) -> str:
    if len(match[0]) <= LONGEST or set(match[0]) <= BITS:
        return match[0]
    minus, whole, point, part, power = match.groups()
    value = Fraction(f"{whole}.{part or 0}") * Fraction(2) ** int((power or "0").replace(MINUS, "-"))
    if not value:
        return match[0]
    figures, unit = FIGURES if value >= SMALL else FEW, Fraction(1)
    while value < 10 ** (figures - 1) * unit:
        unit /= 10
    while value >= 10**figures * unit:
        unit *= 10
    return f"\u2248 {minus}{write_value(round(value / unit) * unit, point=point or '.')}"
