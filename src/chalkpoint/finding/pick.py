"""Looking up an entry by a number on any carrier."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from chalkpoint.finding.symbolic import Integer, condition

__all__ = ["pick"]

WIDEST = 1 << 62  # what an array of integers holds; past it every bound is as good as the next


def pick(at: Any, lowest: int, highest: int, entry: Callable[[int], int]) -> Any:
    """Return ``entry(at)`` for a number from *lowest* to *highest*, on any carrier.

    Where a symbolic number lies outside, the answer is some entry: ask only about legal questions.

    >>> pick(2, 0, 3, lambda number: 10 * number)
    20
    """
    if isinstance(at, int):
        return entry(at)
    entries = [entry(number) for number in range(lowest, highest + 1)]
    place = at - lowest
    if isinstance(place, Integer):
        return _choose(place, list(entries))
    import numpy as np

    return np.array([min(max(number, -WIDEST), WIDEST) for number in entries])[place]


def _choose(place: Integer, entries: list[Any]) -> Any:
    """Halve the entries once for each bit of the place, lowest bit first."""
    for edge in place.row[:-1]:
        if len(entries) == 1:
            break
        entries += entries[-1:] * (len(entries) % 2)
        wanted = condition(place.table, edge)
        entries = [
            (odd if wanted else even) if isinstance(wanted, bool) else wanted.select(odd, even)
            for even, odd in zip(entries[::2], entries[1::2], strict=True)
        ]
    return entries[0]
