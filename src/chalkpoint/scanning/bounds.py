"""What a count of errors in a sample says of the rest."""

from __future__ import annotations

from math import exp, lgamma, log, log1p

__all__ = ["upper_bound"]


def upper_bound(wrong: int, of: int, certainty: float = 0.95) -> float:
    """Return the share that is not passed, with *certainty*, where *wrong* of *of* were (Clopper and Pearson, 1934).

    >>> round(upper_bound(0, 300), 4), round(upper_bound(2, 1000), 4)
    (0.0099, 0.0063)
    """
    if of == 0 or wrong >= of:
        return 1.0

    def up_to(share: float) -> float:
        whole = lgamma(of + 1)
        return sum(
            exp(whole - lgamma(k + 1) - lgamma(of - k + 1) + k * log(share) + (of - k) * log1p(-share))
            for k in range(wrong + 1)
        )

    low, high = wrong / of, 1.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if up_to(middle) > 1 - certainty else (low, middle)
    return high
