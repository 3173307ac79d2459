"""How numbers of sign, exponent and size are told: unpacked, moved into the spare places, packed again."""

from __future__ import annotations

from dataclasses import replace

from chalkpoint.teaching.drama.line import Line, Telling, Told, nothing_of
from chalkpoint.teaching.drama.operands import stored
from chalkpoint.teaching.seen import shift, working_rows
from chalkpoint.teaching.storyboard import CORE, DETAIL, ESSENTIAL, USUAL, Moment
from chalkpoint.working.wording import words_told as say

__all__ = ["align_sizes", "renormalise", "unpack"]

HIDDEN = "unpack.hidden"


def unpack(telling: Telling) -> Told | None:
    """Show the fields, take the excess off each exponent, and write the hidden ones down."""
    rows = working_rows(telling.step)
    operands = [said for said in telling.step.written.sentences if said.key.startswith("unpack.")]
    if len(rows) != 4 or len(operands) != 2:
        return None
    fields = Moment(written=(nothing_of(rows[2][0]), nothing_of(rows[3][0])))
    doing = [telling.line(say.HERE_ARE_FIELDS, fields, ESSENTIAL)]
    doing += [
        replace(line, moment=replace(line.moment or fields, written=fields.written))
        for line in stored(telling)
    ]
    looked = Moment(written=fields.written, exponents=(rows[0][0], rows[1][0]))
    if all(said.key == HIDDEN for said in operands):
        for words, said in zip((say.EXCESS_OFF, say.EXCESS_OFF_TOO), operands, strict=True):
            doing.append(Line(telling.narrator.words(words, **said.facts), looked, CORE))
        doing.append(telling.line(say.HIDDEN_ONES, weight=CORE))
    else:
        doing += [Line(telling.narrator.again(said), None, CORE) for said in operands]
    return Told([], doing)


def align_sizes(telling: Telling) -> Told | None:
    """Say why the exponents must match, and move the smaller one's digits into the spare places."""
    facts, moved = telling.facts, shift(telling.step)
    if not facts["moved"] or moved is None:
        return None
    blank = (nothing_of(moved.row),)
    look = Moment(exponents=(moved.row - 1,), written=blank)
    opening = [
        telling.line(say.MUST_MATCH, look, ESSENTIAL),
        telling.line(say.SMALLER_RISES, look, DETAIL),
        telling.line(say.SO_MOVE_SIZE, Moment(written=blank), CORE),
        telling.line(say.WHICH_REACH, Moment(written=blank), DETAIL, seconds=6),
    ]
    doing = [telling.line(say.SPARE_PLACES, weight=CORE)]
    if facts["sticky"]:
        doing.append(telling.line(say.STICKY_ONE, weight=CORE))
    elif moved.before.value == moved.after.value:
        doing.append(telling.line(say.STILL, weight=USUAL, after=moved.after.value))
    return Told(opening, doing)


def renormalise(telling: Telling) -> Told | None:
    """Bring the first one in front of the point."""
    moved = shift(telling.step)
    if moved is None:
        return None
    blank = Moment(written=(nothing_of(moved.row),))
    right = moved.places > 0
    opening = [
        telling.line(say.TWO_IN_FRONT if right else say.NOUGHT_IN_FRONT, blank, ESSENTIAL),
        telling.line(say.HOW_FAR, blank, DETAIL, seconds=5),
    ]
    facts = {
        "moves": abs(moved.places),
        "high": telling.step.before.exponent,
        "low": telling.step.after.exponent,
    }
    return Told(opening, [telling.line(say.SIZE_RIGHT if right else say.SIZE_LEFT, weight=CORE, **facts)])
