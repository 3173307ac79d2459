"""What a pupil meets on the way through a question, counted on its working's own rows."""

from __future__ import annotations

from dataclasses import dataclass

from chalkpoint.working.working import Working
from chalkpoint.working.written import Row

__all__ = ["Met", "carries_of", "met_in"]


@dataclass(frozen=True, slots=True)
class Met:
    """What must be the same in every variant, whatever the numbers.

    carries    columns of the addition that are carried into
    chain      the most of them in a row
    threes     columns where 1, 1 and a carry are added
    moved      which number is moved to match the exponents: "first", "second" or "neither"
    repair     places that the sum or the pattern is moved to be normalised, to the right counted positive
    minus_one  whether an operand's mantissa is -1.0
    alone      whether the answer alone earns full marks
    """

    carries: int = 0
    chain: int = 0
    threes: int = 0
    moved: str = "neither"
    repair: int = 0
    minus_one: bool = False
    alone: bool = True


def met_in(working: Working, *, alone: bool) -> Met:
    """Return what a pupil meets in *working*.

    >>> from chalkpoint.working.work import work
    >>> met_in(work("subtract", "8.875", "3.6875"), alone=True)
    Met(carries=4, chain=3, threes=1, moved='second', repair=-1, minus_one=False, alone=True)
    """
    carries = carries_of(working)
    return Met(
        carries.count("1"),
        max(map(len, carries.split(" ")), default=0),
        _threes(working, carries),
        _moved(working),
        sum(step.rows[-1].moved for step in working.steps if step.rule in REPAIRS and step.rows),
        any(_is_minus_one(working.question.format, pattern) for pattern in working.question.patterns),
        alone,
    )


REPAIRS = ("normalise", "repair")


def carries_of(working: Working) -> str:
    """Return the carries of the addition, "1" over each column carried into and " " over others; "" without one.

    >>> from chalkpoint.working.work import work
    >>> carries_of(work("add", "0.0110000 0001", "0.0110000 0001")).strip()
    '11'
    """
    rows = [row.carries for row in _addition(working) if row.carries]
    return rows[0] if rows else ""


def _addition(working: Working) -> list[Row]:
    return [row for step in working.steps if step.rule == "add" for row in step.rows]


def _threes(working: Working, carries: str) -> int:
    added = [row.bits for row in _addition(working) if row.bits][:2]
    if len(added) < 2:
        return 0
    columns = zip(carries[::-1], added[0][::-1], added[1][::-1], strict=False)
    return sum(column == ("1", "1", "1") for column in columns)


def _moved(working: Working) -> str:
    for step in working.steps:
        if step.rule == "align":
            before, after = step.before, step.after
            for name in ("first", "second"):
                if getattr(before, f"{name}_exponent", 0) != getattr(after, f"{name}_exponent", 0):
                    return name
    return "neither"


def _is_minus_one(fmt: object, pattern: object) -> bool:
    places = getattr(fmt, "places", None)
    return places is not None and getattr(pattern, "mantissa", None) == -(1 << places)
