"""The audit: sure boxes drawn by lot and checked by the teacher, so that this very stack says how well it was read."""

from __future__ import annotations

import random
from dataclasses import dataclass
from math import exp, lgamma, log, log1p

from chalkpoint.scanning.stack import Place, Stack

__all__ = ["DRAWN", "Audit", "audit_of", "draw_audit", "upper_bound"]

DRAWN = 300


@dataclass(frozen=True, slots=True)
class Audit:
    """What the audit found so far.

    wrong  readings that the teacher changed, of those looked at
    seen   sure boxes that were drawn by lot and looked at
    left   sure boxes that nobody looked at
    """

    wrong: int
    seen: int
    left: int

    @property
    def sentence(self) -> str:
        """What it says, in one sentence."""
        if not self.seen:
            return "No box has been looked at yet, so nothing is known of how well this stack was read."
        said = f"{self.wrong} wrong of {self.seen} drawn by lot"
        if not self.left:
            return f"{said}; every box was looked at."
        most = 100 * upper_bound(self.wrong, self.seen)
        return f"{said}: of the {self.left:,} not looked at, at most {most:.1f} in 100 are, with 95 in 100 certainty."


def _sure(stack: Stack) -> list[Place]:
    """Return the boxes whose readings were taken as sure."""
    used = {page.number for page in stack.used()}
    return [
        place
        for place in stack.places.values()
        if place.sure and place.page in used and place.kind in {"bit", "tray"}
    ]


def draw_audit(stack: Stack) -> bool:
    """Draw the first sheet, or the next where the last held a wrong one; tell whether one was drawn."""
    if stack.audits:
        last = [stack.places[name] for name in stack.audits[-1] if name in stack.places]
        if not all(place.said for place in last) or all(place.said == place.reading for place in last):
            return False
    met = {name for sheet in stack.audits for name in sheet}
    left = sorted(place.id for place in _sure(stack) if place.id not in met)
    if not left:
        return False
    chance = random.Random(f"{stack.title} {len(stack.places)} {len(stack.audits)}")
    stack.audits.append(chance.sample(left, min(DRAWN, len(left))))
    return True


def audit_of(stack: Stack) -> Audit:
    """Return what the audit found so far."""
    drawn = [stack.places[name] for sheet in stack.audits for name in sheet if name in stack.places]
    seen = [place for place in drawn if place.said]
    wrong = sum(place.said != place.reading for place in seen)
    return Audit(wrong, len(seen), sum(not place.said for place in _sure(stack)))


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
