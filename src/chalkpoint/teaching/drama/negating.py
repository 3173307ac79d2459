"""How negating is told: every bit inverted under the row, then one added with its carries."""

from __future__ import annotations

from chalkpoint.teaching.drama.line import Telling, Told, nothing_of
from chalkpoint.teaching.seen import inverted, ones_carried
from chalkpoint.teaching.storyboard import CORE, DETAIL, ESSENTIAL, USUAL, Cells, Moment
from chalkpoint.working.wording import words_told as say

__all__ = ["negate"]


def negate(telling: Telling) -> Told | None:
    """Invert bit by bit under the row, then add the one with its carries."""
    pair = inverted(telling.step)
    if pair is None:
        return None
    turned, new = (telling.step.rows[at] for at in pair)
    start, end = turned.first_column, turned.places
    none = Moment(written=(nothing_of(pair[0]), nothing_of(pair[1])))
    taken = telling.working.question.operation.name == "subtract"
    opening = [telling.line(say.ADD_OPPOSITE if taken else say.OPPOSITE, none, ESSENTIAL)]
    if turned.lead:
        opening.append(telling.line(say.EXTRA_PLACE, none))
    doing = [telling.line(say.INVERT, Moment(written=(nothing_of(pair[1]),)), CORE)]
    carries = ones_carried(turned, new)
    if not carries:
        doing.append(telling.line(say.ADD_ONE, weight=CORE))
    else:
        last = Moment(
            written=(Cells(pair[1], end, end),),
            column=end,
            carried=carries[:1],
            over=pair[0],
            aside="1 + 1 = 10",
        )
        doing.append(telling.line(say.ADD_ONE_CARRY, last, CORE))
        out = carries[-1] == start and new.bits[:1] == "0" and turned.bits[:1] == "1"
        words = say.CARRY_RUNS_OUT if out else say.CARRY_RUNS
        doing.append(telling.line(words, Moment(carried=carries, over=pair[0]), DETAIL, run=len(carries)))
    if new.value is not None:
        doing.append(telling.line(say.MAKES, weight=USUAL, value=new.value))
    return Told(opening, doing)
