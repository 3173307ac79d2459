"""How an answer is brought to its form: an overflow mended, normalised, cut or rounded."""

from __future__ import annotations

from chalkpoint.teaching.drama.line import Line, Telling, Told, nothing_of
from chalkpoint.teaching.estimating import estimate
from chalkpoint.teaching.seen import Shift, shift, working_rows
from chalkpoint.teaching.storyboard import CORE, DETAIL, ESSENTIAL, USUAL, Cells, Moment
from chalkpoint.working.wording import words_told as say

__all__ = ["cut", "normalise", "repair", "round_size"]


def repair(telling: Telling) -> Told | None:
    """Move everything one place right, behind its true sign."""
    moved = shift(telling.step)
    if moved is None:
        return None
    doing = [telling.line(say.MEND, weight=CORE)]
    if moved.worth:
        named = say.named(moved.lost)
        doing.append(telling.line(say.INTO_TRAY, named=named, worth=abs(moved.worth)))
    asked = telling.line(say.HOW_FAR, Moment(written=(nothing_of(moved.row),)), DETAIL, seconds=5)
    return Told([asked], doing)


def normalise(telling: Telling) -> Told | None:
    """Show that the first two bits are alike, ask how far, and move."""
    moved = shift(telling.step)
    if moved is None or moved.places >= 0:
        return None
    start = moved.before.first_column
    look = Moment(written=(nothing_of(moved.row),), marked=(Cells(moved.row - 1, start, start + 1),))
    opening = [
        telling.line(say.ALIKE, look, ESSENTIAL),
        telling.line(say.HOW_FAR, look, DETAIL, seconds=5),
    ]
    move = telling.line(say.MOVE_LEFT, weight=CORE, high=telling.step.before.exponent)
    return Told(opening, [move, *_expected(telling, moved)])


def _expected(telling: Telling, moved: Shift) -> list[Line]:
    if moved.after.value is None:
        return []
    guess = estimate(telling.working.question, telling.working.check.exact)
    if guess:
        return [telling.line(say.AS_EXPECTED, value=moved.after.value, about=guess.about)]
    return [telling.line(say.LEFT_VALUE, value=moved.after.value)]


def cut(telling: Telling) -> Told | None:
    """Keep the format's bits; tell what the rest was worth."""
    rows, facts = working_rows(telling.step), telling.facts
    if len(rows) != 2 or "width" not in facts:
        return None
    at, row = rows[-1]
    words = say.CUT_CLEAN if not row.lost_value else say.CUT_LOSS if row.lost_value > 0 else say.ROUNDED_UP
    blank = Moment(written=(nothing_of(at),))
    asked = [
        telling.line(say.MUST_FIT, blank, ESSENTIAL),
        telling.line(say.WHICH_FALL, blank, DETAIL, seconds=5),
    ]
    doing = [telling.line(words, weight=CORE, worth=abs(row.lost_value))]
    if row.value is not None:
        doing.append(telling.line(say.MAKES, value=row.value))
    return Told(asked, doing)


def round_size(telling: Telling) -> Told | None:
    """Say the rule of rounding, ask which way it goes, and do it."""
    rows = working_rows(telling.step)
    said = [telling.narrator.again(sentence) for sentence in telling.step.written.sentences]
    if len(rows) != 2 or not said:
        return None
    at, row = rows[-1]
    blank = Moment(written=(nothing_of(at),))
    makes = [] if row.value is None else [telling.line(say.MAKES, weight=USUAL, value=row.value)]
    if "1" not in str(telling.facts["lost"]):
        return Told([], [*(Line(words, None, CORE) for words in said), *makes])
    rule, *rest = said
    opening = [Line(rule, blank, ESSENTIAL), telling.line(say.WHICH_WAY, blank, DETAIL, seconds=5)]
    return Told(opening, [*(Line(words, None, CORE) for words in rest), *makes])
