"""How a number is written in a format: its whole part, its fraction by doubling, the point, the exponent, the cost."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from chalkpoint.numbers.exact import write_value
from chalkpoint.teaching.drama.endings import cut
from chalkpoint.teaching.drama.line import ALL, Line, Telling, Told, nothing_of
from chalkpoint.teaching.seen import working_rows
from chalkpoint.teaching.storyboard import CORE, DETAIL, ESSENTIAL, USUAL, Cells, Moment
from chalkpoint.working.wording import words_told as say
from chalkpoint.working.wording.said import listed
from chalkpoint.working.written import Row

__all__ = ["absolute", "exponent_code", "fit", "place_point", "relative", "size"]

FIRST_FEW = 4  # doublings told one by one


def size(telling: Telling) -> Told | None:
    """Write the whole part by its places and the fraction by doubling."""
    rows = working_rows(telling.step)
    if len(rows) != 1 or "size" not in telling.facts:
        return None
    at, row = rows[0]
    if "\u2026" in row.bits[: len(row.bits) - row.places]:
        return None  # the middle of a huge whole part is left out: its places cannot be told
    value = Fraction(str(telling.facts["size"]))
    opening = [telling.line(say.SIZE_FIRST, Moment(written=(nothing_of(at),)), ESSENTIAL)]
    whole, rest = int(value), value % 1
    doing = [_whole_part(telling, at, row, whole)] if whole else []
    if rest:
        doing += _doubled(telling, at, row, rest, after_whole=bool(whole))
    if "\u2026" in row.bits:
        doing.append(telling.line(say.NEVER_END, weight=CORE))
    elif doing:
        doing.append(telling.line(say.ALL_WRITTEN, weight=DETAIL))
    return Told(opening, doing) if doing else None


def _whole_part(telling: Telling, at: int, row: Row, whole: int) -> Line:
    """Return the whole part told by what its ones are worth."""
    digits = row.bits[: len(row.bits) - row.places]
    worths = [str(2**place) for place, bit in enumerate(reversed(digits)) if bit == "1"][::-1]
    words = say.WHOLE_PART if len(worths) > 1 else say.WHOLE_ONE
    written = (Cells(at, row.first_column, 0),)
    aside = f"{whole} = {' + '.join(worths)}" if len(worths) > 1 else ""
    return telling.line(words, Moment(written=written, aside=aside), CORE, whole=whole, worths=listed(worths))


def _doubled(telling: Telling, at: int, row: Row, rest: Fraction, *, after_whole: bool) -> Iterator[Line]:
    """Yield the fraction's digits: doubled each time, a 1 wherever a whole turns up."""
    fraction, first, point = row.bits[len(row.bits) - row.places :], row.first_column, telling.narrator.point
    begun = Cells(at, first, 0) if after_whole else nothing_of(at)
    opening = say.REST_BY_DOUBLING if after_whole else say.ALL_BY_DOUBLING
    yield telling.line(opening, Moment(written=(begun,)), ESSENTIAL, rest=rest)
    told = len(fraction) if len(fraction) <= FIRST_FEW + 1 else FIRST_FEW
    for place, digit in enumerate(fraction[:told], start=1):
        twice = 2 * rest
        if digit != str(int(twice)):
            return  # another rule wrote it
        moment = Moment(
            written=(Cells(at, first, place),),
            column=place,
            aside=f"2 \u00d7 {write_value(rest, point=point)} = {write_value(twice, point=point)}",
        )
        words = say.DOUBLED if twice != 1 else say.DOUBLED_ONE
        yield telling.line(words, moment, DETAIL, twice=twice, bit=digit)
        rest = twice % 1
    if told < len(fraction):
        yield telling.line(say.AND_SO_ON, weight=DETAIL)


def place_point(telling: Telling) -> Told | None:
    """Find where the point belongs, and move the digits there."""
    facts, rows = telling.facts, working_rows(telling.step)
    if "exponent" not in facts or len(rows) != 1:
        return None
    exponent, blank = int(str(facts["exponent"])), (nothing_of(rows[0][0]),)
    look = Moment(written=blank, marked=(Cells(-1, -exponent, 1 - exponent),))
    opening = [telling.line(say.POINT_BELONGS, look, ESSENTIAL)]
    if exponent:
        opening.append(telling.line(say.HOW_FAR, look, DETAIL, seconds=5))
    words = say.PLACED_STAYS if not exponent else say.PLACED_LEFT if exponent > 0 else say.PLACED_RIGHT
    return Told(opening, [telling.line(words, weight=CORE, apart=abs(exponent))])


def fit(telling: Telling) -> Told | None:
    """Keep the format's bits, fill up what is missing, or cut what is too much."""
    rows = working_rows(telling.step)
    if len(rows) != 2:
        return None
    if rows[1][1].lost:
        return cut(telling)
    said = [Line(telling.narrator.again(sentence), None, CORE) for sentence in telling.step.written.sentences]
    return Told([], said)


def exponent_code(telling: Telling) -> Told | None:
    """Write the exponent's bits, the rest standing there already."""
    rows = working_rows(telling.step)
    said = [telling.narrator.again(sentence) for sentence in telling.step.written.sentences]
    if len(rows) != 1 or not said:
        return None
    at = rows[0][0]
    opening = telling.line(say.EXPONENT_LAST, Moment(written=(Cells(at, ALL[0], 999),)), ESSENTIAL)
    return Told([opening], [Line(words, Moment(exponents=(at,)), CORE) for words in said])


def absolute(telling: Telling) -> Told | None:
    """Take what is stored from what was asked for."""
    if "missed" not in telling.facts:
        return None
    facts, point = telling.facts, telling.narrator.point
    exact, stored, missed = (Fraction(str(facts[name])) for name in ("exact", "stored", "missed"))
    written = [write_value(value, point=point) for value in (exact, stored, missed)]
    bracketed = f"({written[1]})" if stored < 0 else written[1]
    shown = Moment(aside=f"{written[0]} \u2212 {bracketed} = {written[2]}")
    doing = [telling.line(say.TAKE_STORED, shown, CORE)]
    doing.append(telling.line(say.ERROR_IS if missed else say.NO_ERROR, shown, CORE))
    return Told([telling.line(say.ABSOLUTE, weight=ESSENTIAL)], doing)


def relative(telling: Telling) -> Told | None:
    """Hold the error against the number itself."""
    sums = [said.sum for said in telling.step.written.sentences if said.sum]
    if len(sums) != 1 or "ratio" not in telling.facts:
        return None
    shown = Moment(aside=sums[0])
    return Told(
        [telling.line(say.RELATIVE, weight=ESSENTIAL)],
        [telling.line(say.DIVIDED, shown, CORE), telling.line(say.PERCENT, shown, USUAL)],
    )
