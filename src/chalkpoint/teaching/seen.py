"""What a narration tells of a step: columns added, bits inverted, places moved, carries, rows worked on.

Everything is read from a step's pages and rows, digit for digit; nothing is taken from its sentences.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from chalkpoint.numbers.exact import write_value
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Step
from chalkpoint.working.working import Working
from chalkpoint.working.written import Row

__all__ = [
    "Column",
    "Estimate",
    "Shift",
    "columns_added",
    "estimate",
    "first_column",
    "inverted",
    "ones_carried",
    "runs",
    "shift",
    "told_value",
    "worked_on",
    "working_rows",
]

LONGEST_SAID = 9  # digits of a number that is said in full
OPERANDS = {
    "exponents",
    "product",
    "quotient",
}  # steps that work on both operands and do not write them again
SIGNS = {"add": "+", "subtract": "\u2212", "multiply": "\u00d7", "divide": "\u00f7"}


@dataclass(frozen=True, slots=True)
class Column:
    """One column of an addition: the digits of both rows, what was carried in, what is written, what is carried on."""

    place: int
    first: str
    second: str
    carry_in: bool
    digit: str
    carry_out: bool

    @property
    def summed(self) -> tuple[str, str, bool]:
        """What is added in it; columns alike in that are told together."""
        return self.first, self.second, self.carry_in

    @property
    def written(self) -> str:
        """The little sum, such as "1 + 1 = 10"."""
        terms = [self.first, self.second, *(["1"] if self.carry_in else [])]
        return f"{' + '.join(terms)} = {'1' if self.carry_out else ''}{self.digit}"


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
class Estimate:
    """Operands rounded, and what comes of them; all as they are written."""

    first: str
    second: str
    about: str


def first_column(row: Row) -> int:
    """Return the column of the first of *row*'s bits."""
    return 1 - (len(row.bits) - row.places)


def working_rows(step: Step) -> list[tuple[int, Row]]:
    """Return the rows of *step* that hold a number, each with its index."""
    return [(at, row) for at, row in enumerate(step.rows) if not row.carries]


# === Adding ===


def columns_added(step: Step) -> tuple[Column, ...]:
    """Return the columns of an addition from the right; none where rows are shortened or not three of one length."""
    rows = [row for _, row in working_rows(step)]
    if len(rows) != 3 or len({(len(row.bits), row.places) for row in rows}) != 1:
        return ()
    first, second, total = rows
    if "\u2026" in first.bits + second.bits + total.bits:
        return ()
    start, columns, carry = first_column(total), list[Column](), 0
    for at in range(len(total.bits) - 1, -1, -1):
        summed = int(first.bits[at]) + int(second.bits[at]) + carry
        if str(summed % 2) != total.bits[at]:
            return ()  # a faulty rule wrote the sum: there is nothing to tell column by column
        columns.append(
            Column(start + at, first.bits[at], second.bits[at], bool(carry), total.bits[at], summed > 1)
        )
        carry = summed // 2
    return tuple(columns)


def runs(columns: tuple[Column, ...]) -> Iterator[list[Column]]:
    """Yield neighbours in which the same is added."""
    for _, alike in groupby(columns, lambda column: column.summed):
        yield list(alike)


# === Negating ===


def inverted(step: Step) -> tuple[int, int] | None:
    """Return the indexes of the inverted row and of the one after adding one, or None."""
    rows = working_rows(step)
    if len(rows) != 2 or len(rows[0][1].bits) != len(rows[1][1].bits) or "\u2026" in rows[0][1].bits:
        return None
    return rows[0][0], rows[1][0]


def ones_carried(before: Row, after: Row) -> tuple[int, ...]:
    """Return the columns a carry goes into when one is added to *before*, from the right.

    >>> ones_carried(Row(label="invert", bits="11100011", places=7), Row(label="add one", bits="11100100", places=7))
    (6, 5)
    """
    start, size = first_column(before), len(before.bits)
    carried = int(before.bits, 2) ^ int(after.bits, 2) ^ 1
    return tuple(start + at for at in range(size - 1, -1, -1) if carried >> (size - 1 - at) & 1)


# === Moving ===


def shift(step: Step) -> Shift | None:
    """Return how the digits of *step* moved, or None where none did or more than one row's."""
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
    if step.rule == "negate" and (pair := inverted(step)):
        turned = step.rows[pair[0]].bits.translate(str.maketrans("01", "10"))
        for earlier in range(index - 1, -1, -1):
            for at, row in reversed(working_rows(working.steps[earlier])):
                if row.bits == turned and row.value is not None:
                    return ((earlier, at),)
    if not rows and index:
        last = next((i for i in range(index - 1, -1, -1) if working_rows(working.steps[i])), None)
        if last is not None:
            return ((last, working_rows(working.steps[last])[-1][0]),)
    return ()


def _latest(working: Working, index: int, which: str) -> tuple[int, int]:
    """Return the last row in which the first or the second operand stands before step *index*."""
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


# === Estimating ===


def near(x: Fraction) -> Fraction:
    """Return *x* as one rounds it in one's head: to a whole number, below 1 to one figure.

    >>> near(Fraction(71, 8)), near(Fraction(-29, 128)), near(Fraction(5, 2))
    (Fraction(9, 1), Fraction(-1, 5), Fraction(2, 1))
    """
    if x == 0:
        return x
    unit = Fraction(1)
    while abs(x) < unit:
        unit /= 10
    while abs(x) >= 100 * unit:
        unit *= 10
    return round(x / unit) * unit


def told_value(x: Fraction, point: str) -> str:
    """Return *x* as it is said: in full where that is soon said, otherwise to five figures.

    >>> told_value(Fraction(83, 16), "."), told_value(Fraction(1, 3), ".")
    ('5.1875', '1/3')
    >>> told_value(Fraction(1, 2**23), ".")
    'about 0.00000011921'
    """
    written = write_value(x, point=point)
    if sum(letter.isdigit() for letter in written) <= LONGEST_SAID or x == 0:
        return written
    unit = Fraction(1)
    while abs(x) < 10_000 * unit:
        unit /= 10
    while abs(x) >= 100_000 * unit:
        unit *= 10
    return f"about {write_value(round(x / unit) * unit, point=point)}"


def estimate(question: Question, exact: Fraction | None) -> Estimate | None:
    """Return the operands rounded and what comes of them; None where that tells nothing.

    exact  the exact answer: a rounding that leads far from it is no estimate
    """
    if question.operation.name not in SIGNS or len(question.values) != 2 or exact is None:
        return None
    if any(value is None for value in question.values):
        return None
    first, second = (near(value) for value in question.values)
    match question.operation.name:
        case "add":
            about = first + second
        case "subtract":
            about = first - second
        case "multiply":
            about = first * second
        case _:
            if second == 0:
                return None
            about = near(first / second)
    spread = max(abs(value) for value in (first, second, about))
    if (first, second) == tuple(question.values) or abs(about - exact) > max(abs(exact), spread / 4) / 2:
        return None
    point = question.course.point
    return Estimate(*(write_value(value, point=point) for value in (first, second, about)))
