"""Rows of an addition with something behind them: the digits that fell off its end, or an exponent.

A group that can be no exponent of the sum is the tray. Where it may be either, the reading holds both.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from chalkpoint.marking.patterns import Reading, power_behind, read_pattern
from chalkpoint.working.question import Question

__all__ = ["ROWS_WITH_TRAY", "read_otherwise", "read_row"]

MOVED = ("align", "spare", "ready", "repair", "cut")  # lines on which digits fall off the end
ROWS_WITH_TRAY = (*MOVED, "negate", "add")
SAID = r"(?:lost|tray|bits?|fell|falls|fallen|off|dropped|drop|gone|left over|remainder)"
#: Digits that are said to have fallen off, before or behind them.
TOLD = re.compile(
    rf"[\s,(\[]*(?:\b{SAID}\b[\s:=]*)+(?P<behind>[01][01 ]*?)[\s)\]]*$"
    rf"|[\s,(\[]+(?P<before>[01]+)\s+(?:{SAID}\b[\s)\]]*)+$",
    re.IGNORECASE,
)
BEHIND = re.compile(r"(?<=[01])(?:\s*[|,/]\s*|-(?=[01])|(?=\s*[(\[]))[01 |()\[\]]+$")
MARKS = str.maketrans("|,/-()[]", " " * 8)


def read_row(question: Question, line: str, plain: str) -> Reading:
    """Return the row that *plain*, in plain characters, is on *line* of an addition or a subtraction.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> asked = ask("subtract", "8.875", "3.6875", course=Course())
    >>> one = read_row(asked, "align", "0.0011101 10")
    >>> one.digits, one.exponent, one.tray
    ('0.0011101', '', '10')
    >>> one = read_row(asked, "align", "0.0011101 0010")
    >>> one.exponent, one.other.tray
    ('0010', '0010')
    """
    fmt = question.float_format
    told = TOLD.search(plain)
    head, tray = (plain[: told.start()], told["behind"] or told["before"]) if told else (plain, "")
    exponent, power, row = power_behind(head.strip(), fmt)
    marked = BEHIND.search(row)
    barred = "|" in (marked[0] if marked else "") and line in MOVED
    groups = row.translate(MARKS).split() if marked else row.split()
    kept = _whole_row(groups, fmt.mantissa_bits)
    if not tray and kept:
        tray = "".join(groups[kept:])
        row = " ".join(groups[:kept])
    if not tray:
        read = read_pattern(plain, fmt, point=question.course.point)
        return _perhaps_uncut(read, line, fmt.mantissa_bits)
    read = read_pattern(row, fmt)._replace(exponent=exponent, power=power)
    fallen = read._replace(tray=tray)
    if not (told or exponent or barred) and _may_be_exponent(question, tray):
        return read._replace(exponent=tray, other=fallen)
    if line in MOVED or "1" not in tray:
        return fallen
    return read._replace(digits=read.digits + tray, other=fallen)


def read_otherwise(lines: Mapping[str, tuple[Reading, ...]]) -> dict[str, tuple[Reading, ...]]:
    """Return the lines whose last digits may be what fell off, read so."""
    return {
        line: tuple(row.other or row for row in rows)
        for line, rows in lines.items()
        if line in ROWS_WITH_TRAY and any(row.other for row in rows)
    }


def _whole_row(groups: list[str], digits: int) -> int:
    """Return how many of *groups* make a row of *digits*, with others behind them; 0 where none do."""
    for count in range(1, len(groups)):
        row = "".join(groups[:count])
        whole, point, fraction = row.partition(".")
        if set(row) <= set("01.") and (len(fraction) == digits - 1 if point else len(whole) == digits):
            return count if set("".join(groups[count:])) <= set("01") else 0
    return 0


def _perhaps_uncut(read: Reading, line: str, digits: int) -> Reading:
    """Return *read*, a row that was moved and has digits too many at its end: they may be to be cut yet."""
    whole, point, fraction = read.digits.partition(".")
    if line not in MOVED or not point or len(whole) != 1 or len(fraction) < digits:
        return read
    cut = len(whole) + digits
    return read._replace(other=read._replace(digits=read.digits[:cut], tray=read.digits[cut:]))


def _may_be_exponent(question: Question, group: str) -> bool:
    """Tell whether *group* can be the exponent of a row: in its bits, or one of the operands' as a number."""
    fmt = question.float_format
    if len(group) == fmt.exponent_bits:
        return True
    shared = {pattern.exponent for pattern in question.patterns}
    known = shared | {exponent + fmt.exponent.excess for exponent in shared}
    return group in {str(exponent) for exponent in known}
