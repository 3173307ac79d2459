"""Operands: what people write, read as a format's patterns."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.numbers.bits import looks_like_bits
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.families import FLOATING, SIZES, WHOLE
from chalkpoint.numbers.fitting import normal_exponent
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.numbers.hexadecimal import looks_like_hexadecimal, parse_hexadecimal
from chalkpoint.numbers.named import AnyFormat, AnyPattern, format_called, written_example
from chalkpoint.numbers.signed import SignMagnitudeFormat
from chalkpoint.working.bringing import by_rule
from chalkpoint.working.course import Course
from chalkpoint.working.typed import BINARY, clean, prefix_of, reading_note, value_in

__all__ = ["is_format", "join_fields", "note_on", "read_operand"]

LONGEST_DECIMAL_IN_BITS = 4  # "1010" may be a decimal; a longer run of 0s and 1s is bits
LONGEST_SHOWN = 40  # characters of a value in a sentence
INFINITIES = {"infinity": 0, "+infinity": 0, "-infinity": 1, "inf": 0, "+inf": 0, "-inf": 1}
NOT_NUMBERS = frozenset({"nan", "not a number"})


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


def read_operand(entry: str, course: Course) -> tuple[AnyPattern, Fraction | None]:
    """Return the pattern *entry* stands for, and the value asked for where a decimal was stored.

    >>> read_operand("6.5", Course())
    (Pattern(mantissa=104, exponent=3), Fraction(13, 2))
    >>> read_operand("0x46", Course(format="1+4+3"))
    (Fields(sign=0, exponent=1, fraction=6), None)
    >>> read_operand("0b10.01", Course())
    (Pattern(mantissa=72, exponent=2), Fraction(9, 4))
    """
    fmt, entry = course.number_format, clean(entry)
    if looks_like_hexadecimal(entry):
        return fmt.read(parse_hexadecimal(entry, fmt.bits)), None
    if fmt.family == SIZES:
        special = _special(entry, fmt)
        if special is not None:
            return special, None
    sign, prefix, rest = prefix_of(entry)
    if prefix == BINARY and not sign and _is_whole_pattern(rest, fmt):
        return _pattern_in(rest, fmt), None
    if _is_bits(entry, fmt):
        return _pattern_in(entry, fmt), None
    if not any(character.isdigit() for character in entry):
        raise EntryError(
            f"{entry!r} is neither a pattern nor a number; write one such as {written_example(fmt)!r} or 1.5"
        )
    if " " in entry and "/" not in entry and not prefix and not entry.startswith(("- ", "+ ")):
        return _pattern_in(entry, fmt), None
    value = value_in(entry, point=course.point, name="operand")
    return store(value, course), value


def note_on(entry: str, course: Course, *, patterns: bool) -> str:
    """Return how *entry* is read, where it could be bits or a decimal; "" where that is plain.

    patterns  whether the operation takes patterns, so that bits are read as one

    >>> note_on("0.110", Course(format="Q1.3"), patterns=True)
    '0.110 is read as a decimal; 0b0.110 would be binary.'
    """
    fmt, plain = course.number_format, clean(entry)
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
    except EntryError:
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
    """Return the pattern of an infinity, of what is not a number, or of minus zero; else None."""
    word = " ".join(entry.lower().replace("\u2212", "-").split())
    if word in NOT_NUMBERS:
        if fmt.nan is None:
            raise EntryError(f"{entry!r}: {fmt} has no pattern for what is not a number; give a number")
        return fmt.nan
    if word in INFINITIES:
        if fmt.infinity is None:
            raise EntryError(f"{entry!r}: {fmt} has no infinity; give a number")
        return fmt.infinity._replace(sign=INFINITIES[word])
    is_minus_zero = word.startswith("-") and word[1:].strip("0.") == "" and "0" in word
    return fmt.zero._replace(sign=1) if is_minus_zero else None


def store(value: Fraction, course: Course) -> AnyPattern:
    """Return the pattern *value* is stored as under the course's rounding.

    Raises EntryError where the format cannot hold it.
    """
    fmt = course.number_format
    pattern = by_rule(value, _refusing(course))
    if pattern is not None:
        return pattern
    shown = _in_short(value, course.point)
    if fmt.family == WHOLE:
        ends = [
            _in_short(fmt.unit_value * end, course.point) for end in (fmt.field.lowest, fmt.field.highest)
        ]
        raise EntryError(
            f"{shown} is outside {fmt}, which holds {ends[0]} to {ends[1]}; give a value in between"
        )
    if fmt.family == SIZES:
        ends = [_in_short(fmt.value(end), course.point) for end in (fmt.smallest, fmt.largest)]
        raise EntryError(
            f"{shown} is outside {fmt}, whose sizes run from {ends[0]} to {ends[1]}; give a value in between"
        )
    raise EntryError(_past_exponents(shown, value, fmt))


def _in_short(value: Fraction, point: str) -> str:
    """Return *value* as a sentence can hold it.

    >>> _in_short(Fraction(21, 4), "."), _in_short(-Fraction(10) ** 9999, ".")
    ('5.25', 'a value near -2^33216')
    """
    written = write_value(value, point=point)
    if len(written) <= LONGEST_SHOWN:
        return written
    exponent = normal_exponent(value.numerator, value.denominator)
    return f"a value near {'-' if value < 0 else ''}2^{exponent}"


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
