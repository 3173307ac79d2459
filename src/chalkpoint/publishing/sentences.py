"""Bits and powers inside sentences: found, so that a medium can set them apart; and sentences in lines."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator

__all__ = ["bits_in", "powers_in", "raised", "wrap"]

HELD = "\u00a0"  # a space at which no line breaks
RAISED = str.maketrans(
    "0123456789\u2212", "\u2070\u00b9\u00b2\u00b3\u2074\u2075\u2076\u2077\u2078\u2079\u207b"
)
POWER = re.compile(r"\^(\u2212?\d+)")
BITS = re.compile(
    r"""
    \b
    (?:
        0x[0-9A-F]+                        # hexadecimal
      | [01][ ][01]{2,}[ ][01]+            # sign, exponent and fraction
      | [01]+\.?[01]+[ ][01]{2,}(?:[ ][01]{2,})?(?!\.\d)  # a whole pattern, a space between its fields
      | [01]{2,}[ ][01]\.[01]+             # the same, exponent first
      | 0[01]+\.[01]+                      # fixed point: no decimal starts with 0 and another digit
      | (?<![\d.,])(?!0\.0{1,14}1\b)(?=[01.]{7})[01]+\.[01]+\u2026?  # long with a point; 0.0...01 is a decimal
      | (?<![\d.,])[01]\.[01]+(?=\ ×\ 2\^)  # no value of a format ends so in decimal
      | (?<![.,])[01]{5,}(?:\u2026[01]*)?   # a long run of bits, perhaps never ending or its middle left out
    )
    (?!\w|%)                              # a percentage is none
    """,
    re.VERBOSE,
)


def bits_in(sentence: str) -> Iterator[tuple[str, bool]]:
    """Yield *sentence* in pieces, each with whether it is bits.

    >>> list(bits_in("It fits, as 0.1010011 0011."))
    [('It fits, as ', False), ('0.1010011 0011', True), ('.', False)]
    >>> [piece for piece, bits in bits_in("100.001001 is no 0.0000001, 11.5 or 100.25; 1.1001100000 is") if bits]
    ['100.001001', '1.1001100000']
    >>> [piece for piece, bits in bits_in("Relative error 1/9000001, 0.000011%.") if bits]
    []
    """
    end = 0
    for match in BITS.finditer(sentence):
        if match.start() > end:
            yield sentence[end : match.start()], False
        yield match[0], True
        end = match.end()
    if end < len(sentence):
        yield sentence[end:], False


def powers_in(sentence: str) -> Iterator[tuple[str, bool]]:
    """Yield *sentence* in pieces, each with whether it is an exponent, to be raised; "^" is left out.

    >>> list(powers_in("3 \u00d7 2^5 lost"))
    [('3 \u00d7 2', False), ('5', True), (' lost', False)]
    """
    for index, piece in enumerate(POWER.split(sentence)):
        if piece:
            yield piece, index % 2 == 1


def raised(sentence: str) -> str:
    """Return *sentence* with its exponents in raised digits, for where nothing else can raise them.

    >>> raised("2^10 and 2^−3")
    '2¹⁰ and 2⁻³'
    """
    return "".join(part.translate(RAISED) if is_power else part for part, is_power in powers_in(sentence))


def wrap(sentence: str, width: int) -> list[str]:
    """Return *sentence* in lines of at most *width* characters; a pattern that fits a line is never broken.

    >>> wrap("It fits, as 0.1010011 0011.", 22)
    ['It fits, as', '0.1010011 0011.']
    """
    held = "".join(
        piece.replace(" ", HELD) if bits and len(piece) < width else piece
        for piece, bits in bits_in(sentence)
    )
    return [line.replace(HELD, " ") for line in textwrap.wrap(held, width, break_on_hyphens=False)]
