"""A pupil's written line, read: one spelling for what is written alike, and its value in decimal.

Whatever can be read is taken, right or wrong, because the line that does not fit is what a class wants to
see. What cannot be read at all is refused in one sentence that does not give the line away.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from chalkpoint.marking.answer import read_answer
from chalkpoint.marking.decoding import binary_value
from chalkpoint.marking.family_sheets import ROWS
from chalkpoint.marking.judging import part_of_line
from chalkpoint.marking.lines_ahead import ANSWER
from chalkpoint.marking.patterns import Reading
from chalkpoint.marking.reading import FIXED_POINT, read_place
from chalkpoint.numbers.bits import with_point
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.families import FLOATING, WHOLE
from chalkpoint.numbers.formats import FloatFormat, Pattern
from chalkpoint.numbers.named import AnyPattern, value_or_none, written_example
from chalkpoint.working.question import Question

__all__ = ["LineRead", "is_number", "read_line"]

LONGEST = 80  # characters of a line: more than any format here needs
EXPONENTS = ("exponent", "exponents", "point", "range")  # lines that hold an exponent alone
VALUES = ("scale", "absolute", "relative")  # lines that hold a value
NUMBERS = ("sign", "weigh")  # further lines of other families that hold a number
UNSIGNED = ("size",)  # lines whose digits have no sign place of their own


@dataclass(frozen=True, slots=True)
class LineRead:
    """A line as it was read.

    spelling  the one spelling of everything written alike, and what is shown
    value     its value in decimal, or "" where it has none (a word, digits that do not fill the row)
    mantissa  the row's digits with their point, "" where they are not a mantissa of the format
    exponent  the exponent's bits where one is written and fits its field, or ""
    """

    spelling: str
    value: str
    mantissa: str = ""
    exponent: str = ""


def read_line(question: Question, rule: str, text: str, *, own: str = "") -> LineRead:
    """Return *text*, written as the line *rule* of *question*, read.

    own  what the right rules write on that line (`lines_on`): the place of its point, and its exponent

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> asked = ask("subtract", "8.875", "3.6875", course=Course())
    >>> read_line(asked, "align", "0001 1101", own="0.0011101 × 2^4")
    LineRead(spelling='0.0011101', value='3.625', mantissa='0.0011101', exponent='')
    >>> read_line(asked, "answer", "01010100|0011").spelling
    '0.1010100 0011'

    Raises EntryError where nothing in *text* can be read, or a value is written for a pattern.
    """
    plain = text.rstrip(" .\t\r\n").lstrip()  # a full stop ends a sentence, not a line
    if len(plain) > LONGEST:
        raise EntryError(f"{plain[:12]!r}... is {len(plain)} characters long; a line has {LONGEST} at most")
    question, rule = part_of_line(question, rule)
    if question.operation.name == "range":  # each end is an answer of its own
        rule = ANSWER
    if question.operation.name == "choose-format":  # bits are counted there, and a format is named
        return LineRead(" ".join(plain.split()), "")
    rows = read_place(question, rule, plain)
    if not rows or not all(row.says_something for row in rows):
        raise EntryError(f"{plain!r} cannot be read as this line; {_wanted(question, rule)}")
    if rule == ANSWER and "value without its pattern" in read_answer(question, plain).manners:
        raise EntryError(f"{plain!r} is a value, which shows no pattern; {_wanted(question, rule)}")
    read = _read(question, rule, plain, own)
    if len(read.spelling) > LONGEST:
        raise EntryError(f"{plain!r} is far outside {question.format}; {_wanted(question, rule)}")
    if (
        _read(question, rule, read.spelling.rstrip("."), own).spelling != read.spelling
    ):  # it would be taken for another
        return LineRead(" ".join(plain.split()), "")
    return read


def _read(question: Question, rule: str, text: str, own: str) -> LineRead:
    if question.format.family != FLOATING:
        return _answer_in_family(question, text) if rule == ANSWER else _line_in_family(question, rule, text)
    return _answer(question, text) if rule == ANSWER else _working(question, rule, text, own)


def is_number(question: Question, rule: str) -> bool:
    """Tell whether the line *rule* is a number rather than a row of bits.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> is_number(ask("add", "1.5", "2.5", course=Course()), "add")
    False
    """
    return rule in EXPONENTS or rule in VALUES or question.operation.name == "decode"


def _wanted(question: Question, rule: str) -> str:
    """Return what would be accepted, in words that tell nothing of this question."""
    point = question.course.point
    if question.operation.name == "decode" or rule in VALUES:
        return f"write a value, such as {write_value(Fraction(-21, 4), point=point)}"
    if rule in EXPONENTS:
        return "write an exponent, such as -2, or its bits"
    example = written_example(question.format, point=question.course.binary_point == "shown")
    if rule == ANSWER:
        return f"write a pattern, such as {example}, or a word such as overflow"
    if question.format.family != FLOATING:
        return f"write a row of 0s and 1s, such as {example.split()[-1]}"
    return f"write a row of 0s and 1s, such as {example.split()[0 if not question.format.exponent_first else -1]}"


# === The answer ===


def _answer(question: Question, text: str) -> LineRead:
    """Return a pattern with its point as the course shows it, a value, or a word."""
    fmt, point = question.float_format, question.course.point
    entries = read_place(question, ANSWER, text)
    entry = entries[-1] if entries else Reading(text)
    if _misplaced(entry) or (question.operation.name == "encode" and not entry.exponent and not entry.word):
        return LineRead(" ".join(text.split()), "")
    spelling = read_answer(question, text).spelling
    if question.operation.name in {"decode", "error"}:
        return LineRead(spelling, spelling if entry.value is not None else "")
    pattern = _pattern(question, spelling)
    if pattern is None:
        return LineRead(spelling, "")
    return LineRead(
        fmt.write(pattern, point=question.course.binary_point == "shown"),
        write_value(fmt.value(pattern), point=point),
        with_point(fmt.mantissa.write(pattern.mantissa), fmt.places),
        fmt.exponent.write(pattern.exponent),
    )


def _misplaced(entry: Reading) -> bool:
    """Tell whether a pattern is written with its point elsewhere than after the sign bit."""
    return bool(entry.exponent) and ("." in entry.exponent or entry.digits.find(".") not in {-1, 1})


def _pattern(question: Question, spelling: str) -> Pattern | None:
    """Return the pattern that *spelling* is, bit by bit; None where its fields are too long or too short."""
    fields, fmt = spelling.split(), question.float_format
    lengths = [fmt.mantissa_bits, fmt.exponent_bits]
    wanted = lengths[::-1] if fmt.exponent_first else lengths
    if [len(field) for field in fields] != wanted or set("".join(fields)) - {"0", "1"}:
        return None
    pattern: Pattern = fmt.read("".join(fields))
    return pattern


# === Whole numbers, fixed point, and formats of a sign, an exponent and a size ===


def _answer_in_family(question: Question, text: str) -> LineRead:
    """Return a pattern, its fields separated as in the format, a value, or a word."""
    answer, fmt = read_answer(question, text), question.format
    if answer.several or not answer.readable:
        return LineRead(" ".join(text.split()), "")
    if question.operation.name == "decode":
        return LineRead(answer.spelling, answer.spelling if answer.values else "")
    bits = answer.spelling.replace(" ", "")
    if len(bits) != fmt.bits or set(bits) - {"0", "1"}:
        return LineRead(answer.spelling, "")
    pattern: AnyPattern = fmt.read(bits)
    value = value_or_none(fmt, pattern)
    shown = fmt.write(pattern, point=question.course.binary_point == "shown")
    return LineRead(shown, "" if value is None else write_value(value, point=question.course.point))


def _line_in_family(question: Question, rule: str, text: str) -> LineRead:
    """Return what is written on a line: rows of bits, sizes with their exponents, or a number."""
    read = [_entry_in_family(question, rule, entry) for entry in read_place(question, rule, text)]
    values = [one.value for one in read if one.value]
    return LineRead("; ".join(one.spelling for one in read), "; ".join(values))


def _entry_in_family(question: Question, rule: str, entry: Reading) -> LineRead:
    fmt, point = question.format, question.course.point
    digits = entry.digits if rule not in (*EXPONENTS, *VALUES, *NUMBERS) else ""
    if not digits:
        value = "" if entry.value is None else write_value(entry.value, point=point)
        return LineRead(value or entry.word or " ".join(entry.text.split()), value)
    if rule in ROWS:
        whole = len(entry.bare) == fmt.bits and fmt.family == WHOLE
        value = write_value(question.fixed_format.value(entry.bare), point=point) if whole else ""
        return LineRead(with_point(entry.bare, fmt.places) if whole and "." in digits else digits, value)
    size = binary_value(f"0{digits}") * Fraction(2) ** int(entry.exponent or 0)
    return LineRead(f"{digits}{_power(entry, None)}", write_value(size, point=point))


# === A line of working ===


def _working(question: Question, rule: str, text: str, own: str) -> LineRead:
    rows, owned = read_place(question, rule, text), read_place(question, rule, own) if own else ()
    read = [
        _row(question, rule, row, owned[min(at, len(owned) - 1)] if owned else None)
        for at, row in enumerate(rows)
    ]
    if len(read) == 1:
        return read[0]
    return LineRead(
        "; ".join(one.spelling for one in read), "; ".join(one.value for one in read if one.value)
    )


def _row(question: Question, rule: str, entry: Reading, own: Reading | None) -> LineRead:
    if entry.word:
        return LineRead(entry.word, "")
    point = question.course.point
    if rule in EXPONENTS and not (entry.digits and entry.exponent):
        return _number(sorted(entry.exponents(question.float_format)), entry, point)
    if rule in VALUES or not entry.digits or not _is_row(question, entry):
        value = "" if entry.value is None else write_value(entry.value, point=point)
        return LineRead(
            "".join(entry.text.replace("_", "").split(" ")) if value else entry.text.strip(), value
        )
    return _bits(question, rule, entry, own)


def _is_row(question: Question, entry: Reading) -> bool:
    """Tell whether digits are a row of bits; in decoding only a whole mantissa is, the rest are numbers."""
    return question.operation.name != "decode" or len(entry.bare) == question.float_format.mantissa_bits


def _valued(value: Fraction, point: str) -> LineRead:
    written = write_value(value, point=point)
    return LineRead(written, written)


def _number(exponents: list[int], entry: Reading, point: str) -> LineRead:
    """Return an exponent written alone; unchanged where it may be read in two ways."""
    if len(exponents) != 1:
        return LineRead(entry.text.strip(), "")
    return _valued(Fraction(exponents[0]), point)


def _bits(question: Question, rule: str, entry: Reading, own: Reading | None) -> LineRead:
    digits, places = entry.digits, _places(question, rule, own)
    if (
        rule not in FIXED_POINT
        and "." not in digits
        and len(digits) in {places + 1, len(own.bare) if own else 0}
    ):
        digits = with_point(digits, places)
    digits = _plain(digits, rule, places, own)
    exponents = entry.exponents(question.float_format) if entry.exponent else set()
    exponent = next(iter(exponents)) if len(exponents) == 1 else None
    tail = "" if not entry.exponent else _power(entry, exponent)
    lead = f"({entry.lead}) " if entry.lead else ""
    value = "" if "." not in digits[1:] or lead else _value(question, rule, digits, exponent, own)
    mantissa = digits if _is_mantissa(digits, question.float_format) and not lead else ""
    return LineRead(f"{lead}{digits}{tail}", value, mantissa, _field(exponent, question.float_format))


def _is_mantissa(digits: str, fmt: FloatFormat) -> bool:
    left, _, right = digits.partition(".")
    return len(left) == 1 and len(right) == fmt.places


def _field(exponent: int | None, fmt: FloatFormat) -> str:
    if exponent is None or not fmt.lowest_exponent <= exponent <= fmt.highest_exponent:
        return ""
    return fmt.exponent.write(exponent)


def _places(question: Question, rule: str, own: Reading | None) -> int:
    """Return how many places follow the point in *rule*'s row."""
    if own and "." in own.digits:
        return len(own.digits.partition(".")[2])
    return int(question.float_format.mantissa_bits) - 1


def _plain(digits: str, rule: str, places: int, own: Reading | None) -> str:
    """Return a row without copies of its sign in front, and with the 0s that fill its places behind.

    Marking takes such rows for one another; not in fixed point, where each digit is looked at.
    """
    left, point, right = digits.partition(".")
    if not point or not left or rule in FIXED_POINT:
        return digits
    wanted = max(1, len(own.digits.partition(".")[0])) if own else 1
    while len(left) > wanted and left[0] == left[1]:
        left = left[1:]
    if len(left) > 1:
        return f"{left}.{right}"  # a carry or an extra sign place comes first: the row is kept
    return f"{left}.{right.rstrip('0').ljust(places, '0')}"


def _value(question: Question, rule: str, digits: str, exponent: int | None, own: Reading | None) -> str:
    """Return what the row is worth; an exponent left out is the line's own."""
    number = binary_value(f"0{digits}" if rule in UNSIGNED else digits)
    if exponent is None and own is not None and own.exponent:
        found = own.exponents(question.float_format)
        exponent = min(found) if found else None
    return write_value(number * Fraction(2) ** (exponent or 0), point=question.course.point)


def _power(entry: Reading, exponent: int | None) -> str:
    """Return the exponent behind a row; unchanged where the format could not have it."""
    if exponent is not None:
        return f" \u00d7 2^{write_value(Fraction(exponent))}"
    return f" \u00d7 2^{entry.exponent}" if entry.power else f" {entry.exponent}"
