"""How columns are added and a row is negated: column by column, each carry where it goes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from chalkpoint.teaching.drama.line import Line, Telling, Told, nothing_of
from chalkpoint.teaching.seen import (
    Column,
    columns_added,
    columns_taken,
    inverted,
    ones_carried,
    runs,
    working_rows,
)
from chalkpoint.teaching.storyboard import CORE, DETAIL, ESSENTIAL, USUAL, Cells, Moment
from chalkpoint.working.wording import words_told as say
from chalkpoint.working.wording.said import listed

__all__ = ["add", "by_columns", "by_columns_taken", "combine", "negate"]

IN_FULL = 12  # columns said one by one; of longer rows only the first few runs of columns alike are
FIRST_FEW = 6
Words = Callable[[Column], str]


def add(telling: Telling) -> Told | None:
    """Add column by column from the right, each carry rising; then argue the last carry."""
    total = working_rows(telling.step)[-1][1]
    argued = _argued(telling, dropped=total.lead_is == "dropped")
    after = [*argued, telling.line(say.SUM_IS, weight=CORE, value=total.value)]
    return by_columns(telling, telling.line(say.NOW_ADD, weight=ESSENTIAL), after)


def combine(telling: Telling) -> Told | None:
    """Add two sizes, or take the smaller from the larger."""
    alike, rows = bool(telling.facts["alike"]), working_rows(telling.step)
    over, total = rows[0][0], rows[-1][1]
    opening = telling.line(say.SIGNS_ALIKE if alike else say.SIGNS_DIFFER, weight=ESSENTIAL)
    after = [telling.line(say.SUM_IS if alike else say.DIFFERENCE_IS, weight=CORE, value=total.value)]
    return (
        by_columns(telling, opening, after, over=over) if alike else by_columns_taken(telling, opening, after)
    )


def by_columns(telling: Telling, opening: Line, after: list[Line], *, over: int | None = None) -> Told | None:
    """Return an addition told column by column between *opening* and what is said *after*; None where it is no sum.

    over  the row above which the carries rise, where the step has no row of its own for them
    """
    return _between(telling, opening, after, columns_added(telling.step), _added, over)


def by_columns_taken(telling: Telling, opening: Line, after: list[Line]) -> Told | None:
    """Return a subtraction told column by column, likewise."""
    over = working_rows(telling.step)[0][0]
    return _between(telling, opening, after, columns_taken(telling.step), _taken, over)


def _between(
    telling: Telling,
    opening: Line,
    after: list[Line],
    columns: tuple[Column, ...],
    words: Words,
    over: int | None,
) -> Told | None:
    if not columns:
        return None
    row = working_rows(telling.step)[-1][0]
    begun = replace(opening, moment=_begun(row, columns))
    return Told([begun], [*_told(telling, row, columns, words, over=over), *after])


def _begun(row: int, columns: tuple[Column, ...]) -> Moment:
    return Moment(written=(nothing_of(row),), column=columns[0].place, carried=())


def _told(
    telling: Telling, row: int, columns: tuple[Column, ...], words: Words, *, over: int | None = None
) -> Iterator[Line]:
    """Yield a line for each run of columns alike; of a long row the rest goes by in one."""
    last, alike = columns[0].place, list(runs(columns))
    told = alike if len(columns) <= IN_FULL or len(alike) <= FIRST_FEW + 1 else alike[:FIRST_FEW]

    def moment(column: Column) -> Moment:
        return _moment(row, columns, column, last, over)

    for run in told:
        yield Line(words(run[0]), moment(run[0]), DETAIL)
        if len(run) > 1:
            again = say.AND_SAME if len(run) == 2 else say.NEXT_ALIKE
            yield telling.line(again, moment(run[-1]), DETAIL, more=len(run) - 1)
    if len(told) < len(alike):
        yield telling.line(say.ON_AND_ON, moment(columns[-1]), DETAIL)


def _moment(row: int, columns: tuple[Column, ...], column: Column, last: int, over: int | None) -> Moment:
    rising = [each for each in columns if each.carry_out and not each.borrows and each.place >= column.place]
    return Moment(
        written=(Cells(row, column.place, last),),
        column=column.place,
        aside=column.written,
        carried=tuple(each.place - 1 for each in rising),
        over=over,
    )


def _added(column: Column) -> str:
    terms = [say.BITS[column.first], say.BITS[column.second], *(["one"] if column.carry_in else [])]
    carry = say.CARRY_ONE if column.carry_out else ""
    return say.capital(say.COLUMN.format(terms=listed(terms), digit=say.BITS[column.digit], carry=carry))


def _taken(column: Column) -> str:
    words = say.COLUMN_BORROWED if column.carry_in else say.COLUMN_TAKEN
    borrow = say.BORROW_ONE if column.carry_out else ""
    first, second, digit = (say.BITS[bit] for bit in (column.first, column.second, column.digit))
    return say.capital(words.format(first=first, second=second, digit=digit, borrow=borrow))


def _argued(telling: Telling, *, dropped: bool) -> Iterator[Line]:
    """Yield why the sum overflows, or why its last carry may be dropped."""
    facts = telling.facts
    if facts["overflowed"]:
        yield telling.line(say.OVERFLOWS, weight=CORE)
    elif facts["carry_out"] and dropped:
        signs = str(facts["signs"])
        yield telling.line(say.DROP_CARRY, weight=DETAIL)
        yield telling.line(say.MIXED_FIT if signs[0] != signs[1] else say.NEGATIVES_FIT, weight=USUAL)


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
