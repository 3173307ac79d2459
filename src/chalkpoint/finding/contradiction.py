"""Why a request selects nothing: the smallest set of its terms that exclude each other, and what comes nearest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from chalkpoint.finding.atlas import Atlas
from chalkpoint.finding.request import Term
from chalkpoint.finding.selection import Selection

__all__ = ["Nearest", "contradiction", "nearest_requests"]


@dataclass(frozen=True)
class Nearest:
    """A request close to one that selects nothing.

    change  what was changed, in words
    where   its terms
    count   how many questions it selects
    """

    change: str
    where: tuple[str, ...]
    count: int


def contradiction(atlas: Atlas, terms: Sequence[Term]) -> tuple[Term, ...]:
    """Return the fewest of *terms* that no question meets together.

    Every smaller set selects something, so none of those returned can be spared.
    """
    for size in range(1, len(terms)):
        for chosen in combinations(terms, size):
            if Selection(atlas, chosen).is_empty:
                return chosen
    return tuple(terms)


def nearest_requests(atlas: Atlas, terms: Sequence[Term]) -> list[Nearest]:
    """Return the requests that do select something and differ in one term: relaxed if it can be, or dropped."""
    nearest = []
    for at, term in enumerate(terms):
        rest = [*terms[:at], *terms[at + 1 :]]
        left = Selection(atlas, rest)
        if left.is_empty:
            continue
        relaxed = _relaxed(atlas, rest, term)
        if relaxed is not None:
            changed = [*terms[:at], relaxed, *terms[at + 1 :]]
            count = Selection(atlas, changed).count
        # A term relaxed until it asks nothing is a term dropped.
        if relaxed is not None and count < left.count:
            where = tuple(other.text for other in changed)
            nearest.append(Nearest(f"{relaxed.text} instead of {term.text}", where, count))
        nearest.append(Nearest(f"without {term.text}", tuple(other.text for other in rest), left.count))
    return nearest


def _relaxed(atlas: Atlas, rest: Sequence[Term], term: Term) -> Term | None:
    """Return *term* with the value nearest to its own for which something is left, or None."""
    if not term.trait.is_whole or term.negated or len(term.bounds) != 1 or term.trait.most is None:
        return None
    comparison, value = term.bounds[0]
    most = term.trait.most(atlas.course.number_format)
    whole = int(value)
    down = range(min(whole, most + 1) - 1, -1, -1)
    up = range(whole + 1, most + 1)
    steps: list[int] = []
    if comparison in {">=", ">", "="}:
        steps += down
    if comparison in {"<=", "<", "="}:
        steps += up
    steps.sort(key=lambda step: (abs(step - value), step))
    for step in steps[:FARTHEST]:
        relaxed = term.with_value(step)
        if not Selection(atlas, [*rest, relaxed]).is_empty:
            return relaxed
    return None


FARTHEST = 64  # values tried on the way to one that selects something
