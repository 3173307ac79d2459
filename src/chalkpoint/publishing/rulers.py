"""The ruler of the check: patterns as ticks, the exact answer and the one worked, the gap between them."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor

from chalkpoint.numbers.exact import write_value
from chalkpoint.publishing.parts import Ruler, Tick
from chalkpoint.working.wording.words_pupils import RULER

__all__ = ["ruler"]

MOST_STEPS = 8  # between the two answers; beyond, a ruler step is several units
MARGIN = 2  # steps on either side


def ruler(exact: Fraction, worked: Fraction, unit: Fraction, *, point: str = ".") -> Ruler | None:
    """Return a ruler in *unit* (one in the last place) from below one answer to above the other.

    None where the two are the same, and there is no gap to show.

    >>> shown = ruler(Fraction(83, 16), Fraction(21, 4), Fraction(1, 16))
    >>> shown.steps, shown.exact, shown.worked
    (5, Fraction(2, 1), Fraction(3, 1))
    """
    if exact == worked:
        return None
    units = 1
    while abs(exact - worked) > MOST_STEPS * units * unit:
        units *= 2
    step = units * unit
    low = floor(min(exact, worked) / step) - MARGIN
    high = ceil(max(exact, worked) / step) + MARGIN
    places = (exact / step - low, worked / step - low)
    values = (write_value(exact, point=point), write_value(worked, point=point))
    scale = "" if units == 1 else RULER["scale"].format(units=units)
    return Ruler(
        steps=high - low,
        ticks=tuple(Tick(at, named=at in places) for at in range(high - low + 1)),
        exact=places[0],
        worked=places[1],
        labels=(("exact", values[0]), ("worked", values[1])),
        scale=scale,
        words=RULER["told-scale" if scale else "told"].format(
            step=write_value(step, point=point),
            scale=scale,
            exact=values[0],
            apart=_how_far(places[1] - places[0]),
            worked=values[1],
        ),
    )


def _how_far(steps: Fraction) -> str:
    side, apart = ("higher" if steps > 0 else "lower"), abs(steps)
    if apart <= 1:
        return RULER["one" if apart == 1 else "less"].format(side=side)
    words = RULER["steps" if apart.denominator == 1 else "between"]
    return words.format(count=apart, low=floor(apart), high=ceil(apart), side=side)
