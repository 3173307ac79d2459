"""How the ends of a range are told, field by field; and a sum of several numbers, term by term."""

from __future__ import annotations

from chalkpoint.teaching.drama.line import ALL, Line, Telling, Told, nothing_of
from chalkpoint.teaching.seen import working_rows
from chalkpoint.teaching.storyboard import CORE, DETAIL, ESSENTIAL, Cells, Moment
from chalkpoint.working.wording import words_told as say
from chalkpoint.working.written import Spoken

__all__ = ["extreme", "term"]

DIGITS = 999  # the last column that is no exponent's


def extreme(telling: Telling) -> Told | None:
    """Write one end of the range: its digits, its exponent, and what it is worth last."""
    rows, sentences = working_rows(telling.step), telling.step.written.sentences
    if len(rows) != 1 or "value" not in telling.facts:
        return None
    at = rows[0][0]
    reasons = [said for said in sentences if not said.sum]
    sums = [said.sum for said in sentences if said.sum]
    digits, *rest = [part for said in reasons for part in _in_turn(telling, said)] or [""]
    blank = Moment(written=(nothing_of(at),))
    begun = Moment(written=(Cells(at, ALL[0], DIGITS if rest else ALL[1]),))
    lines = [Line(f"{telling.step.title}.", blank if digits else begun, ESSENTIAL)]
    lines += [Line(digits, begun, CORE)] if digits else []
    lines += [Line(say.capital(part), Moment(written=(Cells(at, *ALL),)), CORE) for part in rest]
    shown = Moment(aside=sums[-1]) if sums and "mantissa" in telling.facts else None
    return Told([], [*lines, telling.line(say.MAKES, shown, CORE, value=telling.facts["value"])])


def _in_turn(telling: Telling, said: Spoken) -> list[str]:
    """Return a reason as it is told: what the digits are, then the exponent."""
    rule, rest = telling.narrator.led(said)
    return [f"{rule}.", rest] if rule else [telling.narrator.again(said)]


def term(telling: Telling) -> Told | None:
    """Show the total so far and the next number; ask for the new total, then write it."""
    rows = working_rows(telling.step)
    if len(rows) < 3 or "total" not in telling.facts:
        return None
    after = Moment(written=tuple(nothing_of(at) for at, _ in rows[2:]))
    asked = [
        telling.line(say.FIRST_TERMS if telling.facts["number"] == 2 else say.NEXT_TERM, after, ESSENTIAL),
        telling.line(say.NEW_TOTAL, after, DETAIL, seconds=6),
    ]
    said = [Line(telling.narrator.again(sentence), None, CORE) for sentence in telling.step.written.sentences]
    return Told([], [*asked, *said])
