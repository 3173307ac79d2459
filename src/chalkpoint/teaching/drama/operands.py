"""How the operands are told: read, brought to normal form, their exponents matched."""

from __future__ import annotations

from collections.abc import Iterator

from chalkpoint.teaching.drama.line import Line, Telling, Told, nothing_of
from chalkpoint.teaching.seen import Shift, shift, working_rows
from chalkpoint.teaching.storyboard import CORE, DETAIL, ESSENTIAL, USUAL, Cells, Moment
from chalkpoint.working.wording import words_told as say

__all__ = ["align", "read", "ready", "stored"]


def stored(telling: Telling) -> Iterator[Line]:
    """Yield a line for each operand that could not be kept as it was asked for."""
    question, rows = telling.working.question, working_rows(telling.step)
    named = zip(("first", "second"), question.values, question.given, rows, strict=False)
    for which, value, given, (at, row) in named:
        if given is not None and given != value:
            asked, kept = telling.apart(given, value)
            look = Moment(marked=(Cells(at, row.first_column, row.places),))
            yield telling.line(say.STORED, look, operand=which, asked=asked, kept=kept)


def read(telling: Telling) -> Told:
    """Point at both exponents."""
    rows, page = working_rows(telling.step), telling.step.after
    if len(rows) == 1:
        return Told([], [telling.line(say.HERE_IT_IS, weight=ESSENTIAL)])
    lines = [telling.line(say.HERE_THEY_ARE, weight=ESSENTIAL), *stored(telling)]
    if all(row.exponent_bits for _, row in rows) and page.first and page.second:
        alike = page.first_exponent == page.second_exponent
        words = say.EXPONENTS_ALIKE if alike else say.EXPONENTS_ARE
        look = Moment(exponents=(rows[0][0], rows[1][0]))
        lines.append(telling.line(words, look, first="first", second="second"))
    return Told([], lines)


def ready(telling: Telling) -> Told:
    """Normalise what is not."""
    return Told([telling.line(say.NOT_READY, weight=CORE)], [])


def align(telling: Telling) -> Told | None:
    """Say why the exponents must match, move the digits, and tell what fell."""
    facts, moved = telling.facts, shift(telling.step)
    if facts["zero"]:
        return Told([], [telling.line(say.ZERO_TAKES, weight=CORE)])
    if not facts["moved"]:
        return Told([], [telling.line(say.ALREADY_MATCH, weight=CORE)])
    if moved is None or len(working_rows(telling.step)) != 2:
        return None
    blank = (nothing_of(moved.row),)
    look = Moment(exponents=(moved.row - 1,), written=blank)
    opening = [
        telling.line(say.MUST_MATCH, look, ESSENTIAL),
        telling.line(say.SMALLER_RISES, look, DETAIL),
        telling.line(say.SO_MOVE, Moment(written=blank), CORE),
        telling.line(
            say.WHAT_FILLS if facts["sign"] else say.WHICH_FALL, Moment(written=blank), DETAIL, seconds=6
        ),
    ]
    return Told(opening, [*_fallen(telling, moved), _become(telling, moved)])


def _fallen(telling: Telling, moved: Shift) -> Iterator[Line]:
    facts = telling.facts
    only_signs = not facts["guard"] and moved.places >= telling.working.question.float_format.places
    yield telling.line(say.ONLY_SIGN_LEFT if only_signs else say.SIGN_FILLS)
    if facts["worth"]:
        lost = str(facts["lost"])
        words = say.INTO_TRAY if len(lost) <= say.MOST_NAMED else say.MANY_INTO_TRAY
        yield telling.line(words, weight=CORE, named=say.named(lost), many=len(lost), worth=abs(moved.worth))
    elif facts["lost"]:
        yield telling.line(say.ONLY_NOUGHTS, weight=CORE)


def _become(telling: Telling, moved: Shift) -> Line:
    before, after = telling.apart(moved.before.value, moved.after.value)
    words = say.STILL if moved.before.value == moved.after.value else say.HAS_BECOME
    return telling.line(words, weight=USUAL, before=before, after=after)
