"""Which questions, together, let every belief show, and show as itself.

A belief is named only from two answers that show it, and a pupil slips now and then; so each should
be able to show on three questions or more. It should differ on two from every other right method,
or a pupil of another book could be taken for its holder; and on two or three from every other
belief, or its holder could be taken for another's. What each of these is worth the first time, the
second and so on is in whole numbers, so that nothing is decided by a float; the numbers are this
project's own, chosen on the tuning seeds of the simulated classes.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from chalkpoint.setting.separating import Answers, Tally

__all__ = ["choose_showing"]

SHOWS = (12, 12, 6, 1)  # a belief against the course's own way
DIFFERS = (2, 2)  # a belief against another right method
UNLIKE = (6, 6, 1)  # a belief against another belief


def choose_showing(
    pool: Sequence[Answers],
    right: Sequence[str],
    beliefs: Sequence[str],
    most: int,
    *,
    start: Sequence[int] = (),
    among: Collection[int] | None = None,
    seldom: Collection[int] = (),
) -> list[int]:
    """Return the places in *pool* of questions on which *beliefs* show, in the order chosen.

    pool    for each question, by way of working, what it writes in the answer's place
    right   the right ways, the course's own first
    most    the most questions
    start   places already chosen
    among   the places chosen from; None for all
    seldom  places that may fill no more than half of *most*

    Nothing is added that lets no belief show once more, or differ from nothing new.

    >>> choose_showing([{"own": "1", "x": "1"}, {"own": "1", "x": "2"}], ["own"], ["x"], 2)
    [1]
    """
    tally = Tally((*right, *beliefs))
    worths = _worths(len(right), len(beliefs))
    apart = [tally.apart(answers) for answers in pool]
    chosen = list(start)
    for at in chosen:
        tally.add(apart[at])
    while len(chosen) < most:
        full = 2 * (len(set(chosen).intersection(seldom)) + 1) > most
        left = [
            at
            for at in (range(len(pool)) if among is None else among)
            if at not in chosen and not (full and at in seldom)
        ]
        gain, place = max(((_gain(tally, worths, apart[at]), -at) for at in left), default=(0, 0))
        if not gain:
            break
        chosen.append(-place)
        tally.add(apart[-place])
    return chosen


Worths = list[tuple[int, tuple[int, ...]]]
"""For each way, the ways it is told from (a bit mask; each pair once) and what that is worth each time."""


def _worths(right: int, beliefs: int) -> Worths:
    everyone = (1 << (right + beliefs)) - 1
    held = everyone >> right << right
    later = [everyone >> (at + 1) << (at + 1) for at in range(right, right + beliefs)]
    return [(held, SHOWS), *[(held, DIFFERS)] * (right - 1), *((mask, UNLIKE) for mask in later)]


def _gain(tally: Tally, worths: Worths, apart: Sequence[int]) -> int:
    """Return what it is worth to tell these ways *apart* once more."""
    gain = 0
    for way, (mask, each) in enumerate(worths):
        told = apart[way] & mask
        for times, worth in enumerate(each):  # told apart more often than that, it is worth nothing
            gain += worth * (tally.times[times][way] & told).bit_count()
    return gain
