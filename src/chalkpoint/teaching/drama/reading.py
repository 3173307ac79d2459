"""How a pattern is read: its ones pointed at one by one, and the point moved to where the exponent puts it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from chalkpoint.teaching.drama.line import ALL, Line, Telling, Told, nothing_of
from chalkpoint.teaching.seen import found_by, working_rows
from chalkpoint.teaching.storyboard import CORE, DETAIL, ESSENTIAL, Cells, Moment
from chalkpoint.working.wording import words_told as say
from chalkpoint.working.wording.said import listed
from chalkpoint.working.written import Row

__all__ = ["exponent_field", "mantissa", "read_in_words", "scale", "weigh"]

FIRST_FEW = 4  # ones pointed at one by one; of more, the rest are shown together


def exponent_field(telling: Telling) -> Told | None:
    """Show the pattern, and read the exponent by its places."""
    worths = _worths(telling, str(telling.facts.get("bits", "")))
    if not worths:
        return None
    value = str(telling.facts["exponent"])
    looked = Moment(written=(Cells(0, *ALL),), exponents=(0,), aside=_sum(worths, value))
    words = say.EXPONENT_ONES if len(worths) > 1 else say.EXPONENT_ONE
    return Told(
        [],
        [
            telling.line(say.HERE_IS_PATTERN, Moment(written=(Cells(0, *ALL),)), ESSENTIAL),
            telling.line(words, looked, CORE, worths=listed(worths)),
        ],
    )


def mantissa(telling: Telling) -> Told | None:
    """Point at each one of the mantissa, the row of the pattern standing above."""
    rows = working_rows(telling.working.steps[0])
    worths = _worths(telling, str(telling.facts["bits"]))
    if not worths or not rows:
        return None
    opening = telling.line(say.MANTISSA_PLACES, Moment(marked=(Cells(-1, 0, 0),)), ESSENTIAL)
    return Told([], [opening, *_ones(telling, -1, rows[0][1], worths, telling.facts["value"])])


def weigh(telling: Telling) -> Told | None:
    """Read a whole pattern: every one in its place, and all of them together."""
    (_, row), *more = working_rows(telling.step) or [(0, Row(label=""))]
    worths = _worths(telling, row.bits)
    if more or not worths:
        return None
    whole, first = (Cells(0, *ALL),), row.first_column
    opening = [
        telling.line(say.HERE_ARE_PLACES, Moment(written=whole), ESSENTIAL),
        telling.line(say.TOP_PLACE, Moment(written=whole, marked=(Cells(0, first, first),)), CORE),
    ]
    *ones, last = _ones(telling, 0, row, worths, telling.facts["number"], written=whole)
    look = replace(last.moment, written=()) if last.moment else None  # its value is shown now
    return Told([], [*opening, *ones, replace(last, moment=look)])


def scale(telling: Telling) -> Told | None:
    """Move the point as far as the exponent says: the digits come along."""
    rows, facts = working_rows(telling.step), telling.facts
    if len(rows) != 1 or "power" not in facts:
        return None
    at, row = rows[0]
    power = Fraction(str(facts["power"]))
    words = say.POINT_STAYS if not power else say.POINT_RIGHT if power > 0 else say.POINT_LEFT
    opening = telling.line(words, Moment(written=(nothing_of(at),)), CORE, exponent=power, apart=abs(power))
    return Told([opening], [telling.line(say.VALUE_IS, weight=CORE, value=row.value)])


def read_in_words(telling: Telling, said: list[Line]) -> Told | None:
    """Return *said* over a pattern shown from the start, its value not yet beside it."""
    found = found_by(telling.working)
    step = telling.step.number - 1
    rows = [at for at, _ in working_rows(telling.step)]
    if found is None or step > found or not rows or step == found != 0:
        return None
    kept = Moment(written=tuple(Cells(at, *ALL) for at in rows))
    shown = [
        Line(line.text, Moment(written=kept.written, aside=line.moment.aside) if line.moment else kept)
        for line in said
    ]
    return Told(
        [], [*shown, *([telling.line(say.MAKES, value=telling.step.rows[rows[-1]].value)] * (step == found))]
    )


def _worths(telling: Telling, bits: str) -> list[str]:
    """Return what each 1 of *bits* is worth; none where the step's sum has other terms than its ones."""
    worths = str(telling.facts.get("weights", "")).split(" + ")
    return worths if len(worths) == bits.count("1") else []


def _sum(worths: list[str], value: str) -> str:
    return f"{' + '.join(worths)} = {value}".replace("-", "\u2212") if len(worths) > 1 else ""


def _ones(
    telling: Telling, at: int, row: Row, worths: list[str], value: object, *, written: tuple[Cells, ...] = ()
) -> Iterator[Line]:
    """Yield a line for each of the first ones, the sum growing beside it, and one for all together."""
    columns = [row.first_column + place for place, bit in enumerate(row.bits) if bit == "1"]
    told = len(worths) if len(worths) <= FIRST_FEW + 1 else FIRST_FEW
    for turn in range(told):
        words = say.ONE_WORTH if turn == 0 else say.ONE_MORE
        moment = Moment(
            written=written,
            column=columns[turn],
            marked=tuple(Cells(at, column, column) for column in columns[: turn + 1]),
            aside=" + ".join(worths[: turn + 1]),
        )
        yield telling.line(words, moment, DETAIL, worth=worths[turn])
    marked = tuple(Cells(at, column, column) for column in columns)
    together = Moment(written=written, marked=marked, aside=_sum(worths, str(value)))
    words = say.TOGETHER if told == len(worths) else say.REST_TOGETHER
    yield telling.line(words, together, CORE, value=value)
