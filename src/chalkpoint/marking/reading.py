"""The reader: what a pupil wrote in one place, turned into readings that marks, diagnosis and live classes share.

Nothing is refused here, and nothing is judged. What cannot be read is kept as it stands, because the
answer that does not fit is evidence. Characters are put right by ``characters``, values worked out by
``expressions``, and answers in the formats of other families read as operands are.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple

from chalkpoint.marking.characters import plain_text
from chalkpoint.marking.expressions import value_of
from chalkpoint.numbers.bits import signed, to_bits
from chalkpoint.numbers.families import FLOATING
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working.question import Question

__all__ = [
    "FIXED_POINT",
    "NUMBERS",
    "SHORTENED",
    "Reading",
    "read_pattern",
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
FIXED_POINT = ("size", "sign", "point")  # lines whose digits have no exponent field
NUMBERS = ("exponent", "exponents", "point", "range")  # lines on which an exponent may stand alone
VALUES = ("decimal", "absolute", "relative", "scale", "mantissa")  # lines, and answers, that are numbers
MOVED = ("align", "spare", "ready", "repair", "cut")  # lines on which digits fall off the end
FURTHEST = 1 << 18  # of an exponent: digits are shifted by as much
MOST_ROWS = 8  # in one place: more are no answer

POWER = re.compile(r"[x*]?\s*(?<![\d.])2\s*\^\s*\(?\s*(?P<power>[-+]?\d+)\s*\)?\s*$")
LABELLED = re.compile(
    r"[,;|]?\s*(?<![a-z])(?:exponent|exp|e)\.?\s*[=:]?\s*(?P<power>[-+]?\d+)\s*$", re.IGNORECASE
)
#: An exponent that stands as a number where its bits should: a sign, or a digit that is no bit.
NUMBERED = re.compile(r"(?<=[01.]{3})[,|]?\s+(?P<power>[-+]\d{1,3}|\d{0,2}[2-9]\d{0,2})\s*$")
M, E = r"\(?\b(?:mantissa|mant\.?|m)\)?\s*[=:]?\s*", r"\(?\b(?:exponent|exp\.?|e)\)?\s*[=:]?\s*"
DIGITS, FIELD = r"(?P<mantissa>[01][01. ]*)", r"(?P<exponent>[-+]?\d[\d ]*?)"
NAMED = (
    re.compile(rf"^{M}{DIGITS}[\s,;|/]*{E}{FIELD}\s*$", re.IGNORECASE),
    re.compile(rf"^{E}{FIELD}[\s,;|/]*{M}{DIGITS}\s*$", re.IGNORECASE),
)
NAMED_EQUALS = re.compile(r"\b(mantissa|mant|m|exponent|exp|e)\s*[=:]\s*(?=[-+\d])", re.IGNORECASE)
MANTISSA = re.compile(r"^(?:mantissa|mant\.?|m)\s*[=:]?\s*(?=[01])", re.IGNORECASE)
FIELDS_APART = re.compile(r"([01][01. ]+?)(?:\s*[,|/]\s*|(?<=[01])-(?=[01]))([01]+)")
BOXES = re.compile(r"[(\[{]\s*([01][01. ]+)\s*[)\]}]")
COMMA = re.compile(r"^([01]),(?=[01])")
POINT_FIRST = re.compile(r"(?<![\d.])\.(?=[01])")  # a row of working without the 0 before its point
CARRY = re.compile(
    r"^(?:\(\s*(?P<bracketed>[01])\s*\)|(?P<barred>[01])\s*\||(?P<apart>[01])\s(?=[01]\.|[01]{4,}$))\s*"
)
TRAY = re.compile(r"\s*(?:\|\s*([01 ]+)|[(\[]\s*([01 ]+)\s*[)\]])\s*$")
ROWS_OF_SIGNS = ("align", "negate", "add", "repair", "normalise", "spare", "ready", "cut")
#: A negative row written as its size with a minus before it.
MAGNITUDE = re.compile(
    r"-\s*\(?\s*(?P<digits>0[01]*\.?[01]+)\s*\)?(?:\s*[x*]\s*2\s*\^\s*\(?(?P<power>[-+]?\d{1,6})\)?)?"
)
HEX = re.compile(r"(?:0x|\$|#)?(?P<digits>[0-9a-f]+)h?", re.IGNORECASE)
#: What a sheet program makes of a long run of digits: the last of them are gone.
SHORTENED = re.compile(r"[\d.,]+e\+\d+", re.IGNORECASE)
OUTCOME = re.compile(r"\b(over|under)[- ]?flow(?:s|ed|ing)?\b", re.IGNORECASE)
DENIED = re.compile(r"\b(?:no|not|never|without|doesnt|isnt|cannot)\b", re.IGNORECASE)
A_WORD = "|".join(sorted(WORDS, key=len, reverse=True))
WORD_BESIDE = re.compile(
    rf"([01][01. |]{{2,}}?)\s*[,(]?\s*({A_WORD})\)?|({A_WORD})\s*[,:]?\s*([01][01. |]{{2,}})", re.IGNORECASE
)
VALUE_BESIDE = re.compile(r"(?P<pattern>[01][01. |,]{3,}?)\s*[(]\s*=?\s*(?P<value>[^()]*\d[^()]*)\)")
ROWS_APART = re.compile(r"[;\n]")
OPERANDS_APART = re.compile(r"[;\n]|,\s+|\band\b")  # where no exponent stands behind a comma
APART = re.compile(r"[;\n]| or | and ")
VALUES_APART = re.compile(
    r"[;\n=()]|,\s|\s/\s|\b(?:or|and|exact(?:ly)?|true|stored|instead of|but|about|is)\b|~|\u2248",
    re.IGNORECASE,
)
PLAIN = set("01. ")
BITS = re.compile(r"[01][01. |]{2,}")


class Reading(NamedTuple):
    """One thing written, read.

    text       as it was written
    word       "overflow", "underflow", "in range" or "zero", or ""
    digits     mantissa digits (or all the digits) without separators; a point where one was written
    exponent   the exponent's digits or number as written, or ""
    power      whether the exponent was written as a number rather than in its bits
    lead       a carry written before the others, or ""
    tray       digits that fell off the end, written behind the row, or ""
    value      the value, where it can be read as one
    hexadecimal  whether it was written in hexadecimal
    swapped    whether the fields stand in the other order
    sure       whether it can be read in no other way
    """

    text: str
    word: str = ""
    digits: str = ""
    exponent: str = ""
    power: bool = False
    lead: str = ""
    tray: str = ""
    value: Fraction | None = None
    hexadecimal: bool = False
    swapped: bool = False
    sure: bool = True

    @property
    def bare(self) -> str:
        """The digits without their point."""
        return self.digits.replace(".", "")

    @property
    def says_something(self) -> bool:
        """Whether anything could be read."""
        return bool(self.word or self.digits or self.exponent or self.value is not None)

    def exponents(self, fmt: FloatFormat) -> set[int]:
        """Return every exponent that was written: as a number, or as bits of the field.

        A number far past what any rule makes of the format's exponents is none.
        """
        text = self.exponent or self.bare
        found = set()
        if not text and self.value is not None and self.value.denominator == 1:
            found.add(int(self.value))
        if re.fullmatch(r"[-+]?\d{1,20}", text):
            found.add(int(text))
        if not self.power and len(text) == fmt.exponent_bits and set(text) <= {"0", "1"}:
            found = {signed(text)}
        furthest = min(4 << 2 * fmt.exponent_bits, FURTHEST)
        return {exponent for exponent in found if abs(exponent) <= furthest}


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
    plain = NAMED_EQUALS.sub(r"\1 ", plain)
    if named := _named(text, plain, question.format):
        return (named,)
    final = line == "answer" or question.operation.name == "range"
    bits = asks_for_bits(question, line)
    if not final:
        plain = POINT_FIRST.sub("0.", plain) if bits else plain
        apart = ROWS_APART if question.format.family == FLOATING else OPERANDS_APART
        parts = [part for part in apart.split(plain) if part.strip()]
        sides = [_result(part, bits=bits) for part in parts]
    elif bits:
        plain = _in_one_line(plain, question.format)
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
    """Tell whether bits stand on *line*, and not a number."""
    name = question.operation.name
    if line == "answer":
        return name not in {"decode", "choose-format", "explain"}
    return name != "decode" and line not in VALUES


def values_in(text: str, point: str = ".") -> list[Fraction]:
    """Return every value in *text*, parted in any way: a check may give two.

    >>> [[str(value) for value in values_in(text)] for text in ("4.75, 4.6875", "5.25 (exact 5.1875)", "-5/32")]
    [['19/4', '75/16'], ['21/4', '83/16'], ['-5/32']]
    """
    found = []
    for part in VALUES_APART.split(plain_text(text)):
        one, slash, other = part.partition("/")
        several = slash and "." in one and "." in other
        found += [value_of(piece, point) for piece in ((one, other) if several else (part,))]
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
    digits = len(re.sub("[^01]", "", match["pattern"]))
    return bool(set(match["value"]) - set("01 ")) or digits == getattr(fmt, "bits", 0)


def _result(part: str, *, bits: bool) -> str:
    """Return what an equation in working comes to: its last row of bits where bits are asked for, or its end."""
    sides = [side.strip() for side in part.split("=") if side.strip()] or [""]
    rows = [side for side in sides if bits and BITS.fullmatch(POWER.sub("", side).strip())]
    return (rows or sides)[-1]


def _in_one_line(plain: str, fmt: object) -> str:
    """Return a pattern whose exponent stands below its mantissa in one line."""
    groups = plain.split("\n")
    lengths = [len(re.sub("[^01]", "", group)) for group in groups]
    wanted = {(getattr(fmt, "mantissa_bits", 0), getattr(fmt, "exponent_bits", 0))}
    return plain.replace("\n", " ") if tuple(lengths) in wanted else plain


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


def sides_of(part: str, fmt: object) -> Iterator[str]:
    """Yield the pattern or word in *part*, and then what stands beside it: a value, or a word."""
    if outcome_in(part):
        yield outcome_in(part)
        yield from (
            piece for piece in VALUES_APART.split(OUTCOME.sub(" ; ", part)) if value_of(piece) is not None
        )
    elif found := WORD_BESIDE.fullmatch(part.strip()):
        yield from (piece for piece in found.groups() if piece)
    elif (beside := VALUE_BESIDE.fullmatch(part.strip())) and _stands_beside(beside, fmt):
        yield from (beside["pattern"], beside["value"])
    else:
        sides = [side for side in part.split("=") if side.strip()]
        patterns = [side for side in sides if BITS.fullmatch(POWER.sub("", side).strip())]
        yield from patterns[-1:] if len(sides) > 1 else ()
        rest = [side for side in sides if side not in patterns or len(sides) == 1]
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
    if line in ROWS_OF_SIGNS and (found := MAGNITUDE.fullmatch(plain)):
        row = opposite_row(found["digits"])
        exponent = found["power"] or ""
        return Reading(text, digits=row, exponent=exponent, power=bool(exponent))
    if fmt.family != FLOATING:
        power = None if final else POWER.search(plain)
        row = re.sub(r"[ _|()]", "", plain[: power.start()] if power else plain).rstrip("x*")
        digits = row if re.fullmatch(r"[01]+\.?[01]*", row) else ""
        exponent = power["power"] if power and digits else ""
        return Reading(
            text, digits=digits, exponent=exponent, power=bool(exponent), value=value_of(plain, point)
        )
    fields = line not in FIXED_POINT
    return read_pattern(plain, fmt, point=point, fields=fields, moved=line in MOVED, final=final)._replace(
        text=text
    )


def _number(text: str, plain: str, question: Question) -> Reading:
    """Return a number, such as decoding asks for."""
    value = value_of(plain.rstrip(" VvmM\u00b0C"), question.course.point)
    return Reading(text, value=value)


def read_pattern(
    plain: str,
    fmt: FloatFormat,
    *,
    point: str = ".",
    fields: bool = True,
    moved: bool = False,
    final: bool = False,
) -> Reading:
    """Return what *plain*, in plain characters, says in the format *fmt*.

    fields  whether it may be a mantissa and an exponent; digits in fixed point are not parted
    moved   whether it is a row from which digits fell off
    final   whether it is an answer, which has neither carry nor tray

    >>> from chalkpoint.numbers.formats import parse_format
    >>> one = read_pattern("0.0010100 x 2^3", parse_format("8+4"))
    >>> one.digits, one.exponent, one.power
    ('0.0010100', '3', True)
    >>> one = read_pattern("1 0.0101000", parse_format("8+4"))
    >>> one.lead, one.digits
    ('1', '0.0101000')
    """
    if final and not set(plain) - PLAIN and plain.count(".") <= 1:  # as nearly every answer is
        return _bits_alone(plain, fmt, point, fields=fields)
    rest, tray = plain, ""
    if SHORTENED.fullmatch(rest):
        return Reading(plain, sure=False)
    if fields:
        rest = COMMA.sub(r"\1.", rest)
        rest = BOXES.sub(r" \1 ", rest).strip() if final else rest
        rest = FIELDS_APART.sub(r"\1 \2", rest) if final or not moved else rest
    else:
        rest = rest.replace(",", ".")
    rest = MANTISSA.sub("", rest)
    if not final and (found := TRAY.search(rest)) and BITS.match(rest[: found.start()].strip()):
        kept = rest[: found.start()].strip()
        if moved or not fields:
            rest, tray = kept, (found[1] or found[2]).replace(" ", "")
    exponent, power, rest = _power(rest, fmt)
    lead = CARRY.match(rest)
    if lead and not (final and lead["apart"]):
        rest = rest[lead.end() :]
    else:
        lead = None
    rest = _unwrapped(rest.replace("|", " ").strip())
    carried = "".join(digit for digit in lead.groups() if digit) if lead else ""
    value = None if exponent else value_of(rest, point)
    if not rest:
        return Reading(plain, exponent=exponent, power=power, value=value_of(plain, point))
    if set(rest) <= set("01. ") and rest.count(".") <= 1 and set(rest) & set("01"):
        parted = (
            (rest.replace(" ", ""), "", False)
            if exponent or not fields
            else part_fields(rest, fmt, final=final)
        )
        return Reading(
            plain, digits=parted[0], exponent=exponent or parted[1], power=power, lead=carried, tray=tray,
            value=value, swapped=parted[2],
        )  # fmt: skip
    whole = value_of(plain, point)
    if whole is not None and not BITS.fullmatch(rest):
        return Reading(plain, value=whole)
    return _hexadecimal(rest, fmt) or Reading(plain, exponent=exponent, power=power)


def _bits_alone(plain: str, fmt: FloatFormat, point: str, *, fields: bool) -> Reading:
    """Return digits with nothing else between them but spaces and a point."""
    digits, exponent, swapped = (
        part_fields(plain, fmt, final=True) if fields else (plain.replace(" ", ""), "", False)
    )
    value = None if exponent else value_of(plain, point)
    return Reading(plain, digits=digits, exponent=exponent, value=value, swapped=swapped)


def _unwrapped(text: str) -> str:
    """Return *text* without brackets around all of it."""
    while len(text) > 3 and text[0] + text[-1] in {"()", "[]", "{}"}:
        text = text[1:-1].strip()
    return text


def _power(text: str, fmt: FloatFormat) -> tuple[str, bool, str]:
    """Return the exponent that is written as a power of two, with its name or as a number; and the rest."""
    match = POWER.search(text) or LABELLED.search(text) or NUMBERED.search(text)
    if match is None:
        return "", False, text
    exponent = match["power"]
    in_bits = len(exponent) == fmt.exponent_bits > 2 and set(exponent) <= set("01")
    return exponent, not in_bits, text[: match.start()].strip(" ,;|")


def part_fields(text: str, fmt: FloatFormat, *, final: bool = False) -> tuple[str, str, bool]:
    """Return (mantissa, exponent, whether they stand in the other order) by where spaces and lengths part *text*."""
    groups = text.split(" ")
    lengths = [len(group.replace(".", "")) for group in groups]
    count, bare = sum(lengths), "".join(groups)
    whole = final and len(groups) == 2 and "." in groups[0]  # 0.11 0011 is an answer with both its fields
    if count == fmt.mantissa_bits and not whole:
        return bare, "", False
    ends = [fmt.mantissa_bits, fmt.exponent_bits]
    if len(groups) == 2 and lengths == (ends if fmt.exponent_first else ends[::-1]) and ends[0] != ends[1]:
        exponent, mantissa = groups[::-1] if fmt.exponent_first else groups
        return mantissa, exponent, True
    nibbles = count == fmt.bits and set(lengths[:-1]) == {4} and "." not in bare
    if len(groups) > 1 and not nibbles:
        edge, others = (groups[0], groups[1:]) if fmt.exponent_first else (groups[-1], groups[:-1])
        if len(edge) == fmt.exponent_bits or len(groups) == 2:
            return "".join(others), edge, False
    if count == fmt.bits and (final or "." not in bare):
        at = _position(bare, fmt.exponent_bits if fmt.exponent_first else fmt.mantissa_bits)
        one, other = bare[:at], bare[at:].removeprefix(".")  # a point between the fields parts them too
        return (other, one, False) if fmt.exponent_first else (one, other, False)
    return bare, "", False


def _position(text: str, digits: int) -> int:
    """Return where the first *digits* digits of *text* end."""
    seen = 0
    for at, character in enumerate(text):
        if seen == digits:
            return at
        seen += character != "."
    return len(text)


def _hexadecimal(text: str, fmt: FloatFormat) -> Reading | None:
    match = HEX.fullmatch(text.replace(" ", ""))
    if match is None or 4 * len(match["digits"]) > fmt.bits + 8:
        return None  # that many digits are no pattern of the format, nor one with a digit too many
    digits = "".join(to_bits(int(digit, 16), 4) for digit in match["digits"])
    spare = len(digits) - fmt.bits
    if 0 < spare < 4 and "1" not in digits[:spare]:
        digits = digits[spare:]
    mantissa, exponent, _ = part_fields(digits, fmt)
    return Reading(text, digits=mantissa, exponent=exponent, hexadecimal=True)


# === Rows of digits compared ===


def opposite_row(digits: str) -> str:
    """Return the two's complement of a row, its point where it was.

    >>> opposite_row("0.1110"), opposite_row("00101.010")
    ('1.0010', '11010.110')
    """
    bare = digits.replace(".", "")
    row = to_bits(-int(bare, 2), len(bare))
    at = digits.find(".")
    return row if at < 0 else f"{row[:at]}.{row[at:]}"
