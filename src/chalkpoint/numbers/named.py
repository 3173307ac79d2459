"""Every format has one spelling: a name, or its sizes and what is unusual about it.

::

    8+4                        mantissa and exponent, two's complement both
    8+4 excess-8               the exponent in excess-8
    8+4 sign-and-magnitude     the mantissa's first bit is its sign, the rest its size
    1+4+3                      sign, exponent and fraction in the way of IEEE 754
    1+3+4 excess-4 stored-one point-first
                               the leading one is written, and the point comes before it
    1+4+3 no-subnormals no-infinities
    1+4+3 twos-complement      the exponent in two's complement; neither subnormals nor infinities
    1+8+23 excess-128 exponent-last
                               sign and fraction first, the exponent behind them
    8, 8 unsigned, 8 sign-and-magnitude, 8 ones-complement, 8 excess-127
    Q5.3, Q5.3 unsigned        5 bits before the point, sign included, and 3 after it
    binary32, E4M3, 1750A-48, C3x-16 ...
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from functools import cache
from typing import Any, TypeAlias, TypeGuard

from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.numbers.families import FLOATING, SIZES, WHOLE
from chalkpoint.numbers.fields import Field
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.formats import FloatFormat, parse_format
from chalkpoint.numbers.orders import ORDERS
from chalkpoint.numbers.signed import SignMagnitudeFormat

__all__ = [
    "FORMATS",
    "AnyFormat",
    "AnyPattern",
    "fixed_format",
    "float_format",
    "format_called",
    "is_school",
    "size_format",
    "value_or_none",
    "written_example",
]

AnyFormat: TypeAlias = FloatFormat | SignMagnitudeFormat | FixedFormat
"""A format of any family; what is asked of `family` tells a type checker which."""

AnyPattern: TypeAlias = Any
"""A written number of a format that is not known: a Pattern, Fields or a row of bits, which only that format reads."""

ACCEPTED = "write one such as 8+4, 1+4+3, binary16, 8, 8 unsigned or Q5.3"
SPELLING = re.compile(r"(\d{1,4})(?:\+(\d{1,4}))?(?:\+(\d{1,4}))?|[qQ](\d{1,4})\.(\d{1,4})")
EXCESS = re.compile(r"excess-(\d{1,9})")
#: Other ways in which people write the words after a format's sizes.
OTHER_WRITINGS = (
    (r"(?<=\d)[ -]bits?\b", ""),
    (r"\b(?:ones?|1)['\u2019]?s?['\u2019]?[ -]complement\b", "ones-complement"),
    (r"\b(?:twos?|2)['\u2019]?s?['\u2019]?[ -]complement\b", "twos-complement"),
    (r"\bsign(?:ed)?[ -](?:and |& ?)?magnitude\b", "sign-and-magnitude"),
    (r"\b(?:excess|bias(?:ed)?)[ -](?:by )?(?=\d)", "excess-"),
)
MOST_BITS = 128
MOST_EXPONENT_BITS = 16
WHOLE_CODES = {
    "unsigned": "unsigned",
    "sign-and-magnitude": "sign and magnitude",
    "ones-complement": "ones' complement",
}


def _ieee(name: str, exponent_bits: int, fraction_bits: int, **parts: Any) -> SignMagnitudeFormat:
    bias = (1 << (exponent_bits - 1)) - 1
    return SignMagnitudeFormat(Field("excess", exponent_bits, bias), fraction_bits, name=name, **parts)


def _machine(name: str, mantissa_bits: int, exponent_bits: int, **parts: Any) -> FloatFormat:
    code = "two's complement"
    return FloatFormat(Field(code, mantissa_bits), Field(code, exponent_bits), name=name, **parts)


def _implied(name: str, fraction_bits: int, exponent_bits: int) -> FloatFormat:
    """Return 01.f or 10.f times a power of two: the bit after the sign is not written."""
    parts = {"exponent_first": True, "point": 2, "implied": True, "zero_reserved": True}
    return _machine(name, fraction_bits + 2, exponent_bits, **parts)


#: The formats with names: IEEE 754-2019 table 3.5, bfloat16, OFP8 revision 1.0; then MIL-STD-1750A 4.1 and
#: the TMS320C3x User's Guide, chapter 5.
FORMATS: dict[str, AnyFormat] = {
    entry.name: entry
    for entry in (
        _ieee("binary16", 5, 10),
        _ieee("binary32", 8, 23),
        _ieee("binary64", 11, 52),
        _ieee("binary128", 15, 112),
        _ieee("bfloat16", 8, 7),
        _ieee("E4M3", 4, 3, specials="one nan"),
        _ieee("E5M2", 5, 2),
        _machine("1750A-32", 24, 8, zero_exponent=0),
        _machine("1750A-48", 40, 8, zero_exponent=0, low_bits=16),
        _implied("C3x-16", 11, 4),
        _implied("C3x-32", 23, 8),
        _implied("C3x-40", 31, 8),
    )
}
#: Names of the formats that a spelling of sign, exponent and fraction may also reach.
BY_PARTS: dict[AnyFormat, str] = {
    replace(entry, name=""): name for name, entry in FORMATS.items() if entry.family == SIZES
}
BY_LOWER_CASE = {name.lower(): name for name in FORMATS}


def format_called(
    spelling: str, *, exponent_first: bool = False, zero_exponent: int | None = None
) -> AnyFormat:
    """Return the format spelt *spelling*.

    exponent_first  for formats whose two fields a course may write in either order
    zero_exponent   exponent of the pattern for zero, in formats that leave it open

    >>> str(format_called("1+5+10")), format_called("binary16").bits
    ('binary16', 16)
    >>> str(format_called("8+4   excess-8")), str(format_called("q5.3"))
    ('8+4 excess-8', 'Q5.3')

    Raises EntryError when *spelling* is none, or its sizes are past what is taken here.
    """
    return _built(" ".join(spelling.split()), exponent_first, zero_exponent)


@cache
def _built(spelling: str, exponent_first: bool, zero_exponent: int | None) -> AnyFormat:  # noqa: FBT001
    if spelling.lower() in BY_LOWER_CASE:
        return FORMATS[BY_LOWER_CASE[spelling.lower()]]
    bare = re.sub(r"\s*\+\s*", "+", spelling)
    for other, ours in OTHER_WRITINGS:
        bare = re.sub(other, ours, bare, flags=re.IGNORECASE)
    head, *options = bare.lower().split(" ") if bare else [""]
    match = SPELLING.fullmatch(head)
    if match is None:
        close = near_misses(head, BY_LOWER_CASE)
        hint = f"; {close}" if close.startswith("did") else ""
        raise EntryError(f"{spelling!r} is not a format; {ACCEPTED}{hint}")
    parts = Options(spelling, options)
    if match[4]:
        built: AnyFormat = _fixed(parts, int(match[4]), int(match[5]))
    elif match[3]:
        built = _signed(parts, *(int(match[group]) for group in (1, 2, 3)))
    elif match[2]:
        built = _school(parts, head, exponent_first=exponent_first, zero_exponent=zero_exponent)
    else:
        built = _fixed(parts, int(match[1]), 0)
    parts.refuse_the_rest()
    return built


class Options:
    """The words after a format's sizes, taken one by one by what understands them."""

    def __init__(self, spelling: str, words: list[str]) -> None:
        self.spelling = spelling
        self.words = words
        self.known: list[str] = []

    def take(self, word: str) -> bool:
        """Return whether *word* was given."""
        self.known.append(word)
        found = word in self.words
        self.words = [other for other in self.words if other != word]
        return found

    def excess(self, bits: int) -> int | None:
        """Return k where excess-k was given; a k that leaves no negative or no positive is refused."""
        self.known.append(f"excess-{1 << (bits - 1)}")
        for word in self.words:
            match = EXCESS.fullmatch(word)
            if match:
                excess = int(match[1])
                if not 0 <= excess < 1 << bits:
                    raise EntryError(
                        f"{self.spelling!r}: excess {excess} leaves {bits} bits no number 0; "
                        f"give 0 to {(1 << bits) - 1}"
                    )
                self.words.remove(word)
                return excess
        return None

    def refuse_the_rest(self) -> None:
        """Raise EntryError for the first word that nothing understood."""
        if self.words:
            raise EntryError(
                f"{self.spelling!r}: {self.words[0]!r} says nothing about such a format; "
                f"{near_misses(self.words[0], self.known)}"
            )


def _limit(spelling: str, name: str, bits: int, lowest: int, highest: int) -> None:
    if not lowest <= bits <= highest:
        raise EntryError(f"{spelling!r} has {bits} {name} bits; formats here have {lowest} to {highest}")


def _school(
    parts: Options, head: str, *, exponent_first: bool, zero_exponent: int | None
) -> FloatFormat | SignMagnitudeFormat:
    plain = parse_format(head, exponent_first=exponent_first, zero_exponent=zero_exponent)
    parts.take("twos-complement")  # what both fields are unless something else is said
    exponent, excess = plain.exponent, parts.excess(plain.exponent_bits)
    if excess is not None:
        exponent = Field("excess", exponent.bits, excess)
    if not parts.take("sign-and-magnitude"):
        return replace(plain, exponent=exponent)
    code = f" excess-{excess}" if excess is not None else ""
    return SignMagnitudeFormat(
        exponent,
        plain.mantissa_bits - 1,
        hidden=False,
        point_first=True,
        subnormals=False,
        specials="none",
        order=ORDERS[2 if exponent_first else 1],
        name=f"{plain.mantissa_bits}+{plain.exponent_bits} sign-and-magnitude{code}",
    )


def _signed(parts: Options, sign: int, exponent_bits: int, fraction_bits: int) -> SignMagnitudeFormat:
    if sign != 1:
        raise EntryError(f"{parts.spelling!r} has {sign} sign bits; write 1+exponent+fraction, such as 1+4+3")
    _limit(parts.spelling, "exponent", exponent_bits, 2, MOST_EXPONENT_BITS)
    _limit(parts.spelling, "fraction", fraction_bits, 1, MOST_BITS)
    usual = (1 << (exponent_bits - 1)) - 1
    twos = parts.take("twos-complement")
    excess = None if twos else parts.excess(exponent_bits)
    stored, first, last = (parts.take(word) for word in ("stored-one", "point-first", "exponent-last"))
    no_subnormals = parts.take("no-subnormals") and not (stored or twos)
    specials = "infinities"
    if parts.take("one-nan"):
        specials = "one nan"
    elif parts.take("no-infinities") or stored or twos:
        specials = "none"
    bias = usual if excess is None else excess
    said = [
        f"1+{exponent_bits}+{fraction_bits}",
        "twos-complement" if twos else "",
        f"excess-{bias}" if bias != usual else "",
        "stored-one" if stored else "",
        "point-first" if first else "",
        "no-subnormals" if no_subnormals else "",
        "one-nan" if specials == "one nan" else "",
        "no-infinities" if specials == "none" and not (stored or twos) else "",
        "exponent-last" if last else "",
    ]
    built = SignMagnitudeFormat(
        Field("two's complement", exponent_bits) if twos else Field("excess", exponent_bits, bias),
        fraction_bits,
        hidden=not stored,
        point_first=first,
        subnormals=not (no_subnormals or stored or twos),
        specials=specials,
        order=ORDERS[1 if last else 0],
    )
    return replace(built, name=BY_PARTS.get(built) or " ".join(filter(None, said)))


def _fixed(parts: Options, whole_bits: int, places: int) -> FixedFormat:
    bits = whole_bits + places
    _limit(parts.spelling, "whole", bits, 2, MOST_BITS)
    parts.take("twos-complement")  # what it is unless something else is said
    excess = parts.excess(bits)
    kinds = [kind for word, kind in WHOLE_CODES.items() if parts.take(word)]
    if excess is not None:
        return FixedFormat(Field("excess", bits, excess), places)
    return FixedFormat(Field(kinds[0] if kinds else "two's complement", bits), places)


def float_format(fmt: AnyFormat) -> FloatFormat:
    """Return *fmt* where its numbers have a two's complement mantissa and an exponent.

    >>> float_format(format_called("8+4")).mantissa_bits
    8

    Raises TypeError in any other format.
    """
    if fmt.family != FLOATING:
        raise TypeError(f"{fmt} has no two's complement mantissa and exponent")
    return fmt


def size_format(fmt: AnyFormat) -> SignMagnitudeFormat:
    """Return *fmt* where its numbers have a sign bit, an exponent and a size.

    >>> size_format(format_called("binary16")).fraction_bits
    10

    Raises TypeError in any other format.
    """
    if fmt.family != SIZES:
        raise TypeError(f"{fmt} has no sign, exponent and size")
    return fmt


def fixed_format(fmt: AnyFormat) -> FixedFormat:
    """Return *fmt* where its numbers are one row of bits.

    >>> fixed_format(format_called("Q5.3")).places
    3

    Raises TypeError in any other format.
    """
    if fmt.family != WHOLE:
        raise TypeError(f"{fmt} is not a format of whole numbers or fixed point")
    return fmt


def written_example(fmt: AnyFormat, *, point: bool = False) -> str:
    """Return a pattern of *fmt*, for a sentence that tells how patterns are written.

    >>> written_example(format_called("8+4")), written_example(format_called("1+4+3"))
    ('00000111 0001', '0 0001 000')
    """
    pattern: AnyPattern = fmt.example
    return fmt.write(pattern, point=point)


def is_school(fmt: AnyFormat) -> TypeGuard[FloatFormat]:
    """Tell whether *fmt* is the school's ``m+e``: mantissa and exponent in two's complement, every bit written.

    >>> is_school(format_called("8+4")), is_school(format_called("8+4 excess-8")), is_school(format_called("1750A-32"))
    (True, False, False)
    """
    return fmt.family == FLOATING and not fmt.name and fmt.exponent.kind == "two's complement"


def value_or_none(fmt: AnyFormat, pattern: AnyPattern) -> Fraction | None:
    """Return the exact value of *pattern* in *fmt*; None for an infinity and NaN.

    >>> half = format_called("binary16")
    >>> value_or_none(half, half.infinity), value_or_none(half, half.zero)
    (None, Fraction(0, 1))
    """
    if fmt.family == SIZES and fmt.kind(pattern) in {"infinity", "not a number"}:
        return None
    return fmt.value(pattern)
