"""What a pupil writes, read: bits with or without a point, values, words, exponents, hexadecimal.

Nothing is refused here. What cannot be read is kept as it stands, because the answer that does not
fit is evidence.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import NamedTuple

from chalkpoint.numbers.bits import signed, to_bits
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import parse_value
from chalkpoint.numbers.formats import FloatFormat

__all__ = [
    "Entry",
    "parse_entry",
    "same_digits",
    "says_something",
    "shows_bits",
    "split_answers",
    "without_equals",
]

WORDS = {
    "overflow": "overflow",
    "overflows": "overflow",
    "overflowed": "overflow",
    "mantissa overflow": "overflow",
    "underflow": "underflow",
    "underflows": "underflow",
    "in range": "in range",
    "no overflow": "in range",
    "fits": "in range",
    "zero": "zero",
}
SUPERSCRIPTS = str.maketrans(
    "\u2070\u00b9\u00b2\u00b3\u2074\u2075\u2076\u2077\u2078\u2079\u207b", "0123456789-"
)
SPACES = re.compile(r"[\s\u2009\u00a0\u202f]+")
POWER = re.compile(r"\s*[x\u00d7*\u00b7]\s*2\s*(?:\^|\*\*)?\s*\(?\s*(?P<power>[-+]?\d+)\s*\)?\s*$")
LABELLED = re.compile(r"[,;]?\s*(?:exponent|exp|E)\s*[=:]?\s*(?P<power>[-+]?\d+)\s*$", re.IGNORECASE)
#: An exponent that stands as a number where its bits should: a sign, or a digit that is no bit.
NUMBERED = re.compile(r"(?<=[01.]{3}),?\s+(?P<power>[-+]\d{1,3}|\d{0,2}[2-9]\d{0,2})\s*$")
MANTISSA = re.compile(r"^(?:mantissa|m)\s*[=:]?\s*(?=[01])", re.IGNORECASE)
FIELDS_APART = re.compile(r"([01][01. ]+),\s*([01]+)")
LEAD = 3  # characters of a carried digit in brackets
CARRY = re.compile(r"^\(\s*([01])\s*\)")
HEX = re.compile(r"(?:0x|\$|#)?(?P<digits>[0-9a-f]+)(?:h)?", re.IGNORECASE)


FURTHEST = 1 << 18  # of an exponent: digits are shifted by as much
A_WORD = "|".join(sorted(WORDS, key=len, reverse=True))
SIDE = re.compile(r"[\d.,+\-\u2212/x\u00d7*\u00b7^()_|%\s]*\d[\d.,+\-\u2212/x\u00d7*\u00b7^()_|%\s]*")
BITS = re.compile(r"[01][01. _|]{2,}")
SAYING = re.compile(rf"\d|\b({A_WORD}|infinity|inf|nan|not a number)\b", re.IGNORECASE)
TWO_ANSWERS = re.compile(
    rf"([01][01._| ]{{2,}}?)\s*[,(]?\s*({A_WORD})\)?|({A_WORD})\s*[,:]?\s*([01][01._| ]{{2,}})", re.IGNORECASE
)


class Entry(NamedTuple):
    """One thing written.

    text       as it was written
    word       "overflow", "underflow", "in range" or "zero", or ""
    digits     mantissa digits (or all the digits) without separators; a point where one was written
    exponent   the exponent's digits or number as written, or ""
    power      whether the exponent was written as a power of two or a labelled number
    lead       a digit written in brackets before the others, or ""
    value      the value, where it can be read as one
    hexadecimal  whether it was written in hexadecimal
    """

    text: str
    word: str = ""
    digits: str = ""
    exponent: str = ""
    power: bool = False
    lead: str = ""
    value: Fraction | None = None
    hexadecimal: bool = False

    @property
    def bare(self) -> str:
        """The digits without their point."""
        return self.digits.replace(".", "")

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


def split_answers(text: str) -> list[str]:
    """Return the answers in *text*: a verdict and a pattern are two.

    >>> split_answers("overflow; 1000 1001"), split_answers("01010100 0011")
    (['overflow', '1000 1001'], ['01010100 0011'])
    """
    parts = [part.strip() for part in re.split(r"[;\n]| or | and ", text) if part.strip()]
    if len(parts) == 1 and (found := TWO_ANSWERS.fullmatch(text.strip())):
        return [part.strip() for part in found.groups() if part]
    return parts or [""]


def without_equals(text: str, *, bits: bool, final: bool) -> str:
    """Return what an equation says: in working its result, in a final answer its pattern and then its value.

    bits   whether bits are asked for there, and not a number
    final  whether it is the answer

    >>> without_equals("1 + 2 = 3", bits=True, final=False)
    '3'
    >>> without_equals("1.1101011 + 1 = 1.1101100 = -0.15625", bits=True, final=False)
    '1.1101100'
    >>> without_equals("5.25 = 01010100 0011", bits=True, final=True)
    '01010100 0011; 5.25'
    >>> without_equals("-5/32 = -0.15625", bits=False, final=True)
    '-5/32; -0.15625'
    """
    sides = [side.strip() for side in text.translate(SUPERSCRIPTS).split("=")]
    if len(sides) == 1 or not all(SIDE.fullmatch(side) for side in sides):
        return text
    patterns = [side for side in sides if bits and BITS.fullmatch(POWER.sub("", side))]
    if not final:
        return (patterns or sides)[-1]
    return "; ".join([*patterns[-1:], *(side for side in sides if side not in patterns)])


def says_something(text: str) -> bool:
    """Tell whether *text* says anything that an answer may: digits, or one of the words.

    >>> [says_something(text) for text in ("0101", "Overflow.", "-infinity", "see over", "?")]
    [True, True, True, False, False]
    """
    return bool(SAYING.search(text))


def parse_entry(text: str, fmt: FloatFormat, *, point: str = ".", fields: bool = True) -> Entry:
    """Return what *text* says in the format *fmt*.

    fields  whether it may be a mantissa and an exponent; digits in fixed point are not parted

    >>> from chalkpoint.numbers.formats import parse_format
    >>> entry = parse_entry("0.0010100 \u00d7 2^3", parse_format("8+4"))
    >>> entry.digits, entry.exponent, entry.power
    ('0.0010100', '3', True)
    >>> entry = parse_entry("M = 10101100, E = 0011", parse_format("8+4"))
    >>> entry.digits, entry.exponent, entry.power
    ('10101100', '0011', False)
    """
    plain = text.strip().translate(SUPERSCRIPTS).replace("\u2212", "-").replace("_", "").replace("|", " ")
    plain = _tidy(SPACES.sub(" ", plain.replace("\u2026", "").replace("...", "")))
    word = WORDS.get(plain.lower().rstrip("."), "")
    if word:
        return Entry(text, word=word)
    plain = MANTISSA.sub("", plain)
    if fields and point != ",":
        plain = FIELDS_APART.sub(r"\1 \2", plain)
    exponent, power, rest = "", False, plain
    match = POWER.search(plain) or LABELLED.search(plain) or NUMBERED.search(plain)
    if match:
        exponent, rest = match["power"], plain[: match.start()].strip()
        power = (
            match.re is not LABELLED or len(exponent) != fmt.exponent_bits or not set(exponent) <= set("01")
        )
    lead = CARRY.match(rest)
    if lead:
        rest = rest[lead.end() :].strip()
    value = _value(rest if not match else "", point)
    if not rest:
        return Entry(text, exponent=exponent, power=power)
    if point == "," and set(rest) <= set("01, "):
        rest = rest.replace(",", ".")
    if set(rest) <= set("01. ") and rest.count(".") <= 1 and any(c in "01" for c in rest):
        digits, field = (rest.replace(" ", ""), "") if match or not fields else _fields(rest, fmt)
        return Entry(
            text,
            digits=digits,
            exponent=exponent or field,
            power=power,
            lead=lead[1] if lead else "",
            value=value,
        )
    if value is not None:
        return Entry(text, exponent=exponent, power=power, value=value)
    return _hexadecimal(text, rest, fmt) or Entry(text, exponent=exponent, power=power)


def _tidy(text: str) -> str:
    """Return *text* without what says nothing about it: quotation marks, brackets around all of it, a doubtful "?".

    >>> _tidy(" (0.1010100 0011)? "), _tidy("(1)0.0101010")
    ('0.1010100 0011', '(1)0.0101010')
    """
    plain = text.strip().rstrip("?!").strip(" \"'\u2018\u2019\u201c\u201d")
    while len(plain) > LEAD and (plain[0] + plain[-1]) in {"()", "[]", "{}"}:
        plain = plain[1:-1].strip()
    return plain


def _value(text: str, point: str) -> Fraction | None:
    try:
        if text.endswith("%"):
            return parse_value(text[:-1], point=point) / 100
        return parse_value(text, point=point)
    except EntryError:
        return None


def _fields(text: str, fmt: FloatFormat) -> tuple[str, str]:
    """Return (mantissa, exponent) digits of *text* by where its spaces and its lengths part them."""
    groups = text.split(" ")
    count = sum(len(group.replace(".", "")) for group in groups)
    bare = "".join(groups)
    if count == fmt.mantissa_bits:
        return bare, ""
    first = fmt.exponent_bits if fmt.exponent_first else count - fmt.exponent_bits
    if len(groups) > 1:
        edge = groups[0] if fmt.exponent_first else groups[-1]
        if len(edge) == fmt.exponent_bits:
            rest = groups[1:] if fmt.exponent_first else groups[:-1]
            return "".join(rest), edge
        if len(groups) == 2:
            return (groups[1], groups[0]) if fmt.exponent_first else (groups[0], groups[1])
    if count == fmt.bits:
        at = _position(bare, first)
        one, other = bare[:at], bare[at:].removeprefix(".")  # a point between the fields parts them too
        return (other, one) if fmt.exponent_first else (one, other)
    return bare, ""


def _position(text: str, digits: int) -> int:
    """Return where the first *digits* digits of *text* end."""
    seen = 0
    for at, character in enumerate(text):
        if seen == digits:
            return at
        seen += character != "."
    return len(text)


def _hexadecimal(text: str, rest: str, fmt: FloatFormat) -> Entry | None:
    match = HEX.fullmatch(rest.replace(" ", ""))
    if match is None or 4 * len(match["digits"]) > fmt.bits + 8:
        return None  # that many digits are no pattern of the format, nor one with a digit too many
    digits = "".join(to_bits(int(digit, 16), 4) for digit in match["digits"])
    spare = len(digits) - fmt.bits
    if 0 < spare < 4 and "1" not in digits[:spare]:
        digits = digits[spare:]
    mantissa, exponent = _fields(digits, fmt)
    return Entry(text, digits=mantissa, exponent=exponent, hexadecimal=True)


def same_digits(written: str, expected: str) -> bool:
    """Tell whether *written* is *expected*, its point after the first digit or left out.

    >>> same_digits("0.110", "0110"), same_digits("01.10", "0110")
    (True, False)
    """
    return written.replace(".", "") == expected and ("." not in written or written.index(".") == 1)


def shows_bits(written: str, expected: str, *, places: int | None = None) -> bool:
    """Tell whether *written*, in working, is the row *expected*.

    Extra copies of the sign and zeros on the right may be added or left out.

    places  how many of the expected digits stand after the point (all but the first)

    >>> shows_bits("11.1011", "11011000"), shows_bits("1.1011", "11011000"), shows_bits("1.1010", "11011000")
    (True, True, False)
    """
    places = len(expected) - 1 if places is None else places
    if "." in written:
        left, right = written.split(".")
        return (left or "0", right) == (left, right) and _same_number(left, right, expected, places)
    if len(written) == len(expected):
        return written == expected
    if len(written) > len(expected):
        spare = len(written) - len(expected)
        return (written.startswith(expected) and "1" not in written[len(expected) :]) or (
            written.endswith(expected) and set(written[:spare]) == {expected[0]}
        )
    return len(written) > 1 and expected.startswith(written) and "1" not in expected[len(written) :]


def _same_number(left: str, right: str, expected: str, places: int) -> bool:
    whole, fraction = expected[: len(expected) - places], expected[len(expected) - places :]
    width = max(len(left), len(whole))
    return left.rjust(width, left[0]) == whole.rjust(width, whole[0]) and right.rstrip(
        "0"
    ) == fraction.rstrip("0")
