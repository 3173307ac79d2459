"""How mantissas and sizes are multiplied and divided: a row for each 1, the sign at the end."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from chalkpoint.numbers.exact import MINUS
from chalkpoint.numbers.families import WHOLE
from chalkpoint.teaching.drama.line import Line, Telling, Told, nothing_of
from chalkpoint.teaching.seen import Partial, partial_products, quotient_digits, working_rows
from chalkpoint.teaching.storyboard import CORE, DETAIL, ESSENTIAL, USUAL, Cells, Moment
from chalkpoint.working.wording import words_told as say
from chalkpoint.working.wording.said import bracketed

__all__ = ["exponents", "product", "quotient", "sign"]

FIRST_FEW = 3  # rows told one by one; the rest go by in one


def exponents(telling: Telling) -> Told:
    """Add or subtract the exponents, looking at both."""
    divides = telling.working.question.operation.name == "divide"
    first, second, total = (
        telling.narrator.value(int(str(telling.facts[name]))) for name in ("first", "second", "exponent")
    )
    shown = f"{first} {MINUS if divides else '+'} {bracketed(second)} = {total}"
    words = say.TAKE_EXPONENTS if divides else say.ADD_EXPONENTS
    return Told([], [telling.line(words, Moment(exponents=(-1, -2), aside=shown), CORE)])


def product(telling: Telling) -> Told:
    """Write a row for each 1 of the second size, add them, and give the sum its sign."""
    rows = working_rows(telling.step)
    at, last = rows[-1]
    partials = partial_products(telling.step)
    sized = any(row.label == "size" for _, row in rows[:2])
    opening = say.MULTIPLY_SIZES if sized else say.MULTIPLY
    if not partials:
        doing = [telling.line(opening, Moment(written=(nothing_of(at),)), ESSENTIAL), *_long(telling)]
    else:
        after = [place for place, _ in rows if place >= partials[0].row]
        blank = Moment(written=tuple(map(nothing_of, after)))
        doing = [telling.line(opening, blank, ESSENTIAL), telling.line(say.A_ROW_EACH, blank, CORE)]
        doing += _rows(telling, partials, after)
        summed = [place for place in after if place > partials[-1].row]
        left = Moment(written=tuple(map(nothing_of, summed[1:])))
        doing.append(telling.line(say.ADD_ROWS, left, CORE))
        if len(summed) > 1:
            doing.append(telling.line(say.NEGATE_PRODUCT, weight=CORE))
    if last.value is not None and last.exponent is not None:
        doing.append(telling.line(say.WITH_EXPONENT, weight=USUAL, exponent=last.exponent, value=last.value))
    return Told([], doing)


def _long(telling: Telling) -> Iterator[Line]:
    if "operand_places" in telling.facts:
        yield telling.line(say.LONG_PRODUCT, weight=CORE)


def _rows(telling: Telling, partials: list[Partial], after: list[int]) -> Iterator[Line]:
    """Yield a line for each of the first rows, looking at the digit it comes from, and one for all others."""
    told = partials if len(partials) <= FIRST_FEW + 1 else partials[:FIRST_FEW]
    whole = telling.working.question.format.family == WHOLE
    first, later = (say.FIRST_ROW_WHOLE, say.NEXT_ROW_WHOLE) if whole else (say.FIRST_ROW, say.NEXT_ROW)
    for turn, one in enumerate(told):
        words = later if turn else first
        yield telling.line(words, _shown(one, after), DETAIL, place=one.column, worth=_worth(telling, one))
    if len(told) < len(partials):
        yield telling.line(say.OTHER_ROWS, _shown(partials[-1], after), DETAIL)


def _worth(telling: Telling, one: Partial) -> str:
    """Return what the digit of a row is worth, as it is said."""
    return telling.narrator.fraction(Fraction(2) ** -one.column)


def _shown(one: Partial, after: list[int]) -> Moment:
    empty = tuple(nothing_of(place) for place in after if place > one.row)
    return Moment(written=empty, marked=(Cells(one.factor, one.column, one.column),))


def quotient(telling: Telling) -> Told:
    """Divide the sizes: the divisor taken away wherever it goes, a 1 written there."""
    at, row = working_rows(telling.step)[-1]
    digits = quotient_digits(telling.step)
    blank = Moment(written=(nothing_of(at),))
    whole = telling.working.question.format.family == WHOLE
    opening = telling.line(say.DIVIDE_WHOLE if whole else say.DIVIDE, blank, ESSENTIAL)
    doing: list[Line] = []
    if digits:
        rows = [place for place, _ in working_rows(telling.step) if digits[0].row <= place < at]
        blank = Moment(written=(*map(nothing_of, rows), nothing_of(at)))
        opening = replace(opening, moment=blank)
        told = digits if len(digits) <= FIRST_FEW + 1 else digits[:FIRST_FEW]
        before = None
        for one in told:
            words = say.GOES_NEXT
            if before is None:
                words = say.GOES_FIRST_WHOLE if whole else say.GOES_FIRST
            elif one.column != before + 1:
                words = say.GOES_LATER_WHOLE if whole else say.GOES_LATER
            yet = (nothing_of(place) for place in rows if place > one.row + 1)
            written = (*yet, Cells(at, row.places - len(row.bits) + 1, one.column))
            doing.append(
                telling.line(
                    words, Moment(written=written), DETAIL, place=one.column, worth=_worth(telling, one)
                )
            )
            before = one.column
        if len(told) < len(digits):
            doing.append(telling.line(say.AND_SO_ON, weight=DETAIL))
    if row.value is None:
        doing.append(telling.line(say.LONG_QUOTIENT, weight=CORE))
    else:
        doing.append(telling.line(say.MAKES, weight=USUAL, value=row.value))
    if whole and telling.facts.get("left"):
        doing.append(telling.line(say.REMAINDER, weight=CORE))
    return Told([], [opening, *doing])


def sign(telling: Telling) -> Told:
    """Give the answer its sign."""
    return Told([telling.line(say.NEGATIVE_SIGN, weight=CORE)], [])
