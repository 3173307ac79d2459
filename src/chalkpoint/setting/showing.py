"""Which questions, together, let every belief show often enough to be named.

A belief is named only from two answers that show it, and a pupil slips now and then; so each should be
able to show on at least three questions, and differ on two from every other right way of working.
"""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["choose_showing"]

#: What it is worth that a belief shows for the first, second and third time, and that it differs from
#: another right method for the first and second time.
SHOWS = (12, 9, 5)
DIFFERS = (2, 2)


def choose_showing(
    pool: Sequence[dict[str, str]], right: Sequence[str], beliefs: Sequence[str], most: int
) -> list[int]:
    """Return the places in *pool* of questions on which *beliefs* show, in the order chosen.

    pool   for each question, by way of working, what it writes in the answer's place
    right  the right ways, the course's own first
    most   the most questions

    >>> choose_showing([{"own": "1", "x": "1"}, {"own": "1", "x": "2"}], ["own"], ["x"], 2)
    [1]
    """
    wants: dict[tuple[str, str], tuple[int, ...]] = {
        (way, belief): SHOWS if way == right[0] else DIFFERS for way in right for belief in beliefs
    }
    met = dict.fromkeys(wants, 0)
    chosen: list[int] = []
    while len(chosen) < most:
        gains = [(0 if at in chosen else _gain(answers, wants, met), -at) for at, answers in enumerate(pool)]
        gain, place = max(gains)
        if not gain:
            break
        chosen.append(-place)
        for way, belief in wants:
            met[way, belief] += _differ(pool[-place], way, belief)
    return chosen


def _differ(answers: dict[str, str], way: str, belief: str) -> bool:
    return way in answers and belief in answers and answers[way] != answers[belief]


def _gain(
    answers: dict[str, str], wants: dict[tuple[str, str], tuple[int, ...]], met: dict[tuple[str, str], int]
) -> int:
    return sum(
        worth[met[pair]]
        for pair, worth in wants.items()
        if met[pair] < len(worth) and _differ(answers, *pair)
    )
