"""Bit strings: from text as people write it, to signed integers, and back."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.numbers.errors import EntryError

__all__ = [
    "group",
    "looks_like_bits",
    "parse_bits",
    "scaled",
    "shorten",
    "signed",
    "to_bits",
    "with_point",
]

LONGEST_ROW = 160  # digits
SEPARATORS = str.maketrans("", "", " _|\u2009\u00a0\u202f")


def looks_like_bits(text: str) -> bool:
    """Tell whether *text* holds only 0, 1, separators and at most one point, and has a digit.

    >>> looks_like_bits("0.110 1000"), looks_like_bits("-5.25")
    (True, False)
    """
    bare = text.translate(SEPARATORS)
    return bare.count(".") <= 1 and bool(bare.replace(".", "")) and set(bare) <= {"0", "1", "."}


def parse_bits(text: str, bits: int, name: str) -> str:
    """Return the *bits* digits written in *text*, without separators or point.

    name  what the field is called, for the sentence of an error

    >>> parse_bits("0.110_1000", 8, "mantissa")
    '01101000'

    Raises EntryError for a stray character or a wrong length.
    """
    bare = text.translate(SEPARATORS)
    for position, character in enumerate(bare, start=1):
        if character not in "01.":
            raise EntryError(
                f"{text!r} as {name}: character {position} is {character!r}; write 0 or 1, "
                f"such as {'01' * bits:.{bits}}"
            )
    found = bare.replace(".", "")
    if len(found) != bits or bare.count(".") > 1:
        raise EntryError(
            f"{text!r} as {name} has {_count(len(found), 'bit')}; this format has {bits}, "
            f"such as {'01' * bits:.{bits}}"
        )
    return found


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def scaled(number: int, power: int) -> Fraction:
    """Return number * 2**power exactly.

    >>> scaled(-21, -2)
    Fraction(-21, 4)
    """
    return Fraction(number << power) if power >= 0 else Fraction(number, 1 << -power)


def to_bits(x: int, bits: int) -> str:
    """Return the low *bits* bits of *x* in two's complement, highest first.

    >>> to_bits(-2, 4)
    '1110'
    """
    return format(x & ((1 << bits) - 1), f"0{bits}b") if bits else ""


def signed(pattern: str) -> int:
    """Return the two's complement integer *pattern* stands for.

    >>> signed("1110")
    -2
    """
    unsigned = int(pattern, 2)
    return unsigned - (1 << len(pattern)) if pattern[0] == "1" else unsigned


def with_point(pattern: str, places: int) -> str:
    """Return *pattern* with its binary point before the last *places* bits.

    >>> with_point("01101000", 7)
    '0.1101000'
    """
    return f"{pattern[: len(pattern) - places]}.{pattern[len(pattern) - places :]}" if places else pattern


def group(pattern: str, places: int) -> list[str]:
    """Return *pattern* in groups of up to four, counted from the point outwards.

    >>> group("01101000", places=7)
    ['0', '1101', '000']
    """
    whole, fraction = pattern[: len(pattern) - places], pattern[len(pattern) - places :]
    first = len(whole) % 4
    left = ([whole[:first]] if first else []) + [whole[i : i + 4] for i in range(first, len(whole), 4)]
    return left + [fraction[i : i + 4] for i in range(0, len(fraction), 4)]


def shorten(pattern: str) -> str:
    """Return *pattern*, its middle left out where it is too long for any page.

    >>> shorten("1" * 200)
    '111111111111111111111111…111111111111111111111111111111111111111111111111111111111111111111111111'
    """
    if len(pattern) <= LONGEST_ROW:
        return pattern
    return f"{pattern[:24]}\u2026{pattern[-72:]}"
