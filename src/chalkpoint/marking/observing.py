"""How likely what was observed is under each way: from the answer, and from each line of working.

A line that a belief's own rule gives speaks for it, and a line written right speaks against every
belief that would have written it otherwise. The answer speaks as it does alone.
"""

from __future__ import annotations

from functools import reduce
from math import log
from operator import or_

from chalkpoint.marking.chances import AGAINST, Seen, bits_of, holders_in

__all__ = ["observed_logs"]

AT_RANDOM = 0.02  # of slips on a line: the share that is any one wrong row


def observed_logs(seen: Seen) -> list[float]:
    """Return the logarithm of how likely *seen* is under each way, and last under none of them."""
    if seen.answer and not seen.lines:
        return seen.item.logs(seen.answer)
    logs = [*seen.item.logs(seen.answer)] if seen.answer else [0.0] * (len(seen.item.ways) + 1)
    for line, status, beliefs in seen.lines:
        if status != "recovered" and not (line == "answer" and seen.answer):
            _count(seen, logs, status, frozenset(beliefs))
    return logs


def _count(seen: Seen, logs: list[float], status: str, beliefs: frozenset[str]) -> None:
    """Add what one line says: *beliefs* give it, or are those that it speaks against."""
    model = seen.item.model
    kept, slipped = log(1 - model.slip), log(model.slip * AT_RANDOM)
    right = status in {"right", "follow-through", AGAINST}
    for_most, for_holders = (kept, slipped) if right else (slipped, kept)
    holders = holders_in(seen.item.ways)
    touched = reduce(or_, (holders.get(belief, 0) for belief in beliefs), 0)
    held = {number: logs[number] + for_holders for number in bits_of(touched)}
    logs[:-1] = [value + for_most for value in logs[:-1]]
    for number, value in held.items():
        logs[number] = value
    logs[-1] += log(model.right_alone if right else (1 - model.right_alone) * AT_RANDOM)
