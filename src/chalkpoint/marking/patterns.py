"""A pattern read: mantissa, exponent, carry and tray told apart, by marks between them and by their lengths."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import NamedTuple

from chalkpoint.marking.expressions import value_of
from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.formats import FloatFormat

__all__ = ["BITS", "PLAIN", "POWER", "SHORTENED", "Reading", "part_fields", "power_behind", "read_pattern"]

FURTHEST = 1 << 18  # of an exponent: digits are shifted by as much
POWER = re.compile(r"[x*]?\s*(?<![\d.])2\s*\^\s*\(?\s*(?P<power>[-+]?\d+)\s*\)?\s*$")
LABELLED = re.compile(
    r"[,;|(]?\s*(?<![a-z])(?:exponent|exp|e)\.?\s*[=:]?\s*(?P<power>[-+]?\d+)\s*\)?\s*$", re.IGNORECASE
)
#: An exponent written as a number where its bits should: a sign, or a digit that is no bit.
NUMBERED = re.compile(r"(?<=[01.]{3})(?:\s*\|\s*|,?\s+)(?P<power>[-+]\d{1,3}|\d{0,2}[2-9]\d{0,2})\s*$")
BRACKETED = re.compile(r"(?<=[01.]{3})\s*\((?P<power>[-+]?\d{1,3})\)$")  # in an answer
MANTISSA = re.compile(r"^(?:mantissa|mant\.?|m)\s*[=:]?\s*(?=[01])", re.IGNORECASE)
FIELDS_APART = re.compile(r"([01][01. ]+?)(?:\s*[,|/]\s*|(?<=[01])-(?=[01]))([01]+)")
BOXES = re.compile(r"[(\[{]\s*([01][01. ]+)\s*[)\]}]")
COMMA = re.compile(r"^([01]),(?=[01])")
CARRY = re.compile(
    r"^(?:\(\s*(?P<bracketed>[01])\s*\)|(?P<barred>[01])\s*\||(?P<apart>[01])\s(?=[01]\.|[01]{4,}$))\s*"
)
TRAY = re.compile(r"\s*(?:\|\s*([01 ]+)|[(\[]\s*([01 ]+)\s*[)\]])\s*$")
HEX = re.compile(r"(?:0x|\$|#)?(?P<digits>[0-9a-f]+)h?", re.IGNORECASE)
#: What a sheet program makes of a long run of digits: the last of them are gone.
SHORTENED = re.compile(r"[\d.,]+e\+\d+", re.IGNORECASE)
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
    swapped    whether the fields are in the other order
    sure       whether it can be read in no other way
    other      what else it may be: a row whose exponent, or last digits, are those that fell off its end;
               a number, or a power of ten, whose digits are hexadecimal
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
    other: Reading | None = None

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
            found = {fmt.exponent.read(text)}
        furthest = min(4 << 2 * fmt.exponent_bits, FURTHEST)
        return {exponent for exponent in found if abs(exponent) <= furthest}


def read_pattern(
    plain: str,
    fmt: FloatFormat,
    *,
    point: str = ".",
    fields: bool = True,
    final: bool = False,
) -> Reading:
    """Return what *plain*, in plain characters, says in the format *fmt*.

    fields  whether it may be a mantissa and an exponent; digits in fixed point are not split
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
        rest = FIELDS_APART.sub(r"\1 \2", rest)
    else:
        rest = rest.replace(",", ".")
    rest = MANTISSA.sub("", rest)
    if not fields and (found := TRAY.search(rest)) and BITS.match(rest[: found.start()].strip()):
        rest, tray = rest[: found.start()].strip(), (found[1] or found[2]).replace(" ", "")
    in_hexadecimal = _whole_hexadecimal(rest, fmt) if final and fields else None
    if in_hexadecimal and in_hexadecimal.sure:
        return in_hexadecimal
    exponent, power, rest = power_behind(rest, fmt, final=final)
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
            value=value, swapped=parted[2], other=in_hexadecimal,
        )  # fmt: skip
    whole = value_of(plain, point)
    if whole is not None and not BITS.fullmatch(rest):
        return Reading(plain, value=whole, other=in_hexadecimal)
    return in_hexadecimal or _hexadecimal(rest, fmt) or Reading(plain, exponent=exponent, power=power)


def _bits_alone(plain: str, fmt: FloatFormat, point: str, *, fields: bool) -> Reading:
    """Return digits with nothing else between them but spaces and a point."""
    digits, exponent, swapped = (
        part_fields(plain, fmt, final=True) if fields else (plain.replace(" ", ""), "", False)
    )
    value = None if exponent else value_of(plain, point)
    other = _whole_hexadecimal(plain, fmt) if 4 * len(digits) == fmt.bits and value is not None else None
    return Reading(plain, digits=digits, exponent=exponent, value=value, swapped=swapped, other=other)


def _unwrapped(text: str) -> str:
    """Return *text* without brackets around all of it."""
    while len(text) > 3 and text[0] + text[-1] in {"()", "[]", "{}"}:
        text = text[1:-1].strip()
    return text


def power_behind(text: str, fmt: FloatFormat, *, final: bool = False) -> tuple[str, bool, str]:
    """Return the exponent that is written as a power of two, with its name or as a number; and the rest.

    The second says whether it is a number, and not the bits of its field.

    >>> from chalkpoint.numbers.named import format_called
    >>> power_behind("0.0010100 x 2^3", format_called("8+4"))
    ('3', True, '0.0010100')
    """
    match = POWER.search(text) or LABELLED.search(text) or NUMBERED.search(text)
    match = match or (BRACKETED.search(text) if final else None)
    if match is None:
        return "", False, text
    exponent = match["power"]
    in_bits = len(exponent) == fmt.exponent_bits > 2 and set(exponent) <= set("01")
    return exponent, not in_bits, text[: match.start()].strip(" ,;|")


def part_fields(text: str, fmt: FloatFormat, *, final: bool = False) -> tuple[str, str, bool]:
    """Return (mantissa, exponent, whether they are in the other order) by where spaces and lengths split *text*.

    >>> from chalkpoint.numbers.named import format_called
    >>> fmt = format_called("8+4")
    >>> part_fields("0.1010100 0011", fmt), part_fields("0011 01010100", fmt)
    (('0.1010100', '0011', False), ('01010100', '0011', True))
    """
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


def _whole_hexadecimal(text: str, fmt: FloatFormat) -> Reading | None:
    """Return *text* as a whole pattern in hexadecimal, sure where it can be no number; None where it is none."""
    run = text.replace(" ", "")
    match = HEX.fullmatch(run)
    if match is None or not 0 <= 4 * len(match["digits"]) - fmt.bits < 4:
        return None
    number = match["digits"] == run and re.fullmatch(r"\d+|[01]*e\d+", run, re.IGNORECASE)
    read = _hexadecimal(text, fmt)
    return read._replace(sure=not number) if read and read.exponent else None


def _hexadecimal(text: str, fmt: FloatFormat) -> Reading | None:
    """Return *text* as hexadecimal digits; it is sure where they can be nothing else, and as many as the format has."""
    match = HEX.fullmatch(text.replace(" ", ""))
    if match is None or 4 * len(match["digits"]) > fmt.bits + 8:
        return None  # that many digits are no pattern of the format, nor one with a digit too many
    digits = "".join(to_bits(int(digit, 16), 4) for digit in match["digits"])
    spare = len(digits) - fmt.bits
    if 0 < spare < 4 and "1" not in digits[:spare]:
        digits = digits[spare:]
    mantissa, exponent, _ = part_fields(digits, fmt)
    return Reading(text, digits=mantissa, exponent=exponent, hexadecimal=True)
