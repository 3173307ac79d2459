"""Marking points of conversions, sums, choices of a format and explanations: this project's own."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from chalkpoint.numbers.bits import with_point
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.named import float_format
from chalkpoint.setting.points import (
    Aligned,
    Expected,
    Point,
    answer_bits,
    decimal,
    given_for_moving,
    written_row,
)
from chalkpoint.setting.size_points import read_value
from chalkpoint.working.question import Question
from chalkpoint.working.wording.words_marks import GIVEN
from chalkpoint.working.working import Working
from chalkpoint.working.written import Row

__all__ = ["MOST_EXPLAINED", "addition", "composite_points", "explained_points", "sum_points"]

MOST_EXPLAINED = 8  # points of an explanation


def stored_size(working: Working) -> str:
    """Return the size that a conversion writes in binary."""
    row = written_row(working, "store-size") or written_row(working, "store-digits")
    return "" if row is None else with_point(row.bits, row.places)


def stored_exponent(working: Working) -> str:
    """Return the exponent that a conversion places the point with; "" in a format without one."""
    page = next((step.after for step in working.steps if step.rule == "store-point"), None)
    return "" if page is None else write_value(Fraction(page.exponent))


def addition(working: Working, number: int) -> Working | None:
    """Return the addition of one term of a sum, or None where the chain has ended before it."""
    found = [step.after for step in working.steps if step.rule == "add" and step.after.number == number]
    return found[0].working if found else None


@dataclass(frozen=True, slots=True)
class MovedFor(Aligned):
    """Reads the mantissa that is moved before a term of a sum is added."""

    number: int = 2

    def row(self, working: Working) -> Row | None:
        """Return the row that moved; None where the chain has ended before."""
        added = addition(working, self.number)
        return None if added is None else written_row(added, self.rule)

    def is_in(self, working: Working) -> bool:
        """Tell whether the chain reached this term, and its addition has such a row."""
        added = addition(working, self.number)
        return added is not None and Aligned.is_in(self, added)


def moved_for(number: int) -> Expected:
    """Return what reads what that move is marked for."""
    given_for = given_for_moving("moved", "shared")

    def read(working: Working) -> str:
        added = addition(working, number)
        return GIVEN["moved"] if added is None else given_for(added)

    return read


def total(number: int) -> Expected:
    """Return what reads the total once a term is added."""

    def read(working: Working) -> str:
        added = addition(working, number)
        return "" if added is None else answer_bits(added)

    return read


def sum_points(terms: int, *, rows: bool) -> tuple[Point, ...]:
    """Return the points of a sum of so many terms; *rows* where the moved rows are marked too."""
    found = []
    for number in range(2, terms + 1):
        last = number == terms
        if rows:
            follows = number > 2
            found.append(
                Point(
                    f"move {number}",
                    "M",
                    moved_for(number),
                    MovedFor(number=number),
                    follows=follows,
                    rank=3,
                    own_line=True,
                )
            )
        gives = GIVEN["total"].format(number=number)
        rule, expects = ("answer", answer_bits) if last else (f"total {number}", total(number))
        found.append(Point(rule, "A", gives, expects, follows=True, rank=0 if last else 1, own_line=True))
    return (*found, Point("decimal", "A", GIVEN["sum-exact"], decimal, follows=True, rank=2))


CONVERTING = (
    Point("value", "M", GIVEN["value"], read_value, rank=1, own_line=True),
    Point("size", "M", GIVEN["own-size"], stored_size, follows=True, rank=2, own_line=True),
    Point("exponent", "M", GIVEN["point"], stored_exponent, follows=True, rank=3, own_line=True),
    Point("answer", "A", GIVEN["fields"], answer_bits, follows=True),
)
CHOOSING = (
    Point(
        "mantissa",
        "M",
        GIVEN["mantissa-bits"],
        lambda working: str(float_format(working.check.format).mantissa_bits),
        rank=1,
    ),
    Point(
        "exponent",
        "M",
        GIVEN["exponent-bits"],
        lambda working: str(float_format(working.check.format).exponent_bits),
        rank=2,
    ),
    Point("answer", "A", GIVEN["no-fewer"], lambda working: working.result_format, follows=True),
)


def explained(number: int) -> Expected:
    """Return what reads one point of an explanation."""

    def read(working: Working) -> str:
        return working.steps[number - 1].says if number <= len(working.steps) else ""

    return read


def explained_points(count: int) -> tuple[Point, ...]:
    """Return so many points of an explanation: one for each thing that happened, in words of the pupil's own."""
    return tuple(
        Point(f"point {number}", "B", GIVEN["own-words"], explained(number), rank=number, own_line=True)
        for number in range(1, count + 1)
    )


def composite_points(question: Question, *, rows: bool) -> tuple[Point, ...]:
    """Return the points that a question made of several, or answered in words, may have.

    rows  whether rows that are moved are marked too
    """
    match question.operation.name:
        case "convert":
            return CONVERTING
        case "sum":
            return sum_points(len(question.patterns), rows=rows)
        case "choose-format":
            return CHOOSING
    return explained_points(MOST_EXPLAINED)
