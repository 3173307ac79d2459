"""How whole numbers and fixed point are told: column by column where columns are added, its own words where not."""

from __future__ import annotations

from chalkpoint.teaching.drama.columns import by_columns, by_columns_taken
from chalkpoint.teaching.drama.line import Line, Telling, Told
from chalkpoint.teaching.seen import working_rows
from chalkpoint.teaching.storyboard import CORE, ESSENTIAL
from chalkpoint.working.wording import words_told as say

__all__ = ["around", "sum_whole", "take_away"]


def sum_whole(telling: Telling) -> Told | None:
    """Add column by column, then say what the last carry and the signs tell."""
    if "columns" not in telling.facts:
        return None
    return by_columns(
        telling, telling.line(say.NOW_ADD, weight=ESSENTIAL), [*_own(telling), *_worth(telling, say.SUM_IS)]
    )


def around(telling: Telling) -> Told | None:
    """Bring the carry round, and add it column by column."""
    first, *rest = _own(telling)
    return by_columns(
        telling, first, [*rest, *_worth(telling, say.SUM_IS)], over=working_rows(telling.step)[0][0]
    )


def take_away(telling: Telling) -> Told | None:
    """Take the second from the first, column by column, with its borrows."""
    opening = telling.line(say.NOW_TAKE, weight=ESSENTIAL)
    return by_columns_taken(telling, opening, _worth(telling, say.DIFFERENCE_IS))


def _own(telling: Telling) -> list[Line]:
    """Return the step's own sentences."""
    return [Line(telling.narrator.again(said), None, CORE) for said in telling.step.written.sentences]


def _worth(telling: Telling, words: str) -> list[Line]:
    """Return what the last row is worth, where it is worth anything."""
    value = working_rows(telling.step)[-1][1].value
    return [] if value is None else [telling.line(words, weight=CORE, value=value)]
