"""Place values, under the columns of a rail.

Short rails carry every value: stacked fractions to 1/128, then a power of two every fourth place.
Long rails carry powers every fourth place and under the last, so that they can still be read.
"""

from __future__ import annotations

from collections.abc import Iterable

from chalkpoint.numbers.bits import scaled
from chalkpoint.numbers.exact import MINUS, write_value
from chalkpoint.publishing.parts import Cell, PlaceValues, Weight

__all__ = ["place_values"]

LAST_STACKED = 7  # 1/128
SHORT_MANTISSA, SHORT_EXPONENT = 12, 6  # columns
LONGEST_WHOLE = 10  # 2**10 and more are written as powers


def place_values(
    cells: Iterable[Cell],
    exponent_weights: Iterable[int],
    *,
    label: str = "place value",
    top: str = "two's complement",
) -> PlaceValues:
    """Return the place values under a row of mantissa *cells* and an exponent of these weights.

    top  the code of `numbers.fields` that says what the first place weighs

    >>> place_values([Cell(c, "0") for c in range(8)], [-8, 4, 2, 1]).words
    'place values: \u22121, then 1/2, 1/4 ... 1/128'
    """
    columns = [cell.column for cell in cells if cell.kind == "kept"]
    few = len(columns) <= SHORT_MANTISSA
    found = [_weight(column, columns[-1], few=few) for column in columns[1:]]
    first = _top_weight(columns[0], columns[-1], top)
    weights = (first, *(weight for weight in found if weight))
    exponent = list(exponent_weights)
    return PlaceValues(
        label=label,
        weights=weights,
        exponent=tuple(_exponent(exponent)),
        exponent_columns=len(exponent),
        words=_words(columns, first),
    )


def _top_weight(column: int, last: int, code: str) -> Weight:
    """Return the weight of the first place: that of a sign counts against the others, or not at all."""
    if code == "sign and magnitude":
        return Weight(column, "\u00b1")
    if code in {"unsigned", "excess"}:
        return _weight(column, column, few=True) or _power(column)
    if code == "ones' complement" and -column < LONGEST_WHOLE:
        return Weight(column, write_value(scaled(1, -last) - scaled(1, -column)))
    if code == "ones' complement":
        return Weight(column, f"{write_value(scaled(1, -last))} {MINUS} 2", power=str(-column))
    if column > 0:
        return Weight(column, f"{MINUS}1", bottom=str(1 << column))
    if -column < LONGEST_WHOLE:
        return Weight(column, f"{MINUS}{1 << -column}")
    return Weight(column, f"{MINUS}2", power=str(-column))


def _weight(column: int, last: int, *, few: bool) -> Weight | None:
    """Return the weight of a place: of *few* all to 1/128, then every second; else every fourth and the *last*."""
    if not few and column != last and (column % 4 or column == last - 1):
        return None
    if column <= 0 and -column < LONGEST_WHOLE:
        return Weight(column, str(1 << -column))
    if few and 0 < column <= LAST_STACKED:
        return Weight(column, "1", bottom=str(1 << column))
    return _power(column) if not few or (last - column) % 2 == 0 else None


def _power(column: int) -> Weight:
    return Weight(column, "2", power=str(-column).replace("-", MINUS))


def _exponent(weights: list[int]) -> Iterable[Weight]:
    """Yield the weights under the exponent; of a long one, the first and every fourth from the right."""
    few = len(weights) <= SHORT_EXPONENT
    for column, weight in enumerate(weights):
        place = len(weights) - 1 - column
        if column and not few and place % 4 != 3:
            continue
        sign = MINUS if weight < 0 else ""
        if place < LONGEST_WHOLE:
            yield Weight(column, f"{sign}{abs(weight)}")
        else:
            yield Weight(column, f"{sign}2", power=str(place))


def _words(columns: list[int], sign: Weight) -> str:
    named = [_in_line(column) for column in columns[1:]]
    rest = named if len(named) <= 3 else [named[0], f"{named[1]} ... {named[-1]}"]
    first = f"{sign.top}^{sign.power}" if sign.power else sign.top
    first = f"{first}/{sign.bottom}" if sign.bottom else "the sign" if first == "\u00b1" else first
    return f"place values: {first}, then {', '.join(rest)}" if rest else f"place value: {first}"


def _in_line(column: int) -> str:
    if -LONGEST_WHOLE < column <= 0:
        return str(1 << -column)
    if 0 < column < LONGEST_WHOLE:
        return f"1/{1 << column}"
    return f"2^{-column}".replace("-", MINUS)
