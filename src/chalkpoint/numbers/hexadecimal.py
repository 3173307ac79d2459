"""Patterns in hexadecimal: four bits a digit, counted from the right-hand end."""

from __future__ import annotations

from chalkpoint.numbers.errors import EntryError

__all__ = ["looks_like_hexadecimal", "parse_hexadecimal", "to_hexadecimal"]

DIGITS = frozenset("0123456789abcdefABCDEF")


def looks_like_hexadecimal(text: str) -> bool:
    """Tell whether *text* is marked as hexadecimal, by 0x or #.

    >>> looks_like_hexadecimal("0x3E20"), looks_like_hexadecimal("#3e20"), looks_like_hexadecimal("3E20")
    (True, True, False)
    """
    return text.strip()[:1] == "#" or text.strip()[:2] in {"0x", "0X"}


def parse_hexadecimal(text: str, bits: int) -> str:
    """Return the *bits* bits written in *text* after 0x or #.

    >>> parse_hexadecimal("0x2 E66", 16)
    '0010111001100110'
    >>> parse_hexadecimal("#1f", 6)
    '011111'

    Raises EntryError for a stray character, a wrong number of digits or a 1 that has no place.
    """
    plain = text.strip()
    digits = "".join(plain[1 if plain[:1] == "#" else 2 :].replace("_", " ").split())
    wanted = -(-bits // 4)
    example = "0x" + ("0123456789abcdef" * (1 + wanted // 16))[:wanted]
    for position, character in enumerate(digits, start=1):
        if character not in DIGITS:
            raise EntryError(
                f"{text!r}: hexadecimal digit {position} is {character!r}; write 0 to 9 or A to F, "
                f"such as {example}"
            )
    if len(digits) != wanted:
        count = f"{len(digits)} hexadecimal digit{'' if len(digits) == 1 else 's'}"
        raise EntryError(f"{text!r} has {count}; {bits} bits take {wanted}, such as {example}")
    number = int(digits, 16)
    if number >> bits:
        raise EntryError(f"{text!r} needs {number.bit_length()} bits; this format has {bits}")
    return format(number, f"0{bits}b")


def to_hexadecimal(pattern: str) -> str:
    """Return the bits of *pattern*, spaces and point left out, in hexadecimal.

    >>> to_hexadecimal("0 10001 1010000000")
    '0x4680'
    """
    bits = "".join(digit for digit in pattern if digit in "01")
    return f"0x{int(bits, 2):0{-(-len(bits) // 4)}X}"
