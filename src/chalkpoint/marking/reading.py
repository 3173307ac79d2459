"""The reader: what a pupil wrote in one place, turned into readings that marks, diagnosis and live classes share.

Nothing is refused here, and nothing is judged. What cannot be read is kept unchanged, because the
answer that does not fit is evidence. Characters are put right by ``characters``, values worked out by
``expressions``, and answers in the formats of other families read as operands are.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from chalkpoint.marking.characters import plain_text
from chalkpoint.marking.expressions import value_of
from chalkpoint.marking.fallen import ROWS_WITH_TRAY, read_row
from chalkpoint.marking.patterns import BITS, PLAIN, POWER, Reading, read_pattern
from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.families import FLOATING, SIZES
from chalkpoint.numbers.named import AnyFormat, AnyPattern, value_or_none
from chalkpoint.working.question import Question

__all__ = [
    "FIXED_POINT",
    "in_one_line",
    "read_place",
    "values_in",
]

WORDS = {
    "overflow": "overflow",
    "overflows": "overflow",
    "overflowed": "overflow",
    "it overflows": "overflow",
    "exponent overflow": "overflow",
    "mantissa overflow": "overflow",
    "underflow": "underflow",
    "underflows": "underflow",
    "it underflows": "underflow",
    "exponent underflow": "underflow",
    "out of range": "overflow",
    "too large": "overflow",
    "too big": "overflow",
    "too small": "underflow",
    "in range": "in range",
    "no overflow": "in range",
    "fits": "in range",
    "zero": "zero",
}
SIZED = ("size", "product", "quotient")  # lines of other families whose size may have its sign before it
FIXED_POINT = ("size", "sign", "point")  # lines whose digits have no exponent field
VALUES = ("decimal", "absolute", "relative", "scale", "mantissa")  # lines, and answers, that are numbers
MOST_ROWS = 8  # in one place: more are no answer

IS = r"\)?\s*(?:[=:]|is\b)?\s*"
M, E = rf"(?:the )?\(?\b(?:mantissa|mant\.?|m){IS}", rf"(?:\band )?(?:the )?\(?\b(?:exponent|exp\.?|e){IS}"
DIGITS, FIELD = r"(?P<mantissa>[01][01. ]*)", r"(?:[-+\d ]+=\s*)?(?P<exponent>[-+]?\d[\d ]*?)"
NAMED = (
    re.compile(rf"^{M}{DIGITS}[\s,;|/]*{E}{FIELD}\s*$", re.IGNORECASE),
    re.compile(rf"^{E}{FIELD}[\s,;|/]*{M}{DIGITS}\s*$", re.IGNORECASE),
)
NAMED_EQUALS = re.compile(r"\b(mantissa|mant|m|exponent|exp|e)\s*[=:]\s*(?=[-+\d])", re.IGNORECASE)
POWER_FIRST = re.compile(r"(?<![\d.^])2\s*\^\s*\(?([-+]?\d+)\)?\s*[x*]\s*\(?([01]*\.[01]+)\)?")
COMMA = re.compile(r"(?<![\d.,])([01]+\.?[01]*)(\s*,\s*)([01]+)(?![\d.,])")
#: Behind a value: its unit, or that it is exact.
UNIT = re.compile(
    r"\s*(?:[VvmM\u00b0C]|\u00b0\s?C|[mck]m|volts?|met(?:re|er)s?|degrees?|units?|exact(?:ly)?)?"
    r"(?:\s+(?:above|below) datum)?\s*$"
)
ROW_PLUS_ONE = re.compile(r"([01]+\.?[01]{2,})\s*\+\s*1")  # a negation whose last addition is not worked out
SIGN_SAID = re.compile(r"(?P<minus>negative|minus)|(?P<plus>positive|plus)", re.IGNORECASE)
LONE_BIT = re.compile(r"(?<!\S)[01](?!\S)")
POINT_FIRST = re.compile(r"(?<![\d.])\.(?=[01])")  # a row of working without the 0 before its point
ROWS_OF_SIGNS = ("align", "negate", "add", "repair", "normalise", "spare", "ready", "cut")
#: A negative row written as its size with a minus before it.
MAGNITUDE = re.compile(
    r"-\s*\(?\s*(?P<digits>0[01]*\.?[01]+)\s*\)?(?:\s*[x*]\s*2\s*\^\s*\(?(?P<power>[-+]?\d{1,6})\)?)?"
)
OUTCOME = re.compile(r"\b(over|under)[- ]?flow(?:s|ed|ing)?\b", re.IGNORECASE)
DENIED = re.compile(r"\b(?:no|not|never|without|doesnt|isnt|cannot)\b", re.IGNORECASE)
A_WORD = "|".join(sorted(WORDS, key=len, reverse=True))
WORD_BESIDE = re.compile(
    rf"([01][01. |]{{2,}}?)\s*[,(]?\s*({A_WORD})\)?|({A_WORD})\s*[,:]?\s*([01][01. |]{{2,}})", re.IGNORECASE
)
VALUE_BESIDE = re.compile(r"(?P<pattern>[01][01. |,]{3,}?)\s*[(]\s*=?\s*(?P<value>[^()]*\d[^()]*)\)")
EXPONENT_BOXED = re.compile(r"(?:exponent|exp\.?|e)?\s*[=:]?\s*[-+]?\d{1,2}", re.IGNORECASE)
FIELDS_STAND_APART = re.compile(r"\s*[\n;/]\s*|\s+-\s+")
TWO_ROWS = ("ready", "align", "spare", "unpack")  # lines that may hold a row for each operand
ONE_ROW = (
    "negate",
    "add",
    "repair",
    "normalise",
    "cut",
    "product",
    "combine",
    "renormalise",
    "round",
    "invert",
)
SIGN_BETWEEN = re.compile(r"(?<=[\d)])\s+[-+]\s+(?=[01]*\.[01])")
ROWS_APART = re.compile(r"[;\n]|(?<=[\d)])\s+and\s+(?=[01]{0,3}\.?[01]{2})")
OPERANDS_APART = re.compile(r"[;\n]|,\s+|\band\b")  # where no exponent follows a comma
APART = re.compile(r"[;\n]| or | and ")
VALUES_APART = re.compile(
    r"[;\n=()]|,\s|\s/\s|\b(?:or|and|exact(?:ly)?|true|stored|instead of|but|about|is)\b|~|\u2248",
    re.IGNORECASE,
)


def read_place(question: Question, line: str, text: str) -> tuple[Reading, ...]:
    """Return what is written in one place, on *line* or as the "answer": each row, or each of several answers.

    In working the last of an equation counts. In an answer a pattern comes before the value beside it.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> asked = ask("subtract", "6.5", "1.25", course=Course())
    >>> [(one.digits, one.tray) for one in read_place(asked, "align", "0.0010100|00")]
    [('0.0010100', '00')]
    >>> [(one.digits, one.exponent, one.value) for one in read_place(asked, "answer", "E = 0011, M = 0.1010100")]
    [('0.1010100', '0011', None)]
    >>> [one.word or one.digits for one in read_place(asked, "answer", "0.1010100 0011 or overflow")]
    ['0.1010100', 'overflow']
    """
    plain = plain_text(text)
    if not plain:
        return ()
    if line == "answer" and question.format.family != FLOATING and asks_for_bits(question, line):
        return (_read(text, plain, question, line, final=True),)  # taken apart by `answer.read_answer`
    if line == "answer" and not set(plain) - PLAIN and asks_for_bits(question, line):
        return (_read(text, plain, question, line, final=True),)
    plain = POWER_FIRST.sub(r"\2 x 2^\1", NAMED_EQUALS.sub(r"\1 ", plain))
    if named := _named(text, plain, question.format):
        return (named,)
    final = line == "answer" or question.operation.name == "range"
    bits = asks_for_bits(question, line)
    if not final:
        plain = (
            POINT_FIRST.sub("0.", _with_points(plain, None if line in FIXED_POINT else question.format))
            if bits
            else plain
        )
        if line in TWO_ROWS:
            plain = SIGN_BETWEEN.sub("; ", plain)
        elif line in ONE_ROW:
            plain = plain.rsplit("\n", maxsplit=1)[-1]
        apart = ROWS_APART if question.format.family == FLOATING else OPERANDS_APART
        parts = [part for part in apart.split(plain) if part.strip()]
        sides = [_result(part, bits=bits) for part in parts]
    elif bits:
        plain = in_one_line(plain, question.format)
        parts = [part for part in APART.split(plain) if part.strip()]
        sides = [side for part in parts for side in sides_of(part, question.format)]
    else:
        sides = [side for part in APART.split(plain) for side in value_sides(part, question.course.point)]
    whole = len(sides) == 1
    return tuple(
        _read(text if whole else side.strip(), side, question, line, final=final)
        for side in sides[:MOST_ROWS]
    )


def asks_for_bits(question: Question, line: str) -> bool:
    """Tell whether *line* holds bits, and not a number."""
    name = question.operation.name
    if line == "answer":
        return name not in {"decode", "choose-format", "explain"}
    return name != "decode" and line not in VALUES


def values_in(text: str, point: str = ".") -> list[Fraction]:
    """Return every value in *text*, separated in any way: a check may give two.

    >>> [[str(value) for value in values_in(text)] for text in ("4.75, 4.6875", "5.25 (exact 5.1875)", "-5/32")]
    [['19/4', '75/16'], ['21/4', '83/16'], ['-5/32']]
    """
    found = []
    for part in VALUES_APART.split(plain_text(text)):
        one, slash, other = part.partition("/")
        several = slash and "." in one and "." in other
        found += [value_of(UNIT.sub("", piece), point) for piece in ((one, other) if several else (part,))]
    return [value for value in found if value is not None]


def outcome_in(plain: str) -> str:
    """Return "overflow" or "underflow" where that is what *plain*, a word or a sentence, says; else "".

    >>> outcome_in("Over-flow, as E is 8"), outcome_in("no overflow"), outcome_in("overflow 0.1101 0011")
    ('overflow', '', '')
    """
    found = {match.lower() for match in OUTCOME.findall(plain)}
    if len(found) != 1 or DENIED.search(plain) or BITS.search(plain):
        return ""
    return f"{found.pop()}flow"


# === One place taken apart ===


def _named(text: str, plain: str, fmt: object) -> Reading | None:
    """Return the reading of fields that are named, in any order; None where they are not."""
    for pattern in NAMED:
        if match := pattern.match(plain):
            exponent = match["exponent"].replace(" ", "")
            bits = getattr(fmt, "exponent_bits", 0)
            power = not set(exponent) <= set("01") or len(exponent) != bits
            return Reading(text, digits=match["mantissa"].replace(" ", ""), exponent=exponent, power=power)
    return None


def _stands_beside(match: re.Match[str], fmt: object) -> bool:
    """Tell whether brackets behind a pattern hold its value, and not its exponent in a box."""
    digits, value = len(re.sub("[^01]", "", match["pattern"])), match["value"].strip()
    alone = " " not in match["pattern"].strip() and digits == getattr(fmt, "mantissa_bits", 0)
    if alone and digits != getattr(fmt, "bits", 0) and EXPONENT_BOXED.fullmatch(value):
        return False  # a mantissa has no value yet
    return bool(set(value) - set("01 ")) or digits == getattr(fmt, "bits", 0)


def _is_base(match: re.Match[str], fmt: AnyFormat) -> bool:
    """Tell whether the 2 in brackets behind a pattern is its base: it is not its value."""
    run = re.sub("[^01]", "", match["pattern"])
    if match["value"].strip() != "2" or len(run) != getattr(fmt, "bits", 0):
        return False
    pattern: AnyPattern = fmt.read(run)
    return value_or_none(fmt, pattern) != 2


def _result(part: str, *, bits: bool) -> str:
    """Return what an equation in working comes to: its last row of bits where bits are asked for, or its end."""
    sides = [side.strip() for side in part.split("=") if side.strip()] or [""]
    rows = [side for side in sides if bits and BITS.fullmatch(POWER.sub("", side).strip())]
    return (rows or sides)[-1]


def _with_points(plain: str, fmt: object) -> str:
    """Return rows of working with a point for a comma between their digits, or a space where it parts two fields."""
    fields = getattr(fmt, "mantissa_bits", 0), getattr(fmt, "exponent_bits", 0)

    def put(match: re.Match[str]) -> str:
        one, comma, other = match.groups()
        if (len(one.replace(".", "")), len(other)) in {fields, fields[::-1]}:
            return f"{one} {other}"
        return match[0] if comma != "," or "." in one else f"{one}.{other}"

    return COMMA.sub(put, plain)


def in_one_line(plain: str, fmt: AnyFormat) -> str:
    r"""Return a pattern whose fields are below one another, or separated by a stroke, in one line.

    >>> from chalkpoint.numbers.named import format_called
    >>> in_one_line("0.1010100\n0011", format_called("8+4")), in_one_line("0; 1001; 101", format_called("1+4+3"))
    ('0.1010100 0011', '0 1001 101')
    """
    groups = FIELDS_STAND_APART.split(plain.strip())
    lengths = [len(re.sub("[^01]", "", group)) for group in groups]
    digits_only = all(set(group) <= PLAIN for group in groups)
    return " ".join(groups) if digits_only and lengths == [*getattr(fmt, "widths", ())] else plain


def value_sides(part: str, point: str) -> Iterator[str]:
    """Yield the value in *part*: the last of an equation, and what brackets or commas part from it."""
    last = (
        part.rsplit("=", maxsplit=1)[-1]
        if part.count("(") == part.rsplit("=", maxsplit=1)[-1].count("(")
        else part
    )
    if value_of(last.strip(), point) is not None:
        yield last
        return
    yield from (piece for piece in VALUES_APART.split(part) if piece.strip())


def sides_of(part: str, fmt: AnyFormat) -> Iterator[str]:
    """Yield the pattern or word in *part*, and then what is beside it: a value, or a word."""
    if outcome_in(part):
        yield outcome_in(part)
        yield from (
            piece for piece in VALUES_APART.split(OUTCOME.sub(" ; ", part)) if value_of(piece) is not None
        )
    elif found := WORD_BESIDE.fullmatch(part.strip()):
        yield from (piece for piece in found.groups() if piece and WORDS.get(piece.lower()) != "in range")
    elif (beside := VALUE_BESIDE.fullmatch(part.strip())) and _stands_beside(beside, fmt):
        yield beside["pattern"]
        if not _is_base(beside, fmt):
            yield beside["value"]
    else:
        sides = [side for side in part.split("=") if side.strip()]
        rows = [side for side in sides if BITS.fullmatch(POWER.sub("", side).strip())]
        whole = [row for row in rows if len(re.sub("[^01]", "", row)) == getattr(fmt, "bits", 0)]
        yield from (whole or rows)[-1:] if len(sides) > 1 else ()
        rest = [side for side in sides if side not in rows or len(sides) == 1]
        yield from rest[-1:]


def _read(text: str, plain: str, question: Question, line: str, *, final: bool) -> Reading:
    point, fmt = question.course.point, question.format
    plain = plain.strip().strip(",:")
    word = WORDS.get(plain.lower(), "")
    if word:
        return Reading(text, word=word)
    if not asks_for_bits(question, line) and line == "answer":
        return _number(text, plain, question)
    if line in {"decimal", "absolute", "relative"}:
        return Reading(text, value=value_of(plain, point))
    if line in {"negate", "sign"} and (found := ROW_PLUS_ONE.fullmatch(plain)):
        plain = row_plus_one(found[1])
    if line in ROWS_OF_SIGNS and (found := MAGNITUDE.fullmatch(plain)):
        row = opposite_row(found["digits"])
        exponent = found["power"] or ""
        return Reading(text, digits=row, exponent=exponent, power=bool(exponent))
    if fmt.family == SIZES and line == "sign":
        return Reading(text, value=_sign(plain))
    if fmt.family != FLOATING:
        power = None if final else POWER.search(plain)
        row = re.sub(r"[ _|()]", "", plain[: power.start()] if power else plain).rstrip("x*")
        row = row.removeprefix("-") if line in SIZED and len(row) > 2 else row
        digits = row if re.fullmatch(r"[01]+\.?[01]*", row) else ""
        exponent = power["power"] if power and digits else ""
        return Reading(
            text, digits=digits, exponent=exponent, power=bool(exponent), value=value_of(plain, point)
        )
    if line in ROWS_WITH_TRAY and len(question.patterns) > 1:
        return read_row(question, line, plain)._replace(text=text)
    return read_pattern(plain, fmt, point=point, fields=line not in FIXED_POINT, final=final)._replace(
        text=text
    )


def _sign(plain: str) -> Fraction | None:
    """Return the sign bit that *plain* says, in words or as a bit; None where it says none, or two."""
    said = {"minus" if match["minus"] else "plus" for match in SIGN_SAID.finditer(plain)}
    bits = {int(bit) for bit in LONE_BIT.findall(plain)} or {int(word == "minus") for word in said}
    return Fraction(bits.pop()) if len(bits) == 1 else value_of(plain)


def _number(text: str, plain: str, question: Question) -> Reading:
    """Return a number, such as decoding asks for."""
    value = value_of(UNIT.sub("", plain), question.course.point)
    return Reading(text, value=value)


# === Rows of digits compared ===


def opposite_row(digits: str) -> str:
    """Return the two's complement of a row, its point where it was.

    >>> opposite_row("0.1110"), opposite_row("00101.010")
    ('1.0010', '11010.110')
    """
    return _pointed(to_bits(-int(digits.replace(".", ""), 2), len(digits.replace(".", ""))), digits)


def row_plus_one(digits: str) -> str:
    """Return a row with one added in its last place, its point where it was.

    >>> row_plus_one("1.0001")
    '1.0010'
    """
    bare = digits.replace(".", "")
    return _pointed(to_bits(int(bare, 2) + 1, len(bare)), digits)


def _pointed(row: str, like: str) -> str:
    """Return *row* with a point where *like* has one."""
    at = like.find(".")
    return row if at < 0 else f"{row[:at]}.{row[at:]}"
