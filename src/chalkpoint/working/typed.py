"""What people type: dashes, signs and commas between operands, and words that could be bits or a decimal.

Whatever is typed is cleaned (`clean`), taken apart into operands (`entries_of`), and then read by `working.operands`.
A prefix forces how digits are read: 0x for hexadecimal, 0b for binary, 0d for decimal.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from fractions import Fraction

from chalkpoint.numbers.bits import looks_like_bits
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import parse_value
from chalkpoint.working.wording.words_pupils import READ_AS

__all__ = [
    "BINARY",
    "DECIMAL",
    "clean",
    "entries_of",
    "names_for",
    "prefix_of",
    "reading_note",
    "value_in",
    "with_powers",
]

BINARY, DECIMAL = "0b", "0d"
DASHES = "\u2010\u2011\u2012\u2013\u2014\u2015\u2212\u207b\ufe58\ufe63\uff0d"
CHARACTERS = {ord(dash): "-" for dash in DASHES} | {
    0xFF0B: "+",
    0xFF0C: ",",
    0xFF0E: ".",
    0xFF0F: "/",
    0x2044: "/",
    0x2215: "/",
    0xFF1B: ";",
    0xFEFF: None,  # the mark that some editors put before a text
    0x200B: None,
    0x200E: None,
    0x200F: None,
    0x2060: None,
}
SIGNS = {
    "+": "+",
    "-": "\u2212",
    "*": "\u00d7",
    "x": "\u00d7",
    "\u00d7": "\u00d7",
    "/": "\u00f7",
    "\u00f7": "\u00f7",
}
BETWEEN = re.compile(r"(?<=\S)\s+([-+*x\u00d7/\u00f7])\s+(?=\S)")
CLOSE = re.compile(r"([-+]?[\d.]+)([-+*\u00d7\u00f7])([-+]?[\d.]+)", re.ASCII)
COMMA = re.compile(r"[-+]?\s*\d+,\d+", re.ASCII)
PREFIXED = re.compile(r"([-+]?)\s*(0[bd])(?=[\d. ])(.*)", re.ASCII | re.IGNORECASE)
TIMES = {"x", "X", "*", "\u00d7", "\u00b7", "\u22c5"}
RAISED = str.maketrans("\u2070\u00b9\u00b2\u00b3\u2074\u2075\u2076\u2077\u2078\u2079", "0123456789")
POWER = re.compile(
    rf"(?<=[\d.])\s*[{''.join(TIMES)}]\s*(10|2)(?:\s*\^\s*\(?([-+]?\d{{1,5}})\)?|(-?[\u2070-\u2079\u00b9\u00b2\u00b3]+))"
)
TIMES_TWO = re.compile(
    r"([-+]?(?:0[bd][\d.,]+|\d*[.,]\d*))\*2\^([-+]?\d{1,5})", re.ASCII
)  # others: `parse_value`
LONGEST_DOUBT = 7  # digits: nobody writes a longer decimal of 0s and 1s


def clean(text: str) -> str:
    """Return *text* with every dash a hyphen, every digit one of 0 to 9, every space a plain one, no invisible marks.

    A power of ten or two behind a number is written close to it.

    >>> clean("\ufeff\u22125.25"), clean("\uff11\uff12\u00a0\u2013 3")
    ('-5.25', '12 - 3')
    >>> clean("6.02 \u00d7 10^23"), clean("2.5 \u00b7 10\u207b\u00b3"), clean("1.5 x 2^-3")
    ('6.02e23', '2.5e-3', '1.5*2^-3')
    """
    plain = text.translate(CHARACTERS)
    return POWER.sub(_close, "".join(_plain(character) for character in plain)).strip()


def _close(found: re.Match[str]) -> str:
    """Return a power of ten or two as it is written close to a number."""
    power = (found[2] or found[3]).translate(RAISED).removeprefix("+")
    return f"e{power}" if found[1] == "10" else f"*2^{power}"


def with_powers(entries: Sequence[str]) -> list[str]:
    """Return *entries*, a power that a shell made a word of its own behind its number again.

    >>> with_powers(["1.5", "x", "10^3", "2"])
    ['1.5 x 10^3', '2']
    """
    found: list[str] = []
    for entry in entries:
        if len(found) > 1 and found[-1] in TIMES and POWER.fullmatch(f"1*{entry}", 1):
            times, number = found.pop(), found.pop()
            found.append(f"{number} {times} {entry}")
        else:
            found.append(entry)
    return found


def _plain(character: str) -> str:
    if character.isascii():
        return " " if character.isspace() else character
    digit = unicodedata.decimal(character, None)
    return str(digit) if digit is not None else " " if character.isspace() else character


def entries_of(
    typed: Iterable[str], name: str, sign: str, wanted: int, *, point: str = ".", many: bool = False
) -> list[str]:
    """Return the operands in *typed*, for the operation of this *name* and *sign*, which takes *wanted* of them.

    >>> entries_of(["8.875 + 3.6875"], "add", "+", 2), entries_of(["8.875", "+", "3.6875"], "add", "+", 2)
    (['8.875', '3.6875'], ['8.875', '3.6875'])
    >>> entries_of(["8.875,3.6875"], "add", "+", 2), entries_of(["8,875; 3,6875"], "add", "+", 2, point=",")
    (['8.875', '3.6875'], ['8,875', '3,6875'])

    Raises EntryError for a sign of another operation between them.
    """
    entries = _without_signs(
        [entry for entry in (clean(one).strip(",; ") for one in typed) if entry], name, sign
    )
    if len(entries) >= wanted and not (many and len(entries) == 1):
        return entries
    parted = [part for entry in entries for part in _parts(entry, name, sign, point)]
    return [part for part in parted if part]


def _without_signs(entries: list[str], name: str, sign: str) -> list[str]:
    """Return *entries* without signs that a shell made words of their own; a sign before a number belongs to it."""
    found: list[str] = []
    pending = ""
    between = False
    for entry in entries:
        if entry in SIGNS and sign and found and not between:
            _check_sign(entry, " ".join(entries), name, sign)
            between = True
        elif entry in {"-", "+"} and sign:
            pending = entry
        else:
            found.append(pending + entry)
            pending, between = "", False
    return found + ([pending] if pending else [])


def _parts(entry: str, name: str, sign: str, point: str) -> list[str]:
    """Return the operands in one *entry*: between signs, semicolons, or commas that are no decimal ones."""
    if sign:
        for found in BETWEEN.finditer(entry):
            _check_sign(found[1], entry, name, sign)
        parts = BETWEEN.split(entry)[::2]
        if len(parts) > 1:
            return [part.strip() for part in parts]
        close = CLOSE.fullmatch(entry)
        if close and SIGNS[close[2]] == sign:
            return [close[1], close[3]]
    separator = r";" if ";" in entry else r",\s+" if point == "," else r","
    return [part.strip() for part in re.split(separator, entry)]


def _check_sign(found: str, entry: str, name: str, sign: str) -> None:
    if SIGNS[found] != sign:
        raise EntryError(
            f"{entry!r} has {SIGNS[found]} between its operands, and {name} puts {sign} there; "
            f"write the operands apart, or ask the operation that is meant"
        )


def names_for(names: Sequence[str], operands: int) -> tuple[str, ...]:
    """Return what the operands are to be called, "" for those that keep their usual names.

    >>> names_for(["gauge", " datum", ""], 2), names_for(["", "datum"], 2)
    (('gauge', 'datum'), ('', 'datum'))

    Raises EntryError for more names than *operands*.
    """
    given = [" ".join(clean(name).split()) for name in names]
    while given and not given[-1]:
        given.pop()
    if len(given) > operands:
        count = {0: "no operand", 1: "one operand"}.get(operands, f"{operands} operands")
        raise EntryError(
            f"{len(given)} names ({', '.join(given)}) are given for {count}; give at most as many names as operands"
        )
    return tuple(given)


# === Bits or a decimal ===


def prefix_of(entry: str) -> tuple[str, str, str]:
    """Return the sign, the prefix and the rest of an entry that says how it is to be read; the prefix "" of others.

    >>> prefix_of("0b10.01"), prefix_of("-0d10"), prefix_of("10")
    (('', '0b', '10.01'), ('-', '0d', '10'), ('', '', '10'))
    """
    found = PREFIXED.fullmatch(entry.strip())
    return (found[1], found[2].lower(), found[3].strip()) if found else ("", "", entry)


def value_in(entry: str, *, point: str = ".", name: str = "value") -> Fraction:
    """Return the value of *entry*: a number as `parse_value` reads it, or one in binary after 0b.

    >>> value_in("0b10.01"), value_in("-0b.1"), value_in("0d10.01")
    (Fraction(9, 4), Fraction(-1, 2), Fraction(1001, 100))

    Raises EntryError when *entry* is no number.
    """
    scaled = TIMES_TWO.fullmatch(clean(entry))
    if scaled:
        return value_in(scaled[1], point=point, name=name) * Fraction(2) ** int(scaled[2])
    sign, prefix, rest = prefix_of(clean(entry))
    if prefix == BINARY:
        size = _in_binary(entry, rest.replace(",", ".") if point == "," else rest)
        return -size if sign == "-" else size
    plain = clean(entry) if not prefix else f"{sign}{rest}"
    if point == "." and COMMA.fullmatch(plain):
        raise EntryError(
            f"{entry!r} as {name} has a decimal comma, and numbers are written with a point here; "
            f'write {plain.replace(",", ".")}, or set point = "," in the course'
        )
    return parse_value(plain, point=point, name=name)


def _in_binary(entry: str, digits: str) -> Fraction:
    if not looks_like_bits(digits):
        raise EntryError(f"{entry!r} has another digit than 0 and 1 after 0b; write one such as 0b10.01")
    whole, _, places = "".join(digits.replace("_", " ").split()).partition(".")
    return Fraction(int(whole + places or "0", 2), 1 << len(places))


def reading_note(entry: str, bits: int, *, as_bits: bool) -> str:
    """Return how *entry* is read, where it could be bits or a decimal and they differ; else "". A sign tells a number.

    bits     of a whole pattern of the format

    >>> reading_note("0.111", 12, as_bits=False)
    '0.111 is read as a decimal; 0b0.111 would be binary.'
    >>> reading_note("1000", 4, as_bits=True)
    '1000 is read as bits; 0d1000 would be the decimal.'
    >>> reading_note("0.1", 12, as_bits=False), reading_note("6.5", 12, as_bits=False)
    ('', '')
    """
    digits = entry.replace(".", "")
    if not digits or set(digits) - {"0", "1"} or entry.count(".") > 1 or digits.strip("0") == "":
        return ""
    if (
        len(digits) > LONGEST_DOUBT
        or (len(digits) < 3 and len(digits) != bits and "." in entry)
        or len(digits) < 2
    ):
        return ""
    if as_bits:
        doubtful = entry[0] == "1" or entry.startswith(("0.", "."))
        return READ_AS["bits"].format(entry=entry, other=f"{DECIMAL}{entry}") if doubtful else ""
    return READ_AS["decimal"].format(entry=entry, other=f"{BINARY}{entry}")
