"""Cells: what a sheet program made of an answer, put right only where there is one way to do it.

A sheet program reads 0011 as the number 11 and 0.1101000 as 0.1101. A number is given its zeros back
where the place it stands in has a fixed width and the number cannot be meant as one; where it can be
meant either way the cell is left as it is and named.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import isfinite

from chalkpoint.marking.patterns import SHORTENED
from chalkpoint.numbers.named import is_school
from chalkpoint.setting.answering import answer_format
from chalkpoint.working.question import Question

__all__ = ["LONGEST", "Trouble", "cell_text", "column_name", "tame", "untame"]

PATTERNS = ("encode", "normalise", "negate", "add", "subtract", "multiply", "divide", "sum", "convert")
UNPADDED = ("decimal", "size", "sign", "point", "exponents", "product", "quotient", "value", "range")
SHORT = 4  # "1010" may be a number; a longer run of 0s and 1s is bits
SHOWN = 40  # characters of a cell that are shown where it cannot be read
LONGEST = 200  # characters of an answer: more than any format's working has
#: What a sheet program may run when it opens a .csv, however many apostrophes stand before it ...
FORMULA = re.compile(r"'*[=+\-@\t\r]")
#: ... and what it only reads as a number: -5.25 is an ordinary answer, and stays as it is.
NUMBER = re.compile(r"[+-]?[\d.,]*")
ERRORS = ("#REF!", "#VALUE!", "#NAME?", "#NUM!", "#DIV/0!", "#N/A")


@dataclass(frozen=True, slots=True)
class Trouble:
    """One cell that was repaired, or that the teacher should look at.

    place     row and column
    written   its text
    what      what was done, or why it could not be read
    repaired  whether it was put right
    """

    place: str
    written: str
    what: str
    repaired: bool = False

    def __str__(self) -> str:
        return f"{self.place}: {self.written!r} {self.what}"


def column_name(at: int) -> str:
    """Return the letters of a column, counted from 0.

    >>> column_name(0), column_name(27)
    ('A', 'AB')
    """
    name = ""
    at += 1
    while at:
        at, letter = divmod(at - 1, 26)
        name = chr(ord("A") + letter) + name
    return name


def tame(text: str) -> str:
    """Return *text* as a cell of a .csv that no sheet program runs: `untame` gives it back.

    >>> tame("=Odo()"), tame("-1/4"), tame("-5.25"), tame("H01")
    ("'=Odo()", "'-1/4", '-5.25', 'H01')
    """
    return f"'{text}" if _may_run(text) else text


def untame(text: str) -> str:
    """Return the text of a cell before `tame`.

    >>> untame("'=Odo()"), untame("-5.25"), untame("'tis")
    ('=Odo()', '-5.25', "'tis")
    """
    return text[1:] if text.startswith("'") and _may_run(text[1:]) else text


def _may_run(text: str) -> bool:
    return bool(FORMULA.match(text)) and not NUMBER.fullmatch(text)


def cell_text(cell: object, question: Question, line: str, place: str) -> tuple[str, Trouble | None]:
    """Return what a cell says on *line*, and what was done to it or is wrong with it, if anything.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> asked = ask("add", "2.75", "-1.5", course=Course())
    >>> cell_text(11, asked, "exponent", "row 2, column E")[0]
    '0011'
    >>> cell_text(10100, asked, "add", "row 3, column E")[0]
    '00010100'
    """
    if cell is None:
        return "", None
    if isinstance(cell, str):
        text = untame(cell.strip())
        if text in ERRORS:
            return "", Trouble(place, text, "is an error of the sheet program, not an answer")
        if SHORTENED.fullmatch(text):
            why = "was shortened by a sheet program, its last digits are gone; type it as text"
            return text, Trouble(place, text, why)
        return (text, None) if len(text) <= LONGEST else _too_long(text, place)
    if isinstance(cell, bool):
        return "", Trouble(place, str(cell), "is a truth value, not an answer")
    if not isinstance(cell, int | float) or (isinstance(cell, float) and not isfinite(cell)):
        why = "is neither text nor a number (sheet programs make dates of 3/4); type it as text"
        return "", Trouble(place, str(cell)[:SHOWN], why)
    if cell != int(cell):
        return _with_places(float(cell), question, line, place)
    digits = str(int(cell))
    return _with_zeros(digits, question, line, place) if len(digits) <= LONGEST else _too_long(digits, place)


def _too_long(text: str, place: str) -> tuple[str, Trouble]:
    return "", Trouble(
        place, f"{text[:SHOWN]}\u2026", f"has {len(text):,} characters; up to {LONGEST} are read"
    )


def _with_zeros(digits: str, question: Question, line: str, place: str) -> tuple[str, Trouble | None]:
    """Give a whole number back the zeros in front that a sheet program took."""
    width = _width(question, line)
    if not width or set(digits) - {"0", "1"} or len(digits) >= width:
        return digits, None
    if line == "exponent":
        if digits in {"0", "1"}:
            return digits, None  # the same either way
        if int(digits) <= question.float_format.highest_exponent:
            return digits, Trouble(
                place, digits, "may be a number or bits that lost their zeros; type it as text"
            )
    elif line == "answer" and len(digits) <= SHORT:
        return digits, Trouble(place, digits, "may be a value or bits that lost their zeros; type it as text")
    padded = digits.rjust(width, "0")
    return padded, Trouble(
        place, digits, f"was read as {padded}: a sheet program took the zeros", repaired=True
    )


def _width(question: Question, line: str) -> int:
    """Return how many bits *line* has; 0 where it is no row of bits."""
    fmt = answer_format(question) if line == "answer" else question.format
    if question.operation.name not in PATTERNS:
        return 0
    if not is_school(fmt):
        return int(fmt.bits) if line == "answer" else 0
    if line == "answer":
        return int(fmt.bits)
    if line == "exponent":
        return int(fmt.exponent_bits)
    return 0 if line in UNPADDED else int(fmt.mantissa_bits)


def _with_places(number: float, question: Question, line: str, place: str) -> tuple[str, Trouble | None]:
    """Return a number with a decimal point as text; a row of bits gets back the zeros behind it."""
    text = repr(number)
    whole, _, fraction = text.partition(".")
    if "e" in text or _width(question, line) == 0 or set(whole + fraction) - {"0", "1"}:
        return text, None
    if line in {"answer", "exponent"} or len(whole) > 1:
        return text, None
    width = _width(question, line)
    padded = f"{whole}.{fraction.ljust(width - 1, '0')}"
    return padded, Trouble(
        place, text, f"was read as {padded}: a sheet program took the zeros", repaired=True
    )
