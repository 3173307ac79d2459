"""Operands: what people write, read as a format's patterns."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import NamedTuple

from chalkpoint.numbers.bits import looks_like_bits, to_bits
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.families import FLOATING, SIZES, WHOLE
from chalkpoint.numbers.fitting import fit, normal_exponent
from chalkpoint.numbers.fixed import code_past_range
from chalkpoint.numbers.formats import FloatFormat, Pattern
from chalkpoint.numbers.hexadecimal import looks_like_hexadecimal, parse_hexadecimal
from chalkpoint.numbers.named import AnyFormat, AnyPattern, fixed_format, format_called, written_example
from chalkpoint.numbers.rounding import rounding_called
from chalkpoint.numbers.signed import SignMagnitudeFormat
from chalkpoint.working.bringing import by_rule
from chalkpoint.working.course import Course
from chalkpoint.working.typed import BINARY, DECIMAL, clean, prefix_of, reading_note, value_in

__all__ = [
    "Operand",
    "in_its_own_format",
    "is_format",
    "join_fields",
    "note_on",
    "past_the_range",
    "read_operand",
]

FARTHEST = (
    64  # places past the range that a number may lie and still be asked about: more would only be written out
)

LONGEST_DECIMAL_IN_BITS = 4  # "1010" may be a decimal; a longer run of 0s and 1s is bits
INFINITIES = {"infinity": 0, "+infinity": 0, "-infinity": 1, "inf": 0, "+inf": 0, "-inf": 1}
NOT_NUMBERS = frozenset({"nan", "not a number"})
FIXED_SPELLING = re.compile(r"\(?[qQ]\d{1,4}\.\d{1,4}\)?")
IN_ITS_OWN_FORMAT = re.compile(
    r"(?P<bits>[01][01. _]*)\s*\(?(?P<format>[qQ]\d{1,4}\.\d{1,4}(?: unsigned)?)\)?|"
    r"(?P<first>[qQ]\d{1,4}\.\d{1,4}(?: unsigned)?)[:\s]\s*(?P<row>[01][01. _]*)"
)


class Operand(NamedTuple):
    """One operand, read.

    pattern  in the course's format; of a value past its range, the row that is left when the range is ignored
    given    the value asked for, where a number had to be stored
    spelled  how it is written where neither its pattern nor its value says that: in binary, in a format of its own
    outside  whether the format does not hold the value
    """

    pattern: AnyPattern
    given: Fraction | None = None
    spelled: str = ""
    outside: bool = False


def is_format(spelling: str) -> bool:
    """Tell whether *spelling* names a format.

    >>> is_format("binary16"), is_format("0011")
    (True, False)
    """
    if looks_like_bits(spelling) and len(spelling) > 3:
        return False
    try:
        format_called(spelling)
    except EntryError:
        return False
    return True


def join_fields(
    entries: list[str], wanted: int, fmt: AnyFormat, *, patterns: bool = True, many: bool = False
) -> list[str]:
    """Join what a shell split: the fields of a pattern, or a whole number and its fraction.

    wanted    how many operands there should be; with *many*, at least: then only whole patterns are
              joined, because a number and a fraction may be two terms

    >>> from chalkpoint.numbers.formats import parse_format
    >>> join_fields(["010111", "0011", "1", "3/8"], 2, parse_format("6+4"))
    ['010111 0011', '1 3/8']
    """
    widths = () if fmt.family == WHOLE or not patterns else fmt.widths
    joined: list[str] = []
    rest = list(entries)
    while rest:
        spare = len(joined) + len(rest) - wanted
        if _are_fields(rest[: len(widths)], widths, spare, exactly=many):
            joined.append(" ".join(rest[: len(widths)]))
            del rest[: len(widths)]
        elif spare > 0 and not many and len(rest) > 1 and _mixed_number(rest[0], rest[1]):
            joined.append(f"{rest.pop(0)} {rest.pop(0)}")
        else:
            joined.append(rest.pop(0))
        if rest and joined and looks_like_bits(joined[-1]) and FIXED_SPELLING.fullmatch(rest[0]):
            joined[-1] = f"{joined[-1]} {rest.pop(0)}"
    return joined


def _are_fields(entries: list[str], widths: tuple[int, ...], spare: int, *, exactly: bool) -> bool:
    """Tell whether *entries* are the fields of one pattern; of *exactly* their widths where only that tells."""
    if len(widths) < 2 or len(entries) < len(widths):
        return False
    if not all(looks_like_bits(entry) and " " not in entry.strip() for entry in entries):
        return False
    if exactly:
        return all(len(entry.replace(".", "")) == width for entry, width in zip(entries, widths, strict=True))
    return spare >= len(widths) - 1


def _mixed_number(entry: str, following: str) -> bool:
    top, slash, bottom = following.partition("/")
    return bool(slash) and entry.lstrip("+-\u2212").isdigit() and top.isdigit() and bottom.isdigit()


def read_operand(entry: str, course: Course, *, beyond: bool = False) -> Operand:
    """Return what *entry* stands for, with the value asked for where a number was stored.

    beyond  whether a value past the range is taken too: then overflow is what the question is about

    >>> read_operand("6.5", Course())[:2]
    (Pattern(mantissa=104, exponent=3), Fraction(13, 2))
    >>> read_operand("0x46", Course(format="1+4+3"))[:2]
    (Fields(sign=0, exponent=1, fraction=6), None)
    >>> read_operand("0b10.01", Course())
    Operand(pattern=Pattern(mantissa=72, exponent=2), given=Fraction(9, 4), spelled='0b10.01', outside=False)
    >>> read_operand("01.10 Q2.2", Course(format="Q3.4"))
    Operand(pattern='0011000', given=Fraction(3, 2), spelled='01.10 Q2.2', outside=False)
    >>> read_operand("200", Course(format="8"), beyond=True)
    Operand(pattern='11001000', given=Fraction(200, 1), spelled='', outside=True)

    Raises EntryError for what is neither a pattern nor a number, or a value that the format cannot hold.
    """
    fmt, entry = course.number_format, clean(entry)
    if (pattern := _pattern_or_none(entry, course)) is not None:
        return Operand(pattern)
    if fmt.family == WHOLE and (own := in_its_own_format(entry)):
        return Operand(store(own[0], course), own[0], entry)
    return _number(entry, course, beyond=beyond)


def _pattern_or_none(entry: str, course: Course) -> AnyPattern | None:
    """Return the pattern that *entry* is written as; None where it may be a number."""
    fmt = course.number_format
    if looks_like_hexadecimal(entry):
        return fmt.read(parse_hexadecimal(entry, fmt.bits))
    if fmt.family == SIZES and (special := _special(entry, fmt)) is not None:
        return special
    sign, prefix, rest = prefix_of(entry)
    if prefix == BINARY and not sign and _is_whole_pattern(rest, fmt):
        return _pattern_in(rest, fmt)
    if _is_bits(entry, fmt) or (not prefix and _stands_apart(entry, fmt)):
        return _pattern_in(entry, fmt)
    return None


def _stands_apart(entry: str, fmt: AnyFormat) -> bool:
    """Tell whether *entry* has several parts, as the fields of a pattern have and a number has not."""
    number = "/" in entry or entry.startswith(("- ", "+ ")) or not any(map(str.isdigit, entry))
    own = fmt.family == WHOLE and in_its_own_format(entry) is not None
    return " " in entry and not number and not own


def _number(entry: str, course: Course, *, beyond: bool) -> Operand:
    """Return the operand that a number stands for."""
    fmt = course.number_format
    if not any(character.isdigit() for character in entry):
        raise EntryError(
            f"{entry!r} is neither a pattern nor a number; write one such as {written_example(fmt)!r} or 1.5"
        )
    value = value_in(entry, point=course.point, name="operand")
    spelled = entry if prefix_of(entry)[1] == BINARY else ""
    if beyond and by_rule(value, _refusing(course)) is None:
        row = past_the_range(value, course)
        if row is not None:  # an infinity is a number of its format, and worked on
            return Operand(row, value, spelled, outside=fmt.family != SIZES)
    try:
        return Operand(store(value, course), value, spelled)
    except EntryError as reason:
        if note := reading_note(entry, fmt.bits, as_bits=False):
            raise EntryError(f"{reason}. {note}") from None
        raise


def in_its_own_format(entry: str) -> tuple[Fraction, int] | None:
    """Return the value of an operand that says its own format of fixed point, and the places after its point.

    >>> in_its_own_format("01.10 Q2.2"), in_its_own_format("0110")
    ((Fraction(3, 2), 2), None)
    """
    found = IN_ITS_OWN_FORMAT.fullmatch(entry)
    if found is None:
        return None
    own = fixed_format(format_called(found["format"] or found["first"]))
    return own.value(own.read((found["bits"] or found["row"]).strip())), own.places


def past_the_range(value: Fraction, course: Course) -> AnyPattern | None:
    """Return the row left of *value*, past the range, by whoever ignores that; None of one too near zero or too far.

    >>> past_the_range(Fraction(-240), Course(format="8")), past_the_range(Fraction(300), Course())
    ('00010000', Pattern(mantissa=75, exponent=-7))
    """
    fmt, rounding = course.number_format, rounding_called(course.rounding)
    highest = fmt.bits if fmt.family == WHOLE else fmt.highest_exponent
    if value.numerator.bit_length() - value.denominator.bit_length() > highest + FARTHEST:
        return None
    if fmt.family == WHOLE:
        return to_bits(code_past_range(fmt.rounded(value, rounding), fmt), fmt.bits)
    if fmt.family == FLOATING:
        fitted = fit(value, fmt, rounding)
        if fitted.exponent < fmt.lowest_exponent:
            return None
        past = (fitted.exponent - fmt.lowest_exponent) % (1 << fmt.exponent_bits)
        return Pattern(fitted.mantissa, fmt.lowest_exponent + past)
    if course.overflow != "infinity" or fmt.infinity is None or abs(value) < 1:
        return None
    return fmt.infinity._replace(sign=int(value < 0))


def note_on(entry: str, course: Course, *, patterns: bool) -> str:
    """Return how *entry* is read, where it could be bits or a decimal; "" where that is plain.

    patterns  whether the operation takes patterns, so that bits are read as one

    >>> note_on("0.110", Course(format="Q1.3"), patterns=True)
    '0.110 is read as a decimal; 0b0.110 would be binary.'
    >>> note_on("-0", Course(format="binary16"), patterns=False)
    '-0 is read as the number 0; minus zero is the pattern 1 00000 0000000000.'
    """
    fmt, plain = course.number_format, clean(entry)
    if fmt.family == SIZES and not patterns and _is_minus_zero(plain):
        return f"{plain} is read as the number 0; minus zero is the pattern {fmt.write(_minus_zero(fmt))}."
    return reading_note(plain, fmt.bits, as_bits=patterns and _is_bits(plain, fmt))


def _is_bits(entry: str, fmt: AnyFormat) -> bool:
    """Tell whether *entry* is read as bits, with no prefix that says so."""
    bare = "".join(entry.split())
    return looks_like_bits(entry) and (
        len(bare.replace(".", "")) > LONGEST_DECIMAL_IN_BITS
        or " " in entry
        or len(bare) == fmt.bits
        or (len(bare) > 1 and bare.isdigit() and bare[0] == "0")  # no decimal is written so
    )


def _is_whole_pattern(digits: str, fmt: AnyFormat) -> bool:
    return bool(len("".join(digits.replace(".", "").replace("_", " ").split())) == fmt.bits)


def _pattern_in(entry: str, fmt: AnyFormat) -> AnyPattern:
    """Return the pattern written in *entry*.

    Raises EntryError where it is none; where its fields are those of the format in another order, that is asked.
    """
    try:
        return fmt.read(entry)
    except EntryError as reason:
        if "." in entry and " " not in entry and not prefix_of(entry)[1]:
            raise EntryError(
                f"{reason}; {DECIMAL}{entry} would be the decimal, {BINARY}{entry} the binary number"
            ) from None
        fields, widths = entry.split(), () if fmt.family == WHOLE else fmt.widths
        lengths = [len(field.replace(".", "")) for field in fields]
        if len(fields) < 2 or lengths == list(widths) or sorted(lengths) != sorted(widths):
            raise
        by_length = dict(zip(lengths, fields, strict=True))
        ordered = " ".join(by_length[width] for width in widths)
        raise EntryError(
            f"{entry!r} has fields of {', '.join(map(str, lengths))} bits, and {fmt} has "
            f"{', '.join(map(str, widths))}: were they exchanged? Then write {ordered!r}"
        ) from None


def _special(entry: str, fmt: SignMagnitudeFormat) -> AnyPattern:
    """Return the pattern of an infinity, of NaN or of minus zero; else None."""
    word = " ".join(entry.lower().replace("\u2212", "-").split())
    if word in NOT_NUMBERS:
        if fmt.nan is None:
            raise EntryError(f"{entry!r}: {fmt} has no pattern for what is not a number; give a number")
        return fmt.nan
    if word in INFINITIES:
        if fmt.infinity is None:
            raise EntryError(f"{entry!r}: {fmt} has no infinity; give a number")
        return fmt.infinity._replace(sign=INFINITIES[word])
    return _minus_zero(fmt) if _is_minus_zero(word) else None


def _is_minus_zero(word: str) -> bool:
    """Tell whether *word* is 0 with a minus before it, such as "-0.0"."""
    return word.startswith(("-", "\u2212")) and word[1:].strip("0.") == "" and "0" in word


def _minus_zero(fmt: SignMagnitudeFormat) -> AnyPattern:
    return fmt.zero._replace(sign=1)


def store(value: Fraction, course: Course) -> AnyPattern:
    """Return the pattern *value* is stored as under the course's rounding.

    Raises EntryError where the format cannot hold it.
    """
    fmt = course.number_format
    pattern = by_rule(value, _refusing(course))
    if pattern is not None:
        return pattern
    shown = write_value(value, point=course.point)
    if fmt.family == WHOLE:
        ends = [
            write_value(fmt.unit_value * end, point=course.point)
            for end in (fmt.field.lowest, fmt.field.highest)
        ]
        raise EntryError(
            f"{shown} is outside {fmt}, which holds {ends[0]} to {ends[1]}; give a value in between"
        )
    if fmt.family == SIZES:
        ends = [write_value(fmt.value(end), point=course.point) for end in (fmt.smallest, fmt.largest)]
        raise EntryError(
            f"{shown} is outside {fmt}, whose sizes run from {ends[0]} to {ends[1]}; give a value in between"
        )
    raise EntryError(_past_exponents(shown, value, fmt))


def _refusing(course: Course) -> Course:
    """Return *course* with words for what its format cannot hold, which no operand may be."""
    underflow = "word" if course.number_format.family == FLOATING else course.underflow
    if course.overflow == "word" and course.underflow == underflow:
        return course
    return course.with_(overflow="word", underflow=underflow)


def _past_exponents(shown: str, value: Fraction, fmt: FloatFormat) -> str:
    exponent = normal_exponent(value.numerator, value.denominator) + 1 - fmt.point
    return (
        f"{shown} needs the exponent {exponent}; {fmt} holds exponents from "
        f"{fmt.lowest_exponent} to {fmt.highest_exponent}: choose a value nearer to 1 or more exponent bits"
    )
