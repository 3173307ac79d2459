"""One spelling for each answer, so that what a pupil writes can be held against what a way of working writes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from chalkpoint.marking.entries import (
    WORDS,
    Entry,
    parse_entry,
    says_something,
    split_answers,
    without_equals,
)
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import parse_value, write_value
from chalkpoint.numbers.fitting import fit
from chalkpoint.numbers.named import format_called, is_school, value_or_none
from chalkpoint.numbers.rounding import ROUNDINGS
from chalkpoint.setting.families import COMPOSITE
from chalkpoint.working.operands import read_operand
from chalkpoint.working.procedures import BETWEEN, parts_of
from chalkpoint.working.question import Question

__all__ = [
    "answers_apart",
    "can_be_read",
    "is_value",
    "one_spelling",
    "patterns_in",
    "plainly_put",
    "put_apart",
]


def answers_apart(question: Question, written: Mapping[str, str]) -> dict[str, str]:
    """Return *written*, by line, with several answers that stand in one place each on a line of its own.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> cost = ask("error", "4.6", course=Course())
    >>> answers_apart(cost, {"answer": "01001001 0011; 0.0375; 3/368"})
    {'answer': '01001001 0011', 'absolute': '0.0375', 'relative': '3/368'}
    """
    return put_apart(tuple(parts_of(question.operation.name)), written)


def plainly_put(question: Question, line: str, text: str) -> str:
    """Return *text*, written on *line*, with an equation as what it says; all else as it stands.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> plainly_put(ask("subtract", "6.5", "1.25", course=Course()), "exponent", "1 + 2 = 3")
    '3'
    """
    if "=" not in text:
        return text
    bits = question.operation.name not in VALUED and line not in {"decimal", "absolute", "relative"}
    return without_equals(text, bits=bits, final=line == "answer")


def put_apart(parts: Sequence[str], written: Mapping[str, str]) -> dict[str, str]:
    """Return *written* with the answers that stand in one place on the lines *parts*, in that order."""
    pieces = written.get("answer", "").split(BETWEEN.strip())
    if not parts or len(pieces) == 1:
        return dict(written)
    apart = {part: piece.strip() for part, piece in zip(parts, pieces, strict=False) if piece.strip()}
    return apart | {line: text for line, text in written.items() if line != "answer"}


#: Operations whose answer is no pattern, or whose patterns may be given by their values.
VALUED = ("decode", "error", "range", "choose-format", "explain")
SPECIALS = {
    "infinity": "infinity",
    "+infinity": "infinity",
    "inf": "infinity",
    "-infinity": "minus infinity",
    "minus infinity": "minus infinity",
    "-inf": "minus infinity",
    "nan": "not a number",
    "not a number": "not a number",
}


def one_spelling(question: Question, text: str) -> str:
    """Return *text* as `write_answer` would write it; "" for a blank; as it stands where it cannot be read.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> sum_of = ask("add", "2.75", "-1.5", course=Course())
    >>> one_spelling(sum_of, "0.101_0000|0001"), one_spelling(sum_of, "Overflow."), one_spelling(sum_of, "1 1/4")
    ('01010000 0001', 'overflow', '01010000 0001')
    >>> one_spelling(ask("decode", "1.0110000 1110", course=Course()), "-5/32")
    '\u22120.15625'
    """
    if not text.strip():
        return ""
    if question.operation.name in COMPOSITE or not is_school(question.format):
        return in_any_format(question, _answers(question, text)[0])
    fmt, point = question.format, question.course.point
    entry = _entry(question, text)
    if question.operation.name == "decode":
        return "0" if entry.word == "zero" else _value(entry, point) or text.strip()
    if entry.word:
        return str(fmt.write(fmt.zero)) if entry.word == "zero" else entry.word
    return _pattern(question, entry) or text.strip()


def _answers(question: Question, text: str) -> list[str]:
    return split_answers(plainly_put(question, "answer", text))


def _entry(question: Question, text: str) -> Entry:
    """Return the first answer in *text* that can be read."""
    entries = [
        parse_entry(part, question.format, point=question.course.point) for part in _answers(question, text)
    ]
    return next((entry for entry in entries if entry.digits or entry.value is not None), entries[0])


def can_be_read(question: Question, text: str) -> bool:
    """Tell whether *text* is an answer of any kind, right or wrong: bits, a value, a word of the trade.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> sum_of = ask("add", "2.75", "-1.5", course=Course())
    >>> [can_be_read(sum_of, text) for text in ("0101", "1.25", "overflow", "see over", "5,25", "?")]
    [True, True, True, False, False, False]
    """
    if not says_something(text):
        return False
    if question.operation.name in COMPOSITE or not is_school(question.format):
        return _read_in_any_format(question, _answers(question, text)[0])
    entry = _entry(question, text)
    return bool(entry.word or entry.digits or entry.exponent or entry.value is not None)


def _read_in_any_format(question: Question, text: str) -> bool:
    plain = _plain(text)
    if question.operation.name in {"choose-format", "explain"} or plain in WORDS or plain in SPECIALS:
        return True
    if not set(plain) - set("01. ") or parse_value_or_none(text, question.course.point) is not None:
        return True
    return _operand(question, text) is not None


def is_value(question: Question, text: str) -> bool:
    """Tell whether *text* is a value where a pattern is asked for.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> sum_of = ask("add", "2.75", "-1.5", course=Course())
    >>> [is_value(sum_of, text) for text in ("1 1/4", "01010000 0001", "01010000 0001 = 1.25", "overflow")]
    [True, False, False, False]
    """
    if question.operation.name in VALUED or not text.strip():
        return False
    if question.operation.name in COMPOSITE or not is_school(question.format):
        read = _operand(question, _answers(question, text)[0])
        return read is not None and read[1] is not None
    entry = _entry(question, text)
    bits = len(entry.bare) == question.format.mantissa_bits or (entry.bare and entry.exponent)
    return not (entry.word or bits) and entry.value is not None


def patterns_in(question: Question, text: str) -> list[str]:
    """Return the different patterns that *text* gives as answers: more than one is no answer.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> sum_of = ask("add", "2.75", "-1.5", course=Course())
    >>> patterns_in(sum_of, "01010000 0001 or 0.1010000 0010"), patterns_in(sum_of, "0.1010000 0001 = 1.25")
    (['01010000 0001', '01010000 0010'], ['01010000 0001'])
    """
    parts = _answers(question, text)
    found = [one_spelling(question, part) for part in parts if not is_value(question, part)]
    return list(dict.fromkeys(spelling for spelling in found if set(spelling) <= set("01 ") and spelling))


def _operand(question: Question, text: str) -> tuple[Any, Fraction | None] | None:
    """Return the pattern that *text* says in the answer's format, and its value where it says a value; or None."""
    try:
        return read_operand(_plain(text), question.target or question.course)
    except EntryError:
        return None


def _plain(text: str) -> str:
    return text.strip().replace("\u2212", "-").replace("_", "").replace("|", " ").lower().rstrip(".")


def _value(entry: Entry, point: str) -> str:
    return "" if entry.value is None else write_value(entry.value, point=point)


def _pattern(question: Question, entry: Entry) -> str:
    """Return the fields as they stand, or the pattern of a value that has one."""
    fmt = question.format
    if entry.bare and entry.exponent and not entry.power:
        fields = [entry.bare, entry.exponent]
        return entry.lead + " ".join(reversed(fields) if fmt.exponent_first else fields)
    if entry.value is None:
        return ""
    if entry.value == 0:
        return str(fmt.write(fmt.zero))
    fitted = fit(entry.value, fmt, ROUNDINGS["cut"])
    pattern = fmt.zero._replace(mantissa=fitted.mantissa, exponent=fitted.exponent)
    exact = fmt.holds(fitted.exponent) and fmt.value(pattern) == entry.value
    return str(fmt.write(pattern)) if exact else ""


def in_any_format(question: Question, text: str) -> str:
    """Return *text* as the answer would be written, where the answer's format may be of any family.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> sum_of = ask("add", "6.5", "1.25", course=Course(format="Q5.3"))
    >>> [in_any_format(sum_of, text) for text in ("00111.110", "7 3/4", "0011 1110", "Overflow.")]
    ['00111110', '00111110', '00111110', 'overflow']
    """
    plain = _plain(text)
    if question.operation.name == "choose-format":
        return _format(text)
    if question.operation.name == "decode":
        entry = parse_value_or_none(text, question.course.point)
        return SPECIALS.get(plain, text) if entry is None else write_value(entry, point=question.course.point)
    fmt = (question.target or question.course).number_format
    if plain in WORDS:
        return str(fmt.write(fmt.zero)) if WORDS[plain] == "zero" else WORDS[plain]
    read = _operand(question, text)
    if read is None:
        return text
    pattern, given = read
    exact = given is None or value_or_none(fmt, pattern) == given
    return str(fmt.write(pattern)) if exact else text


def _format(text: str) -> str:
    try:
        return str(format_called(text))
    except EntryError:
        return text


def parse_value_or_none(text: str, point: str) -> Fraction | None:
    """Return the exact value *text* says, or None where it says none."""
    try:
        return parse_value(text, point=point)
    except EntryError:
        return None
