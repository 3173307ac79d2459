"""Words for the ear turned back into digits for the eye: captions and scripts write bits as digits.

Nothing is computed: each spoken digit becomes the digit, word for word.
"""

from __future__ import annotations

import re

from chalkpoint.numbers.bits import group
from chalkpoint.working.speech import LONG_RUN, NUMBER_WORDS

__all__ = ["HELD", "as_digits", "count_words", "hold", "speaks_bits"]

HELD = "\u00a0"  # a space at which no line breaks: a bit string is never split
DIGIT = r"(?:zero|one)"
RUN = re.compile(
    rf"\b(?:(?:{DIGIT}(?:,? {DIGIT})* )?point,? {DIGIT}(?:,? {DIGIT})*|{DIGIT}(?:,? {DIGIT})+)\b"
)
COUNTS = NUMBER_WORDS[LONG_RUN:]
COUNTED = re.compile(rf"\b(?:then )?({'|'.join(COUNTS)}|\d+) (zero|one)s\b")
FIGURES = {"zero": "0", "one": "1", "point": "."}
BITS = re.compile(r"(?<![\w.])[01]*\.?[01]{2,}(?:[ \u00a0][01]{2,})*\u2026?(?![\w.]*[2-9])")


def as_digits(spoken: str) -> str:
    """Return *spoken* with its bits as digits, a group's space held.

    >>> as_digits("after: mantissa zero point zero zero one one, one zero one; tray one zero").replace(HELD, " ")
    'after: mantissa 0.0011 101; tray 10'
    >>> as_digits("zero point one, then six zeros; add one in the last place").replace(HELD, " ")
    '0.1000 000; add one in the last place'

    >>> as_digits("one point, then seven zeros").replace(HELD, " ")
    '1.0000 000'

    A single digit beside "point" belongs to a number spoken in digits ("8 point one") and is left alone.
    """
    return RUN.sub(_figures, COUNTED.sub(_counted, spoken))


def _counted(match: re.Match[str]) -> str:
    """Return a run given as a count, digit by digit."""
    times = int(match[1]) if match[1].isdigit() else NUMBER_WORDS.index(match[1])
    return " ".join([match[2]] * times)


def _figures(match: re.Match[str]) -> str:
    before = match.string[: match.start()].rstrip()
    if match[0].startswith("point") and before[-1:].isdigit():
        return match[0]
    figures = "".join(FIGURES[word] for word in match[0].replace(",", "").split(" "))
    whole, point, fraction = figures.partition(".")
    if not point:
        return figures
    return f"{whole}.{HELD.join(group(fraction, len(fraction)))}"


def hold(sentence: str) -> str:
    """Return *sentence* with the spaces inside its bit strings held.

    >>> hold("Its pattern fits: 0.1010011 0011.").split(" ")
    ['Its', 'pattern', 'fits:', '0.1010011\N{NO-BREAK SPACE}0011.']
    """
    return BITS.sub(lambda match: match[0].replace(" ", HELD), sentence)


def speaks_bits(written: str) -> bool:
    """Tell whether a bit string of four digits or more is read out in *written*.

    >>> speaks_bits("Its pattern is 01010100 0011."), speaks_bits("It is 5.25.")
    (True, False)
    """
    return any(sum(letter in "01" for letter in match[0]) >= 4 for match in BITS.finditer(written))


def count_words(written: str) -> int:
    """Return how many words it takes to say *written*: each digit of a bit string or fraction is one.

    >>> count_words("exponent 0100."), count_words("It is 3.6875 now."), count_words("4 \u2212 2 = 2")
    (5, 9, 5)
    """
    return sum(_words_of(word) for word in re.split(rf"[\s{HELD}\u2014]+", written) if word)


def _words_of(word: str) -> int:
    core = word.strip(".,;:?!()\u201c\u201d")
    if not core:
        return 0
    if re.fullmatch(r"[01]*\.?[01]{2,}\u2026?", core):
        return len(core)
    total = 0
    for piece in re.findall(
        r"\d+[.,]\d+|\d+|[\u2212+=\u00d7\u00f7/^%\u2026]|[^\W\d]+(?:[-\u2019'][^\W\d]+)*", core
    ):
        whole, point, places = piece.partition("," if "," in piece else ".")
        total += 1 + (1 + len(places) if point and whole.isdigit() else 0) + (2 if piece == "^" else 0)
    return max(1, total)
