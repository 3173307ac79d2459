"""What a narration tells of a step: columns added, bits inverted, places moved, carries, rows worked on.

Everything is read from a step's pages and rows, digit for digit; nothing is taken from its sentences.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby, pairwise

from chalkpoint.working.steps import Step
from chalkpoint.working.working import Working
from chalkpoint.working.written import Row

__all__ = [
    "Column",
    "Partial",
    "Shift",
    "columns_added",
    "columns_taken",
    "found_by",
    "inverted",
    "ones_carried",
    "partial_products",
    "quotient_digits",
    "runs",
    "shift",
    "worked_on",
    "working_rows",
]

#: Steps that work on both operands and do not write them again.
OPERANDS = {"exponents", "product", "quotient"}
#: Steps whose row comes from the last one above it, which they do not write again.
FROM_ABOVE = {"scale", "point", "store-point"}
FINDS_VALUE = {"scale", "weigh"}  # steps that find what a pattern is worth


@dataclass(frozen=True, slots=True)
class Column:
    """One column of an addition or a subtraction: the digits of both rows, and what is written.

    carry_in   whether a carry comes into it or, where it *borrows*, one was borrowed from it
    carry_out  whether it hands a carry on or borrows from the next
    """

    place: int
    first: str
    second: str
    carry_in: bool
    digit: str
    carry_out: bool
    borrows: bool = False

    @property
    def summed(self) -> tuple[str, str, bool]:
        """What is added in it; columns alike in that are told together."""
        return self.first, self.second, self.carry_in

    @property
    def written(self) -> str:
        """The little sum, such as "1 + 1 = 10" or, where one is borrowed, "10 \u2212 1 = 1"."""
        sign = " \u2212 " if self.borrows else " + "
        first = f"1{self.first}" if self.borrows and self.carry_out else self.first
        terms = [first, self.second, *(["1"] if self.carry_in else [])]
        lead = "1" if self.carry_out and not self.borrows else ""
        return f"{sign.join(terms)} = {lead}{self.digit}"


@dataclass(frozen=True, slots=True)
class Shift:
    """Digits moved: which row, how far (right is positive), the sign copied, what fell off and what it was worth."""

    row: int
    places: int
    sign: str
    lost: str
    worth: Fraction
    before: Row
    after: Row


@dataclass(frozen=True, slots=True)
class Partial:
    """What one digit of a product or a quotient writes.

    row     the row it writes: of a quotient, the divisor taken away, with what is left below it
    factor  the row of the digit
    column  its column
    """

    row: int
    factor: int
    column: int


def working_rows(step: Step) -> list[tuple[int, Row]]:
    """Return the rows of *step* that hold a number, each with its index.

    >>> from chalkpoint.working.work import work
    >>> adding = next(step for step in work("add", "1.5", "2.5").steps if step.rule == "add")
    >>> [row.label for _, row in working_rows(adding)]
    ['first', 'second', 'sum']
    """
    return [(at, row) for at, row in enumerate(step.rows) if not row.carries]


# === Adding ===


def columns_added(step: Step) -> tuple[Column, ...]:
    """Return the columns of an addition from the right; none where rows are shortened or the sum is another.

    >>> from chalkpoint.working.work import work
    >>> adding = next(step for step in work("subtract", "8.875", "3.6875").steps if step.rule == "add")
    >>> column = columns_added(adding)[0]  # the last place: 01000111 + 11100011
    >>> column.first, column.second, column.digit, column.carry_out
    ('1', '1', '0', True)
    """
    return _columns(step, borrows=False)


def columns_taken(step: Step) -> tuple[Column, ...]:
    """Return the columns of a subtraction from the right, likewise."""
    return _columns(step, borrows=True)


def _columns(step: Step, *, borrows: bool) -> tuple[Column, ...]:
    rows = [row for _, row in working_rows(step)]
    if len(rows) != 3 or len({row.places for row in rows}) != 1 or any("\u2026" in row.bits for row in rows):
        return ()
    wide = max(len(row.bits) for row in rows)
    first, second, total = (row.bits.rjust(wide, "0") for row in rows)
    start, columns, carry = 1 - (wide - rows[0].places), list[Column](), 0
    for at in range(wide - 1, -1, -1):
        one, other = int(first[at]), int(second[at])
        made = one - other - carry if borrows else one + other + carry
        if str(made % 2) != total[at]:
            return ()  # a faulty rule wrote the sum: there is nothing to tell column by column
        handed = made < 0 if borrows else made > 1
        columns.append(Column(start + at, first[at], second[at], bool(carry), total[at], handed, borrows))
        carry = int(handed)
    while len(rows[2].bits) < wide and columns[-1].digit == "0" == columns[-1].first:
        columns.pop()
    return tuple(columns)


def runs(columns: tuple[Column, ...]) -> Iterator[list[Column]]:
    """Yield neighbours in which the same is added.

    >>> from chalkpoint.working.work import work
    >>> adding = next(step for step in work("add", "1.5", "2.5").steps if step.rule == "add")
    >>> [len(alike) for alike in runs(columns_added(adding))]  # 00110000 + 01010000
    [4, 1, 1, 1, 1]
    """
    for _, alike in groupby(columns, lambda column: column.summed):
        yield list(alike)


# === Negating ===


def inverted(step: Step) -> tuple[int, int] | None:
    """Return the indexes of the inverted row and of the one after adding one, or None.

    >>> from chalkpoint.working.work import work
    >>> negating = next(step for step in work("subtract", "8.875", "3.6875").steps if step.rule == "negate")
    >>> inverted(negating)
    (1, 2)
    """
    rows, turned = working_rows(step), step.facts.get("inverted")
    for (at, row), (after, new) in pairwise(rows):
        if row.bits == turned and len(new.bits) == len(row.bits) and "\u2026" not in row.bits:
            return at, after
    return None


def ones_carried(before: Row, after: Row) -> tuple[int, ...]:
    """Return the columns a carry goes into when one is added to *before*, from the right.

    >>> ones_carried(Row(label="invert", bits="11100011", places=7), Row(label="add one", bits="11100100", places=7))
    (6, 5)
    """
    start, size = before.first_column, len(before.bits)
    carried = int(before.bits, 2) ^ int(after.bits, 2) ^ 1
    return tuple(start + at for at in range(size - 1, -1, -1) if carried >> (size - 1 - at) & 1)


# === Multiplying and dividing ===


def partial_products(step: Step) -> list[Partial]:
    """Return the rows of a product from the right, each with the 1 it comes from; none where they are left out."""
    rows = working_rows(step)
    written = [at for at, row in rows if row.value is None and row.bits]
    if len(rows) < 3 or not written:
        return []
    factor, row = rows[1]
    ones = [row.first_column + at for at in range(len(row.bits) - 1, -1, -1) if row.bits[at] == "1"]
    if len(ones) != len(written):
        return []
    return [Partial(at, factor, column) for at, column in zip(written, ones, strict=True)]


def quotient_digits(step: Step) -> list[Partial]:
    """Return the 1s of a quotient from the left, each with the row it takes away; none where those are left out."""
    rows = working_rows(step)
    at, row = rows[-1]
    taken = [place for place, each in rows if each.minus]
    start = row.first_column
    ones = [start + turn for turn, digit in enumerate(row.bits) if digit == "1"]
    if not taken or len(ones) < len(taken):
        return []
    return [Partial(place, at, column) for place, column in zip(taken, ones, strict=False)]


# === Moving ===


def shift(step: Step) -> Shift | None:
    """Return how the digits of *step* moved, or None where none did or more than one row's.

    >>> from chalkpoint.working.work import work
    >>> matching = next(step for step in work("subtract", "8.875", "3.6875").steps if step.rule == "align")
    >>> moved = shift(matching)
    >>> moved.places, moved.sign, moved.lost
    (2, '0', '10')
    """
    moved = [at for at, row in enumerate(step.rows) if row.moved and at]
    if len(moved) != 1:
        return None
    at = moved[0]
    before, after = step.rows[at - 1], step.rows[at]
    return Shift(at, after.moved, before.bits[:1], after.lost, after.lost_value, before, after)


def worked_on(working: Working, index: int) -> tuple[tuple[int, int], ...]:
    """Return the rows of earlier steps that step *index* works on and does not write again, as (step, row)."""
    step = working.steps[index]
    rows = working_rows(step)
    if step.rule in OPERANDS:
        return tuple(_latest(working, index, name) for name in ("first", "second"))
    if step.rule == "negate" and (pair := inverted(step)) and pair[0] == 0:
        turned = step.rows[pair[0]].bits.translate(str.maketrans("01", "10"))
        for earlier in range(index - 1, -1, -1):
            for at, row in reversed(working_rows(working.steps[earlier])):
                if row.bits == turned and row.value is not None:
                    return ((earlier, at),)
    if index and (not rows or step.rule in FROM_ABOVE):
        last = next((i for i in range(index - 1, -1, -1) if working_rows(working.steps[i])), None)
        if last is not None:
            return ((last, working_rows(working.steps[last])[-1][0]),)
    return ()


def _latest(working: Working, index: int, which: str) -> tuple[int, int]:
    """Return the last row that shows the first or the second operand before step *index*."""
    rows = [row for _, row in working_rows(working.steps[0])]
    place = (0, working_rows(working.steps[0])[0 if which == "first" else len(rows) - 1][0])
    value = rows[0 if which == "first" else -1].value
    for earlier in range(1, index):
        found = [
            at for at, row in working_rows(working.steps[earlier]) if not row.soft and row.value == value
        ]
        if found:
            place = (earlier, found[0 if which == "first" else -1])
    return place


def found_by(working: Working) -> int | None:
    """Return the step that finds what the pattern is worth, so that no row tells it before; None where none does."""
    return next((at for at, step in enumerate(working.steps) if step.rule in FINDS_VALUE), None)
