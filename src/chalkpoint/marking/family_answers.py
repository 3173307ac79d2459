"""Answers in formats of other families, and answers that are no pattern: read as an operand would be."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from fractions import Fraction

from chalkpoint.marking.characters import plain_text
from chalkpoint.marking.expressions import value_of
from chalkpoint.marking.manners import Answer
from chalkpoint.marking.patterns import Reading
from chalkpoint.marking.reading import UNIT, WORDS, in_one_line, sides_of, value_sides
from chalkpoint.numbers.bits import signed, to_bits
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.families import FLOATING, SIZES, WHOLE
from chalkpoint.numbers.named import AnyFormat, AnyPattern, format_called, value_or_none
from chalkpoint.numbers.orders import ORDERS
from chalkpoint.setting.answering import answer_format, final_answer
from chalkpoint.working.course import Course
from chalkpoint.working.operands import read_operand, store
from chalkpoint.working.question import Question
from chalkpoint.working.work import work_question

__all__ = ["FILLED", "read_whole_answer"]

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
    r"\(?\b(?P<name>sign|s|exponent|exp|e|fraction|frac|f|mantissa|magnitude|m)\b\)?\s*[=:]?\s*(?P<bits>[01. ]*[01])",
    re.IGNORECASE,
)
ORDERED = ("sign", "exponent", "fraction")
WORD_DIGITS = 8  # as many hexadecimal digits are a word, even where they look like a decimal number
SCIENTIFIC = re.compile(
    r"(?P<sign>-?)(?P<whole>[01]+)\.(?P<fraction>[01]+)\s*[x*]\s*2\s*\^\s*\(?(?P<power>[-+]?\d{1,4})\)?"
)
BITS_ONLY = re.compile(r"[01.\s,;|()\[\]{}-]+")


def read_whole_answer(question: Question, text: str) -> Answer:
    """Return the answer where its pattern is marked whole, or where it is a format or words."""
    name, plain = question.operation.name, plain_text(text)
    if name in {"choose-format", "explain"}:
        return Answer(Reading(text), _format(plain) if name == "choose-format" else plain, readable=True)
    plain = in_one_line(plain, answer_format(question))
    parts = [
        part
        for part in re.split(r"[;\n](?!\s*[ef]\b)| or | and ", plain, flags=re.IGNORECASE)
        if part.strip()
    ]
    if not parts:
        return Answer()
    found = [_one_whole(question, side) for part in parts for side in _whole_sides(question, part)]
    known = [one for one in found if one.readable]
    if not known:
        return Answer(Reading(text), text.strip(), readable=False)
    patterns = [one for one in known if "value without its pattern" not in one.manners] or known
    spellings = tuple(dict.fromkeys(one.spelling for one in patterns))
    values = tuple(value for one in known for value in one.values)
    return patterns[-1]._replace(several=spellings if len(spellings) > 1 else (), values=values)


def _whole_sides(question: Question, part: str) -> Iterable[str]:
    """Return what is side by side in *part*: a pattern and its value, a word and a sum."""
    if FIELD.match(part):
        return (part,)
    if question.operation.name == "decode":
        return value_sides(part, question.course.point)
    return sides_of(part, answer_format(question))


def _one_whole(question: Question, part: str) -> Answer:
    reading = Reading(part)
    low = part.lower().strip(" .")
    fmt = answer_format(question)
    if question.operation.name == "decode":
        value = value_of(UNIT.sub("", part), question.course.point)
        spelling = SPECIALS.get(low, "") if value is None else write_value(value, point=question.course.point)
        values = () if value is None else (value,)
        return Answer(reading._replace(value=value), spelling or part, readable=bool(spelling), values=values)
    if low in WORDS:
        word = WORDS[low]
        zero: AnyPattern = fmt.zero
        return Answer(reading._replace(word=word), fmt.write(zero) if word == "zero" else word, readable=True)
    bits = "" if low in SPECIALS else _bits(part, fmt)
    hexadecimal = "" if bits or low in SPECIALS else _bare_hexadecimal(question, part, fmt)
    run = bits or hexadecimal
    for manner, fill in FILLED.items() if not run else ():
        if full := fill(part, fmt):
            found: AnyPattern = fmt.read(full)
            manners = tuple(manner.split(" and "))
            return Answer(reading._replace(digits=full), fmt.write(found), manners, readable=True)
    if not run:
        return _operand(question, part, fmt, reading)
    pattern: AnyPattern = fmt.read(run)
    hidden = hexadecimal and question.course.hexadecimal == "hidden"
    manners = ("in hexadecimal",) if hidden else ()
    return Answer(reading._replace(digits=run), fmt.write(pattern), manners, readable=True)


def _bits(part: str, fmt: AnyFormat) -> str:
    """Return the bits of *part*, named or separated in any way, where they are as many as the format has."""
    if fields := [(match["name"][0].lower(), match["bits"]) for match in FIELD.finditer(part)]:
        rank = {name[0]: at for at, name in enumerate(_order(fmt).split())}
        rank["m"] = rank["f"]
        part = " ".join(bits for _, bits in sorted(fields, key=lambda field: rank[field[0]]))
    if not BITS_ONLY.fullmatch(part) or part.strip().startswith("-"):
        return ""
    run = re.sub(r"[^01]", "", part)
    return run if len(run) == fmt.bits and len(run) > 1 else ""


def _bare_hexadecimal(question: Question, part: str, fmt: AnyFormat) -> str:
    """Return the bits of hexadecimal without 0x: as many digits as the format has.

    Where all of them are decimal it is a number too, and hexadecimal only where that alone is right.
    """
    digits = part.replace(" ", "")
    if 4 * len(digits) != fmt.bits or not re.fullmatch(r"[0-9a-f]+", digits, re.IGNORECASE):
        return ""
    run = to_bits(int(digits, 16), fmt.bits)
    if not digits.isdigit() or len(digits) >= WORD_DIGITS:
        return run
    right = final_answer(work_question(question))
    if right.replace(" ", "").replace(".", "") != run:
        return ""
    return "" if value_or_none(fmt, fmt.read(run)) == int(digits) else run


def _fraction_filled(part: str, fmt: AnyFormat) -> str:
    """Return the bits of a fraction that lacks digits on the right, those filled with 0s; or ""."""
    if fmt.family == WHOLE:
        whole, point, fraction = part.replace(" ", "").replace(",", ".").partition(".")
        short = point and set(whole + fraction) <= {"0", "1"} and len(fraction) < fmt.places
        return (
            whole + fraction.ljust(fmt.places, "0") if short and len(whole) == fmt.bits - fmt.places else ""
        )
    if fmt.family != SIZES or fmt.fraction_bits == 0 or set(part) - set("01 |,"):
        return ""
    fields = re.split(r"[ |,]+", part.strip())
    if len(fields) != len(ORDERED) or [len(field) for field in fields[:2]] != [1, fmt.exponent_bits]:
        return ""
    if fmt.order != ORDERS[0] or not 0 < len(fields[2]) < fmt.fraction_bits:
        return ""
    return "".join(fields[:2]) + fields[2].ljust(fmt.fraction_bits, "0")


def _zeros_before(part: str, fmt: AnyFormat) -> str:
    """Return the bits of a number that lacks digits on the left, those filled with 0s; or ""."""
    run = part.replace(" ", "")
    if fmt.family != WHOLE or not re.fullmatch(r"[01]{2,}" if not fmt.places else r"[01]*\.[01]+", run):
        return ""
    if fmt.places and len(run.partition(".")[2]) != fmt.places:
        return ""
    bits = run.replace(".", "")
    return bits.rjust(fmt.bits, "0") if len(bits) < fmt.bits else ""


def _zeros_around(part: str, fmt: AnyFormat) -> str:
    """Return the bits of a fixed-point number that lacks digits at both ends, those filled with 0s; or ""."""
    whole, point, fraction = part.replace(" ", "").partition(".")
    if not point or not fmt.places or len(fraction) >= fmt.places:
        return ""
    return _zeros_before(f"{whole}.{fraction.ljust(fmt.places, '0')}", fmt)


def _zeros_in_front(part: str, fmt: AnyFormat) -> str:
    """Return the bits of a number that is not negative without the 0s written too many in front; or ""."""
    whole, point, fraction = part.replace(" ", "").partition(".")
    run = whole + fraction
    if (
        fmt.family != WHOLE
        or fmt.field.kind == "excess"
        or ((point or fmt.places) and len(fraction) != fmt.places)
    ):
        return ""
    extra, bits = run[: -fmt.bits], run[-fmt.bits :]
    negative = fmt.field.kind != "unsigned" and bits.startswith("1")
    return bits if set(extra) == {"0"} and set(bits) <= {"0", "1"} and not negative else ""


def _zeros_at_the_end(part: str, fmt: AnyFormat) -> str:
    """Return the bits of a fixed-point number without the 0s written too many at its end; or ""."""
    whole, _, fraction = part.replace(" ", "").partition(".")
    if fmt.family != WHOLE or not fmt.places or len(whole) != fmt.bits - fmt.places:
        return ""
    bits, extra = whole + fraction[: fmt.places], fraction[fmt.places :]
    return bits if set(extra) == {"0"} and set(bits) <= {"0", "1"} else ""


def _decimal_exponent(part: str, fmt: AnyFormat) -> str:
    """Return the bits of a pattern whose exponent's field is in decimal, as it is stored; or ""."""
    fields = re.split(r"\s*[ |,]\s*", part.strip())
    if fmt.family == WHOLE or len(fields) != (3 if getattr(fmt, "order", "") == ORDERS[0] else 2):
        return ""
    at = 0 if _order(fmt) == ORDERS[2] else 1
    stored, others = fields[at], "".join(fields[:at] + fields[at + 1 :])
    if not re.fullmatch(r"[-+]?\d{1,4}", stored) or len(others) != fmt.bits - fmt.exponent_bits:
        return ""
    number = int(stored)
    if (
        set(others) - {"0", "1"}
        or not 0 <= number + (1 << fmt.exponent_bits - 1) * (number < 0) < 1 << fmt.exponent_bits
    ):
        return ""
    fields[at] = to_bits(number, fmt.exponent_bits)
    return "".join(fields)


def _order(fmt: AnyFormat) -> str:
    """Return the names of the fields in the order they are written; a mantissa has its sign in it."""
    if fmt.family == FLOATING:
        return ORDERS[2] if fmt.exponent_first else ORDERS[1]
    return fmt.order if fmt.family == SIZES else ORDERS[0]


def _minus_for_sign(part: str, fmt: AnyFormat) -> str:
    """Return the bits of a row with a minus in front, where the first bit is the sign; or ""."""
    signed_row = fmt.family == WHOLE and fmt.field.kind == "sign and magnitude"
    found = re.fullmatch(r"-\s*([01]+)", part.strip())
    return f"1{found[1]}" if signed_row and found and len(found[1]) == fmt.bits - 1 else ""


def _never_packed(part: str, course: Course) -> AnyPattern | None:
    """Return the pattern of digits in two's complement and a power, where a mantissa is written so; or None."""
    found, fmt = SCIENTIFIC.fullmatch(part), course.number_format
    if found is None or found["sign"] or fmt.family != FLOATING:
        return None
    size = Fraction(signed(found["whole"] + found["fraction"]), 1 << len(found["fraction"]))
    value = size * Fraction(2) ** int(found["power"])
    pattern = _stored(value, course)
    return pattern if pattern is not None and value_or_none(fmt, pattern) == value else None


FILLED: dict[str, Callable[[str, AnyFormat], str]] = {
    "exponent in decimal": _decimal_exponent,
    "sign bit left off": _minus_for_sign,
    "trailing zeros left off": _fraction_filled,
    "leading zeros left off": _zeros_before,
    "leading zeros left off and trailing zeros left off": _zeros_around,
    "zeros added in front": _zeros_in_front,
    "zeros added at the end": _zeros_at_the_end,
}


def _operand(question: Question, part: str, fmt: AnyFormat, reading: Reading) -> Answer:
    """Return *part* as an operand would be read: a value, bits of another length, a special, hexadecimal."""
    course = question.target or question.course
    if fmt.family == SIZES and SCIENTIFIC.fullmatch(part):  # digits and a power, never packed
        return Answer(reading, part)
    if (packed := _never_packed(part, course)) is not None:
        row = fmt.write(packed)
        reading = reading._replace(digits=row.replace(" ", ""))
        return Answer(reading, row, ("exponent in decimal", "trailing zeros left off"), readable=True)
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
