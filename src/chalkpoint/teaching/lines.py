"""A pupil's written line, read: one spelling for what is written alike, and its value in decimal.

Whatever can be read is taken, right or wrong, because the line that does not fit is what a class wants to
see. What cannot be read at all is refused in one sentence that does not give the line away.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from chalkpoint.marking.entries import Entry, parse_entry
from chalkpoint.marking.following import ANSWER
from chalkpoint.marking.readings import binary_value
from chalkpoint.marking.sheets import FIXED_POINT, rows_of
from chalkpoint.marking.spelling import one_spelling
from chalkpoint.numbers.bits import with_point
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import write_value
from chalkpoint.working.question import Question

__all__ = ["LineRead", "is_number", "read_line"]

LONGEST = 80  # characters of a line: more than any format here needs
EXPONENTS = ("exponent", "exponents", "point", "range")  # lines on which an exponent stands alone
VALUES = ("scale", "absolute", "relative")  # lines on which a value stands
UNSIGNED = ("size",)  # lines whose digits have no sign place of their own


@dataclass(frozen=True, slots=True)
class LineRead:
    """A line as it was read.

    spelling  the one spelling of everything written alike, and what is shown
    value     its value in decimal, or "" where it has none (a word, digits that do not fill the row)
    """

    spelling: str
    value: str


def read_line(question: Question, rule: str, text: str, *, own: str = "") -> LineRead:
    """Return *text*, written as the line *rule* of *question*, read.

    own  what the right rules write on that line (`lines_on`): where its point stands, and its exponent

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> asked = ask("subtract", "8.875", "3.6875", course=Course())
    >>> read_line(asked, "align", "0001 1101", own="0.0011101 × 2^4")
    LineRead(spelling='0.0011101', value='3.625')
    >>> read_line(asked, "answer", "01010100|0011").spelling
    '0.1010100 0011'

    Raises EntryError where nothing in *text* can be read.
    """
    if len(text) > LONGEST:
        raise EntryError(f"{text[:12]!r}... is {len(text)} characters long; a line has {LONGEST} at most")
    rows = rows_of(text, question, "answer" if rule == ANSWER else rule)
    if not all(map(_is_something, rows)):
        raise EntryError(f"{text.strip()!r} cannot be read as this line; {_wanted(question, rule)}")
    if rule == ANSWER:
        return _answer(question, text)
    owned = rows_of(own, question, rule) if own else rows[:0]
    read = [
        _row(question, rule, row, owned[min(at, len(owned) - 1)] if owned else None)
        for at, row in enumerate(rows)
    ]
    return LineRead(
        "; ".join(one.spelling for one in read), "; ".join(one.value for one in read if one.value)
    )


def is_number(question: Question, rule: str) -> bool:
    """Tell whether the line *rule* is a number rather than a row of bits."""
    return rule in EXPONENTS or rule in VALUES or question.operation.name == "decode"


def _is_something(entry: Entry) -> bool:
    return bool(entry.word or entry.digits or entry.exponent or entry.value is not None)


def _wanted(question: Question, rule: str) -> str:
    """Return what would be accepted, in words that tell nothing of this question."""
    point = question.course.point
    if question.operation.name == "decode" or rule in VALUES:
        return f"write a value, such as {write_value(Fraction(-21, 4), point=point)}"
    if rule in EXPONENTS:
        return "write an exponent, such as -2, or its bits"
    example = question.format.write(question.format.example, point=question.course.binary_point == "shown")
    if rule == ANSWER:
        return f"write a pattern, such as {example}, or a word such as overflow"
    return f"write a row of 0s and 1s, such as {example.split()[0 if not question.format.exponent_first else -1]}"


# === The answer ===


def _answer(question: Question, text: str) -> LineRead:
    """Return a pattern with its point as the course shows it, a value, or a word."""
    spelling, fmt, point = one_spelling(question, text), question.format, question.course.point
    entry = parse_entry(spelling, fmt, point=point)
    if question.operation.name in {"decode", "error"}:
        return LineRead(spelling, spelling if entry.value is not None else "")
    pattern = _pattern(question, spelling)
    if pattern is None:
        return LineRead(spelling, "")
    shown = fmt.write(pattern, point=question.course.binary_point == "shown")
    return LineRead(shown, write_value(fmt.value(pattern), point=point))


def _pattern(question: Question, spelling: str) -> object | None:
    """Return the pattern that *spelling* is, bit by bit; None where its fields are too long or too short."""
    fields, fmt = spelling.replace(".", "").split(), question.format
    lengths = [fmt.mantissa_bits, fmt.exponent_bits]
    wanted = lengths[::-1] if fmt.exponent_first else lengths
    if [len(field) for field in fields] != wanted or set("".join(fields)) - {"0", "1"}:
        return None
    pattern: object = fmt.read("".join(fields))
    return pattern


# === A line of working ===


def _row(question: Question, rule: str, entry: Entry, own: Entry | None) -> LineRead:
    if entry.word:
        return LineRead(entry.word, "")
    point = question.course.point
    if rule in EXPONENTS and not (entry.digits and entry.exponent):
        return _number(sorted(entry.exponents(question.format)), entry, point)
    if not entry.digits:
        return LineRead(entry.text.strip(), "") if entry.value is None else _valued(entry.value, point)
    if rule in VALUES or (
        question.operation.name == "decode" and not _fills(entry, question.format.mantissa_bits)
    ):
        return _valued(binary_value(entry.digits) if entry.value is None else entry.value, point)
    return _bits(question, rule, entry, own)


def _fills(entry: Entry, width: int) -> bool:
    return len(entry.bare) == width


def _valued(value: Fraction, point: str) -> LineRead:
    written = write_value(value, point=point)
    return LineRead(written, written)


def _number(exponents: list[int], entry: Entry, point: str) -> LineRead:
    """Return an exponent that stands alone; as it stands where it may be read in two ways."""
    if len(exponents) != 1:
        return LineRead(entry.text.strip(), "")
    return _valued(Fraction(exponents[0]), point)


def _bits(question: Question, rule: str, entry: Entry, own: Entry | None) -> LineRead:
    digits, places = entry.digits, _places(question, rule, own)
    if "." not in digits and len(digits) in {places + 1, len(own.bare) if own else 0}:
        digits = with_point(digits, places)
    digits = _plain(digits, rule, places)
    exponents = entry.exponents(question.format) if entry.exponent else set()
    (exponent,) = exponents if len(exponents) == 1 else (None,)
    tail = (
        ""
        if not entry.exponent
        else f" \u00d7 2^{_signed(exponent)}"
        if exponent is not None
        else f" {entry.exponent}"
    )
    lead = f"({entry.lead}) " if entry.lead else ""
    value = "" if "." not in digits or lead else _value(question, rule, digits, exponent, own)
    return LineRead(f"{lead}{digits}{tail}", value)


def _places(question: Question, rule: str, own: Entry | None) -> int:
    """Return how many places stand after the point of *rule*'s row."""
    if own and "." in own.digits:
        return len(own.digits.partition(".")[2])
    return int(question.format.mantissa_bits) - 1


def _plain(digits: str, rule: str, places: int) -> str:
    """Return a row without the copies of its sign in front, and with the 0s that fill its places."""
    if "." not in digits:
        return digits
    left, right = digits.split(".")
    if rule in UNSIGNED:
        left, places = left.lstrip("0") or "0", 0
    elif left:
        kept = left.lstrip(left[0])
        left = left[0] + kept
    if rule in FIXED_POINT:
        places = 0
    right = right.rstrip("0").ljust(places, "0")
    return f"{left or '0'}.{right or '0'}"


def _value(question: Question, rule: str, digits: str, exponent: int | None, own: Entry | None) -> str:
    """Return what the row is worth; an exponent left out is the one that stands on the line."""
    number = binary_value(f"0{digits}" if rule in UNSIGNED else digits)
    if exponent is None and own is not None and own.exponent:
        found = own.exponents(question.format)
        exponent = min(found) if found else None
    return write_value(number * Fraction(2) ** (exponent or 0), point=question.course.point)


def _signed(exponent: int) -> str:
    return write_value(Fraction(exponent))
