"""How likely what was observed is under each way: from the answer alone, or line by line.

Where working is given and a line of it went wrong, each line counts, judged from the pupil's own line
before it: a belief's own rule gives that line, or should have and did not. That is far stronger than
the answer alone. Where every line is right the answer says as much.
"""

from __future__ import annotations

from math import log

from chalkpoint.marking.chances import Item, Seen
from chalkpoint.marking.ways import right_lines
from chalkpoint.working.beliefs.catalogue import BELIEFS

__all__ = ["observed_logs"]

AT_RANDOM = 0.02  # of slips on a line: the share that is any one wrong row
FAULTS = ("misconception", "copied", "off")


def observed_logs(seen: Seen) -> list[float]:
    """Return the logarithm of how likely *seen* is under each way, and last under none of them."""
    if not any(status in FAULTS for _, status, _ in seen.lines):
        return seen.item.logs(seen.answer)
    logs = [0.0] * (len(seen.item.ways) + 1)
    for line, status, among in seen.lines:
        if status == "recovered":
            continue
        for way, value in enumerate(_line_logs(seen.item, line, status, frozenset(among))):
            logs[way] += value
    return logs


def _line_logs(item: Item, line: str, status: str, among: frozenset[str]) -> list[float]:
    model = item.model
    kept, slipped = log(1 - model.slip), log(model.slip * AT_RANDOM)
    right = status in {"right", "follow-through"}
    against = _acting_on(item, line) if right else frozenset()
    logs = []
    for way in item.ways:
        if right:
            logs.append(slipped if against.intersection(way.beliefs) else kept)
        else:
            logs.append(kept if among.intersection(way.beliefs) else slipped)
    alone = model.right_alone if right else (1 - model.right_alone) * AT_RANDOM
    return [*logs, log(alone)]


def _acting_on(item: Item, line: str) -> frozenset[str]:
    """Return the beliefs that would have written another row on *line* of this question."""
    operation = item.question.operation.name
    slots = _slots_of(item, line)
    return frozenset(
        way.beliefs[0]
        for at, way in enumerate(item.ways)
        if len(way.beliefs) == 1
        and not way.method
        and item.by(at) != item.right
        and (place := BELIEFS[way.beliefs[0]].place_for(operation)) is not None
        and slots.intersection(place.rules)
    )


def _slots_of(item: Item, line: str) -> frozenset[str]:
    """Return the slots whose rules write *line*."""
    lines = right_lines(item.question)
    return frozenset(slot for one in lines if one.name == line for slot in one.slots)
