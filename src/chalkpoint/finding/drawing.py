"""Drawing different numbers uniformly, the same ones for the same seed."""

from __future__ import annotations

import random

__all__ = ["sample"]

FEW = 1 << 16


def sample(rng: random.Random, count: int, most: int) -> list[int]:
    """Return *most* different numbers below *count*, in the order drawn; all of them where they are fewer.

    >>> sorted(sample(random.Random(7), 3, 5))
    [0, 1, 2]
    """
    most = min(most, count)
    if count <= max(FEW, 2 * most):
        return rng.sample(range(count), most)
    drawn: dict[int, None] = {}
    while len(drawn) < most:
        drawn[rng.randrange(count)] = None
    return list(drawn)
