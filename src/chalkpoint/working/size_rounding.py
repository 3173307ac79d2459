"""Rounding a size to the format's digits, in the five directions of IEEE 754-2019, 4.3."""

from __future__ import annotations

from collections.abc import Callable

from chalkpoint.numbers.carriers import Number, Truth, opposite, where
from chalkpoint.numbers.signed import SignMagnitudeFormat
from chalkpoint.working.sizes import SizePage, SizeRule

__all__ = ["ROUND"]


def _round(
    page: SizePage, fmt: SignMagnitudeFormat, up: Callable[[Number, Number, Number], Truth]
) -> SizePage:
    """Keep the format's digits, one more where *up* says so; a carry into a further digit is shifted back."""
    floor = page.total >> page.extra
    rest = page.total - (floor << page.extra)
    rounded = floor + where(up(floor, rest, (1 << page.extra) >> 1), 1, 0)
    carried = opposite(rounded >> fmt.digits == 0)
    return page._replace(
        total=where(carried, rounded >> 1, rounded),
        exponent=where(carried, page.exponent + 1, page.exponent),
        carried=carried,
        extra=0,
    )


def round_nearest(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """To the nearest; a tie goes to the size that ends in 0."""
    return _round(page, fmt, lambda floor, rest, half: (rest > half) | ((rest == half) & (floor & 1 == 1)))


def round_nearest_away(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """To the nearest; a tie goes to the larger size."""
    return _round(page, fmt, lambda floor, rest, half: rest >= half)


def round_toward_zero(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Cut the size."""
    return _round(page, fmt, lambda floor, rest, half: rest < 0)


def round_up(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Toward plus infinity: a positive size grows, a negative one is cut."""
    return _round(page, fmt, lambda floor, rest, half: (rest > 0) & (page.sign == 0))


def round_down(page: SizePage, fmt: SignMagnitudeFormat) -> SizePage:
    """Toward minus infinity: a negative size grows, a positive one is cut."""
    return _round(page, fmt, lambda floor, rest, half: (rest > 0) & (page.sign == 1))


#: The five directions of IEEE 754-2019, 4.3, on sizes.
ROUND: dict[str, SizeRule] = {
    "nearest": round_nearest,
    "nearest away": round_nearest_away,
    "toward zero": round_toward_zero,
    "up": round_up,
    "down": round_down,
}
