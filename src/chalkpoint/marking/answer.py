"""An answer read: the pattern, value or word that is meant, and the manner in which it is written.

A pattern may be right but for its manner: its exponent in decimal, zeros left off, the fields in the other
order, a value in its place. Such an answer is neither right nor wrong in silence. It is judged by what it
means, and the manner is the teacher's to decide, once for a class.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any, NamedTuple

from chalkpoint.marking.characters import plain_text
from chalkpoint.marking.expressions import value_of
from chalkpoint.marking.reading import WORDS, Reading, asks_for_bits, read_place
from chalkpoint.marking.rows import same_digits
from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.families import FLOATING, WHOLE
from chalkpoint.numbers.fitting import fit
from chalkpoint.numbers.formats import FloatFormat, Pattern
from chalkpoint.numbers.named import AnyFormat, AnyPattern, format_called, is_school, value_or_none
from chalkpoint.numbers.orders import ORDERS
from chalkpoint.numbers.rounding import ROUNDINGS
from chalkpoint.setting.answering import answer_format
from chalkpoint.working.bringing import by_rule
from chalkpoint.working.course import Course
from chalkpoint.working.operands import read_operand, store
from chalkpoint.working.procedures import BETWEEN, parts_of
from chalkpoint.working.question import Question
from chalkpoint.working.work import work_question

__all__ = [
    "FILLED",
    "MANNERS",
    "TAKEN_WHERE",
    "Answer",
    "answers_apart",
    "as_meant",
    "read_answer",
    "spelling_of",
]

#: Manners of writing an answer, and the fields that a strict marker withholds for each.
MANNERS: dict[str, tuple[str, ...]] = {
    "exponent in decimal": ("exponent",),
    "leading zeros of the exponent left off": ("exponent",),
    "trailing zeros left off": ("mantissa",),
    "zeros added at the end": ("mantissa",),
    "sign bit left off": ("mantissa",),
    "leading zeros left off": ("mantissa", "exponent"),
    "fields in the other order": ("mantissa", "exponent"),
    "in hexadecimal": ("mantissa", "exponent"),
    "value without its pattern": ("mantissa", "exponent"),
    "pattern without its value": (),  # where an extreme's value is asked for
}
#: In which words each is taken elsewhere.
TAKEN_WHERE = {
    "exponent in decimal": "the exponent may be written in decimal",
    "leading zeros of the exponent left off": "the exponent may be written without its leading zeros",
    "trailing zeros left off": "the mantissa may be written without its trailing zeros",
    "zeros added at the end": "the mantissa may have further zeros at its end",
    "sign bit left off": "the mantissa of a positive number may be written without its sign bit",
    "leading zeros left off": "a pattern may be written without its leading zeros",
    "fields in the other order": "the exponent stands first",
    "in hexadecimal": "patterns may be written in hexadecimal",
    "value without its pattern": "a value may stand for its pattern",
    "pattern without its value": "a pattern may stand for its value",
}
OWN_VALUE = (
    "encode",
    "normalise",
    "negate",
)  # whose answer has the value that the question gave: it shows nothing
SPECIALS = {
    "infinity": "infinity",
    "+infinity": "infinity",
    "inf": "infinity",
    "-infinity": "minus infinity",
    "minus infinity": "minus infinity",
    "-inf": "minus infinity",
    "\u221e": "infinity",
    "+\u221e": "infinity",
    "-\u221e": "minus infinity",
    "+inf": "infinity",
    "plus infinity": "infinity",
    "nan": "not a number",
    "not a number": "not a number",
}
FIELD = re.compile(
    r"\(?\b(?P<name>sign|s|exponent|exp|e|fraction|frac|f|mantissa|m)\b\)?\s*[=:]?\s*(?P<bits>[01. ]*[01])",
    re.IGNORECASE,
)
ORDERED = ("sign", "exponent", "fraction")
WORD_DIGITS = 8  # as many hexadecimal digits are a word, even where they look like a decimal number
ORDER = {"s": 0, "e": 1, "f": 2, "m": 2}
BITS_ONLY = re.compile(r"[01.\s,;|()\[\]{}-]+")


class Answer(NamedTuple):
    """What is written in an answer's place.

    reading    what it means: the last of several answers; None for a blank
    spelling   that in the one spelling of everything written alike; as it stands where it cannot be read
    manners    how it is written otherwise than asked for: keys of `MANNERS`
    several    every answer's spelling, where more than one is written
    readable   whether it could be read at all
    values     the values that stand beside it, or are all of it
    """

    reading: Reading | None = None
    spelling: str = ""
    manners: tuple[str, ...] = ()
    several: tuple[str, ...] = ()
    readable: bool = False
    values: tuple[Fraction, ...] = ()


def read_answer(question: Question, text: str, line: str = "answer") -> Answer:
    """Return what *text* says as the answer to *question*.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> sum_of = ask("add", "2.75", "-1.5", course=Course())
    >>> [read_answer(sum_of, text).spelling for text in ("0.101_0000|0001", "Overflow.", "1 1/4")]
    ['01010000 0001', 'overflow', '01010000 0001']
    >>> one = read_answer(sum_of, "0.101 1")
    >>> one.spelling, one.manners
    ('01010000 0001', ('exponent in decimal', 'trailing zeros left off'))
    >>> read_answer(sum_of, "01010000 0001 or 0.1010000 0010").several
    ('01010000 0001', '01010000 0010')
    """
    if not any(sign.isalnum() for sign in text):
        return Answer()
    parted = _asked_in(question)
    if not _is_parted(parted):
        return _whole(question, text)
    question = parted
    read = [(*as_meant(question, one, line), one) for one in read_place(question, line, text)]
    values = tuple(
        raw.value
        for _, manners, raw in read
        if raw.value is not None and (not raw.digits or "value without its pattern" in manners)
    )
    firm = [one for one in read if "value without its pattern" not in one[1] and one[0].says_something]
    if asks_for_bits(question, line):  # a value beside a pattern is no second answer
        firm = [one for one in firm if one[0].digits or one[0].word or one[0].exponent] or firm
    firm = firm or [one for one in read if one[0].says_something]
    if not firm:
        return Answer(read[-1][0] if read else None, text.strip(), readable=False)
    spellings = tuple(
        dict.fromkeys(_spelling(question, meant, line) or raw.text.strip() for meant, _, raw in firm)
    )
    meant, manners, raw = firm[-1]
    return Answer(
        meant._replace(text=text if len(firm) == 1 else raw.text),
        spellings[-1],
        manners,
        spellings if len(spellings) > 1 else (),
        readable=True,
        values=values,
    )


def spelling_of(question: Question, text: str) -> str:
    """Return *text* in the one spelling of everything written alike; "" for a blank, or for several answers.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> spelling_of(ask("decode", "1.0110000 1110", course=Course()), "-5/32")
    '\u22120.15625'
    """
    answer = read_answer(question, text)
    return "" if answer.several or not answer.readable else answer.spelling


def answers_apart(
    question: Question, written: Mapping[str, str], parts: Sequence[str] | None = None
) -> dict[str, str]:
    """Return *written*, by line, with several answers that stand in one place each on a line of its own.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> cost = ask("error", "4.6", course=Course())
    >>> answers_apart(cost, {"answer": "01001001 0011; 0.0375; 3/368"})
    {'answer': '01001001 0011', 'absolute': '0.0375', 'relative': '3/368'}
    """
    parts = tuple(parts_of(question.operation.name, question.course)) if parts is None else parts
    pieces = written.get("answer", "").split(BETWEEN.strip())
    if not parts or len(pieces) == 1:
        return dict(written)
    apart = {part: piece.strip() for part, piece in zip(parts, pieces, strict=False) if piece.strip()}
    return apart | {line: text for line, text in written.items() if line != "answer"}


def _is_parted(question: Question) -> bool:
    """Tell whether answers are a mantissa and an exponent, or values of such."""
    return is_school(question.format) and question.operation.name not in {"choose-format", "explain"}


def _asked_in(question: Question) -> Question:
    """Return *question* in the format of its answer: that of a conversion is another than it begins in."""
    if question.target is None:
        return question
    return replace(question, course=question.target, format=question.target.number_format)


# === Mantissa and exponent ===


def as_meant(question: Question, reading: Reading, line: str = "answer") -> tuple[Reading, tuple[str, ...]]:
    """Return *reading* as its writer means it, its fields whole, and the manners in which it is written."""
    if reading.word or not asks_for_bits(question, line) or reading.lead:
        return reading, ()
    fmt = question.float_format
    manners = ["in hexadecimal"] if reading.hexadecimal and question.course.hexadecimal == "hidden" else []
    if reading.swapped:
        manners.append("fields in the other order")
    if reading.digits and reading.exponent:
        reading, more = _whole_fields(question, reading, fmt)
        return reading, (*manners, *more)
    if _lost_zeros(reading, fmt):
        digits = reading.digits.rjust(fmt.bits, "0")
        edge = fmt.exponent_bits if fmt.exponent_first else fmt.mantissa_bits
        one, other = digits[:edge], digits[edge:]
        mantissa, exponent = (other, one) if fmt.exponent_first else (one, other)
        return reading._replace(digits=mantissa, exponent=exponent, value=None), ("leading zeros left off",)
    if reading.value is None or len(reading.bare) == fmt.mantissa_bits:
        return reading, tuple(manners)
    pattern = _pattern_of(reading.value, fmt)
    if pattern is None or (
        question.operation.name == "error" and pattern != by_rule(question.value, question.course)
    ):
        return reading, ()
    digits, exponent = fmt.mantissa.write(pattern.mantissa), fmt.exponent.write(pattern.exponent)
    return reading._replace(digits=digits, exponent=exponent), ("value without its pattern",)


def _whole_fields(question: Question, reading: Reading, fmt: FloatFormat) -> tuple[Reading, list[str]]:
    """Return *reading* with both fields in full, and what was left off, added or written as a number."""
    digits, exponent, manners = reading.digits, reading.exponent, []
    short = len(exponent) < fmt.exponent_bits and set(exponent) <= {"0", "1"}
    if reading.power or (short and len(exponent) == 1):
        numbers = reading.exponents(fmt)
        if len(numbers) == 1 and fmt.holds(next(iter(numbers))):
            exponent = fmt.exponent.write(next(iter(numbers)))
            manners.append("exponent in decimal")
    elif short:
        exponent = exponent.rjust(fmt.exponent_bits, "0")
        manners.append("leading zeros of the exponent left off")
    missing = fmt.mantissa_bits - len(reading.bare)
    if missing > 0 and (
        digits[0] == "." or _is_right_mantissa(question, fmt, f"0{digits}", likely=missing == 1)
    ):
        digits, missing = f"0{digits}", missing - 1
        manners.append("sign bit left off")
    if missing > 0 and digits.find(".") in {-1, 1}:
        digits += "0" * missing
        manners.append("trailing zeros left off")
    elif _is_right_mantissa(
        question, fmt, digits[:missing], likely=missing < 0 and "1" not in digits[missing:]
    ):
        digits = digits[:missing]
        manners.append("zeros added at the end")
    power = reading.power and exponent == reading.exponent
    return reading._replace(digits=digits, exponent=exponent, power=power), manners


def _is_right_mantissa(question: Question, fmt: FloatFormat, digits: str, *, likely: bool) -> bool:
    """Tell whether *digits*, where that is *likely*, are the course's own mantissa: of several readings that one."""
    pattern = work_question(question).pattern if likely else None
    return pattern is not None and same_digits(digits, fmt.mantissa.write(pattern.mantissa))


def _lost_zeros(reading: Reading, fmt: FloatFormat) -> bool:
    """Tell whether *reading* is one run of bits too long for a mantissa and too short for a pattern."""
    run = reading.digits
    return run.isdigit() and not reading.exponent and fmt.mantissa_bits + 1 < len(run) < fmt.bits


def _pattern_of(value: Fraction, fmt: FloatFormat) -> Pattern | None:
    """Return the pattern that is exactly *value*, or None."""
    if value == 0:
        return fmt.zero
    fitted = fit(value, fmt, ROUNDINGS["cut"])
    pattern = fmt.zero._replace(mantissa=fitted.mantissa, exponent=fitted.exponent)
    return pattern if fmt.holds(fitted.exponent) and fmt.value(pattern) == value else None


def _spelling(question: Question, reading: Reading, line: str) -> str:
    """Return the fields as they stand, a value as the course writes it, or a word."""
    if not asks_for_bits(question, line):
        if reading.word == "zero":
            return "0"
        return "" if reading.value is None else write_value(reading.value, point=question.course.point)
    fmt = question.float_format
    if reading.word:
        return str(fmt.write(fmt.zero)) if reading.word == "zero" else reading.word
    if reading.bare and reading.exponent and not reading.power:
        fields = [reading.bare, reading.exponent]
        return reading.lead + " ".join(reversed(fields) if fmt.exponent_first else fields)
    return ""


# === Formats of other families, and answers that are no pattern ===


def _whole(question: Question, text: str) -> Answer:
    """Return the answer where its pattern is marked whole, or where it is a format or words."""
    name, plain = question.operation.name, plain_text(text)
    if name in {"choose-format", "explain"}:
        return Answer(Reading(text), _format(plain) if name == "choose-format" else plain, readable=True)
    parts = [
        part
        for part in re.split(r"[;\n](?!\s*[ef]\b)| or | and ", plain, flags=re.IGNORECASE)
        if part.strip()
    ]
    if not parts:
        return Answer()
    found = [_one_whole(question, part) for part in parts if part.strip()]
    known = [one for one in found if one.readable]
    if not known:
        return Answer(Reading(text), text.strip(), readable=False)
    patterns = [one for one in known if "value without its pattern" not in one.manners] or known
    spellings = tuple(dict.fromkeys(one.spelling for one in patterns))
    values = tuple(value for one in known for value in one.values)
    return patterns[-1]._replace(several=spellings if len(spellings) > 1 else (), values=values)


def _one_whole(question: Question, part: str) -> Answer:
    if "=" in part and not FIELD.match(part):
        *left, right = (_one_whole(question, side) for side in part.split("="))
        sides = [side for side in (*left, right) if side.readable]
        bits = [side for side in sides if not side.manners and not side.values]
        values = tuple(value for side in sides for value in side.values)
        return (bits or sides or [right])[-1]._replace(values=values)
    reading = Reading(part)
    low = part.lower().strip(" .")
    fmt = answer_format(question)
    if question.operation.name == "decode":
        value = value_of(part, question.course.point)
        spelling = SPECIALS.get(low, "") if value is None else write_value(value, point=question.course.point)
        values = () if value is None else (value,)
        return Answer(reading._replace(value=value), spelling or part, readable=bool(spelling), values=values)
    if low in WORDS:
        word = WORDS[low]
        zero: AnyPattern = fmt.zero
        return Answer(reading._replace(word=word), fmt.write(zero) if word == "zero" else word, readable=True)
    run = "" if low in SPECIALS else _bits(part, fmt) or _bare_hexadecimal(part, fmt)
    for manner, fill in FILLED.items() if not run else ():
        if full := fill(part, fmt):
            found: AnyPattern = fmt.read(full)
            return Answer(reading._replace(digits=full), fmt.write(found), (manner,), readable=True)
    if not run:
        return _operand(question, part, fmt, reading)
    pattern: AnyPattern = fmt.read(run)
    return Answer(reading._replace(digits=run), fmt.write(pattern), readable=True)


def _bits(part: str, fmt: AnyFormat) -> str:
    """Return the bits of *part*, named or parted in any way, where they are as many as the format has."""
    fields = [(ORDER[match["name"][0].lower()], match["bits"]) for match in FIELD.finditer(part)]
    if fields and fmt.family != FLOATING:
        part = " ".join(bits for _, bits in sorted(fields, key=lambda field: field[0]))
    elif fmt.family == FLOATING and fields:
        first = 1 if fmt.exponent_first else 2
        named = sorted(fields, key=lambda field: field[0] != first)
        part = " ".join(bits for _, bits in named)
    if not BITS_ONLY.fullmatch(part) or part.strip().startswith("-"):
        return ""
    run = re.sub(r"[^01]", "", part)
    return run if len(run) == fmt.bits and len(run) > 1 else ""


def _bare_hexadecimal(part: str, fmt: Any) -> str:
    """Return the bits of hexadecimal without 0x: as many digits as the format has, and not all of them decimal."""
    digits = part.replace(" ", "")
    if 4 * len(digits) != fmt.bits or not re.fullmatch(r"[0-9a-f]+", digits, re.IGNORECASE):
        return ""
    letters = not digits.isdigit()
    return to_bits(int(digits, 16), fmt.bits) if letters or len(digits) >= WORD_DIGITS else ""


def _fraction_filled(part: str, fmt: Any) -> str:
    """Return the bits of three fields whose fraction lacks digits on the right, those filled with 0s; or ""."""
    if getattr(fmt, "fraction_bits", 0) == 0 or set(part) - set("01 |,"):
        return ""
    fields = re.split(r"[ |,]+", part.strip())
    if len(fields) != len(ORDERED) or [len(field) for field in fields[:2]] != [1, fmt.exponent_bits]:
        return ""
    if fmt.order != ORDERS[0] or not 0 < len(fields[2]) < fmt.fraction_bits:
        return ""
    return "".join(fields[:2]) + fields[2].ljust(fmt.fraction_bits, "0")


def _zeros_before(part: str, fmt: Any) -> str:
    """Return the bits of a whole number that lacks digits on the left, those filled with 0s; or ""."""
    run = part.replace(" ", "")
    if fmt.family != WHOLE or fmt.places or not re.fullmatch(r"[01]{2,}", run):
        return ""
    return run.rjust(fmt.bits, "0") if len(run) < fmt.bits else ""


FILLED: dict[str, Callable[[str, Any], str]] = {
    "trailing zeros left off": _fraction_filled,
    "leading zeros left off": _zeros_before,
}


def _operand(question: Question, part: str, fmt: Any, reading: Reading) -> Answer:
    """Return *part* as an operand would be read: a value, bits of another length, a special, hexadecimal."""
    course = question.target or question.course
    try:
        pattern, given, *_ = read_operand(part, course)
    except EntryError:
        given = value_of(part, question.course.point)
        pattern = _stored(given, course)
    digits = not set(part) - set("01. ")
    if pattern is None:
        values = () if given is None or digits else (given,)
        manners = ("value without its pattern",) if values else ()
        spelling = part.replace(" ", "") if digits and fmt.family == WHOLE else part
        return Answer(reading, spelling, manners, readable=digits or given is not None, values=values)
    exact = given is None or value_or_none(fmt, pattern) == given
    hexadecimal = given is None and digits is False and part.lower().lstrip("$#").startswith("0x")
    manners = ("in hexadecimal",) if hexadecimal and question.course.hexadecimal == "hidden" else ()
    if given is not None:
        manners = ("value without its pattern",)
    values = () if given is None else (given,)
    return Answer(reading, str(fmt.write(pattern)) if exact else part, manners, readable=True, values=values)


def _stored(value: Fraction | None, course: Course) -> AnyPattern:
    """Return the pattern that *value* is stored as; None where it has none."""
    try:
        return None if value is None else store(value, course)
    except EntryError:
        return None


def _format(text: str) -> str:
    try:
        return str(format_called(text))
    except EntryError:
        return text
