"""Looking something up by a number on any carrier."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from chalkpoint.finding.diagram import Table
from chalkpoint.numbers.carriers import Number
from chalkpoint.numbers.symbolic import Integer, condition

__all__ = ["by_number", "is_in_diagrams", "pick"]


def pick(at: Number, lowest: int, entries: Sequence[int]) -> Number:
    """Return the entry that belongs to the number *at*, the first belonging to *lowest*.

    Where a symbolic number has no entry the answer is some other: ask only about legal questions.

    >>> pick(2, 1, [10, 20, 30])
    20
    """
    place = at - lowest
    if isinstance(place, int):
        return entries[place]
    return _choose(place, list(entries))


def by_number(at: Number, lowest: int, highest: int, rule: Callable[[int], Number]) -> Number:
    """Return ``rule(at)``, worked out for each plain number by itself where *at* is in diagrams.

    That keeps diagrams small: sums of exponents and mantissa bits never arise.

    >>> by_number(2, 0, 3, lambda number: 10 * number)
    20
    """
    if is_in_diagrams(at):
        return pick(at, lowest, [rule(number) for number in range(lowest, highest + 1)])
    return rule(at)


def is_in_diagrams(number: Number) -> bool:
    """Tell whether *number* is that of every question of a class at once.

    >>> is_in_diagrams(3)
    False
    """
    return isinstance(number, Integer) and isinstance(number.bits, Table)


def _choose(place: Integer, entries: list[Number]) -> Number:
    """Halve the entries once for each bit of the place, lowest bit first."""
    for edge in place.row[:-1]:
        if len(entries) == 1:
            break
        entries += entries[-1:] * (len(entries) % 2)
        wanted = condition(place.bits, edge)
        if isinstance(wanted, bool):
            entries = entries[int(wanted) :: 2]
        else:
            entries = [
                even if even is odd else wanted.select(odd, even)
                for even, odd in zip(entries[::2], entries[1::2], strict=True)
            ]
    return entries[0]
