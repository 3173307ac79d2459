"""What a narration says as a voice should read it: digits, points, powers and fractions as a teacher says them.

Captions keep figures; only what is heard is spelled out. The digit 0 is "nought", as in the narration's own words,
and the number 0 by itself.
"""

from __future__ import annotations

import re

from chalkpoint.teaching.digits import HELD
from chalkpoint.working.speech import for_ear, say_bits

__all__ = ["heard"]

ZERO = "\x00"  # stands for the word "zero" where it is written out, which stays
#: A bit string that would be taken for a number: it begins with a 1, and has five digits or more.
BITS = re.compile(r"(?<![\w.,])(1[01]*)(?:\.([01]+))?(?![.,]?\w)")
ELIDED = re.compile(r"\b([01]*)\.([01]+)\u2026")
FRACTION = re.compile(r"\b(\d+) over (\d+)\b")
PARTS = {
    2: "half",
    3: "third",
    4: "quarter",
    8: "eighth",
    16: "sixteenth",
    32: "thirty-second",
    64: "sixty-fourth",
    128: "hundred-and-twenty-eighth",
}
#: In order: what for_ear leaves, and how it is said.
SPOKEN = (
    (r"\bzeros\b", "noughts"),
    (r"\bzero\b", "nought"),
    (r"\b0s\b", "noughts"),
    (r"\b1s\b", "ones"),
    (r"\b0\b", "nought"),
    (r"to the power (minus )?(\d+)", r"to the \1\2"),
    (r"\b(\d+)\+(\d+)\b", r"\1 plus \2"),
    (r"\bbinary(\d+)\b", r"binary \1"),
    (r"\s*\u2026", ", and so on"),
)


def heard(written: str, point: str = ".") -> str:
    """Return *written*, a sentence of a narration, as it is said.

    >>> heard("Together, 13/16. The tray holds 0.0011.")
    'Together, 13 sixteenths. The tray holds nought point nought nought one one.'
    >>> heard("That is 0.5 \u00d7 2^\u22123, or 1/16; zero has exponent 0.")
    'That is nought point five times two to the minus 3, or a sixteenth; zero has exponent nought.'
    >>> heard("It is 0.1100110\u2026 in binary16.")
    'It is nought point one one nought nought, one one nought, and so on in binary 16.'
    >>> heard("What number is 11101101?"), heard("About 10 of 10.5.")
    ('What number is one one one nought, one one nought one?', 'About 10 of 10 point five.')
    """
    text = re.sub("zero", ZERO, written.replace(HELD, " "))
    text = ELIDED.sub(lambda match: f"{say_bits(match[1] + match[2], len(match[2]))}, and so on", text)
    text = for_ear(BITS.sub(_bits, text), point=point)
    text = FRACTION.sub(_fraction, text)
    for found, said in SPOKEN:
        text = re.sub(found, said, text)
    return text.replace(ZERO, "zero")


def _bits(match: re.Match[str]) -> str:
    whole, places = match[1], match[2] or ""
    if len(whole + places) < 5 or (not places and set(whole[1:]) == {"0"}):
        return match[0]
    return say_bits(whole + places, len(places))


def _fraction(match: re.Match[str]) -> str:
    """Return a fraction as one says it, where its parts have a name."""
    top, part = int(match[1]), PARTS.get(int(match[2]))
    if part is None:
        return match[0]
    if top == 1:
        return f"{'an' if part[0] == 'e' else 'a'} {part}"
    return f"{top} {'halves' if part == 'half' else f'{part}s'}"
