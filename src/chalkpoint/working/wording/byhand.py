"""Multiplying and dividing by hand, as rows: a row for each 1, and a long division with what is left each time."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from chalkpoint.numbers.bits import shorten, to_bits
from chalkpoint.numbers.exact import MINUS
from chalkpoint.working.facts import Division
from chalkpoint.working.speech import for_ear, say_bits
from chalkpoint.working.wording.said import Sentence, say
from chalkpoint.working.written import Row

__all__ = ["digits_row", "divided", "multiplied", "rows_left_out", "takes_left_out"]

MOST_PARTIAL_PRODUCTS = 24  # rows: those of any mantissa of 24 bits
MOST_TAKES = 28  # each with what is left, so two rows: those of any quotient in 24 bits and a few more


def digits_row(
    label: str, number: int, width: int, places: int, *, valued: bool = False, lost: str = "", **marks: Any
) -> Row:
    """Return *number*, in units of the last of *places* places, in *width* digits of two's complement.

    valued  whether its value stands beside it
    """
    bits = shorten(to_bits(number, width))
    shown = min(places, len(bits))
    value = Fraction(number, 1 << places) if valued else None
    tray = f"; tray {say_bits(lost)}" if lost else ""
    spoken = f"{for_ear(label)}: {say_bits(bits, shown)}{tray}"
    return Row(label=label, bits=bits, places=shown, value=value, lost=lost, spoken=spoken, **marks)


def _power(place: int, places: int) -> str:
    return f"2^{place - places}".replace("-", MINUS)


def multiplied(
    names: Sequence[str], first: int, second: int, places: int, total: str = "product"
) -> list[Row]:
    """Return the sizes of two numbers with *places* places, a row for each 1 of the second, and their *total*."""
    sizes = abs(first), abs(second)
    rows = [
        digits_row(
            "size" if number < 0 else name, size, max(size.bit_length(), places + 1), places, valued=True
        )
        for name, number, size in zip(names, (first, second), sizes, strict=True)
    ]
    product = sizes[0] * sizes[1]
    width = max(product.bit_length(), 2 * places + 1)
    ones = [place for place in range(sizes[1].bit_length()) if sizes[1] >> place & 1]
    if len(ones) <= MOST_PARTIAL_PRODUCTS:
        rows += [
            digits_row(_power(place, places), sizes[0] << place, width, 2 * places, plus=index > 0)
            for index, place in enumerate(ones)
        ]
    return [*rows, digits_row(total, product, width, 2 * places, valued=True)]


def rows_left_out(by: int) -> list[Sentence | str]:
    """Return what is said where the 1s of *by* would make more rows than are written."""
    rows = abs(by).bit_count()
    return [say("product.left-out", rows=rows)] if rows > MOST_PARTIAL_PRODUCTS else []


def takes_left_out(found: Division) -> list[Sentence | str]:
    """Return what is said where the divisor is taken away more often than is written."""
    takes = len(found.takes)
    return [say("quotient.left-out", takes=takes)] if takes > MOST_TAKES else []


def divided(found: Division, places: int, further: int) -> list[Row]:
    """Return a long division of numbers with *places* places: the divisor taken away for each 1 of the quotient.

    further  places of the quotient

    Where that is too often to write, the dividend stands alone, without the 0s that it would be taken from.
    """
    if len(found.takes) > MOST_TAKES:
        size = found.dividend >> further
        return [digits_row("dividend", size, max(size.bit_length(), places + 1), places)]
    width, point = max(found.dividend.bit_length(), places + further + 1), places + further
    rows = [digits_row("dividend", found.dividend, width, point)]
    for place, left in found.takes:
        taken = found.divisor << place
        rows.append(digits_row(f"take {_power(place, further)}", taken, width, point, minus=True))
        rows.append(digits_row("left", left, width, point, soft=True))
    return rows
