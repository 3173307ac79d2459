"""Bits and numbers in words, for narration and for screen readers.

Bits go digit by digit in groups of up to four from the point, "one" never "a"; a run of more than
four equal digits is given as a count. The fields are named first.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from itertools import groupby

from chalkpoint.numbers.bits import group
from chalkpoint.numbers.exact import write_value

__all__ = ["LONG_RUN", "NUMBER_WORDS", "for_ear", "say_bits", "say_count", "say_number"]

#: The numbers 0 to 12 in words: further ones are written in figures.
NUMBER_WORDS = (
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)
DIGITS = {str(digit): NUMBER_WORDS[digit] for digit in range(10)}
LONG_RUN = 5


@lru_cache(1 << 12)  # most rows are a few bits, seen before
def say_bits(pattern: str, places: int = 0) -> str:
    """Return *pattern* in words, with "point" before its last *places* bits.

    >>> say_bits("01101000", 7)
    'zero point one one zero one, zero zero zero'
    >>> say_bits("0100000000", 9)
    'zero point one, then eight zeros'
    >>> say_bits("10000000", 7)
    'one point, then seven zeros'
    """
    whole, fraction = pattern[: len(pattern) - places], pattern[len(pattern) - places :]
    parts = [_run(whole)] if whole else []
    if fraction:
        # A count right after the point would be heard as a number: "zero point five ones".
        point = "point, then" if len(set(fraction[:LONG_RUN])) == 1 and len(fraction) >= LONG_RUN else "point"
        parts.append(f"{point} {_run(fraction)}")
    return " ".join(parts)


def _run(bits: str) -> str:
    """Return the digits of one side of the point, long runs as counts."""
    chunks: list[str] = []
    plain = ""
    for digit, run in groupby(bits):
        length = len(list(run))
        if digit == "\u2026":
            chunks += [*_groups(plain), "and so on"]
            plain = ""
        elif length >= LONG_RUN:
            chunks += _groups(plain)
            plain = ""
            chunks.append(f"{'then ' if chunks else ''}{say_count(length)} {DIGITS[digit]}s")
        else:
            plain += digit * length
    return ", ".join(chunks + _groups(plain))


def _groups(bits: str) -> list[str]:
    return [" ".join(DIGITS[digit] for digit in part) for part in group(bits, len(bits))] if bits else []


def say_count(number: int, *, none: str = "zero") -> str:
    """Return a count in words up to twelve, in figures beyond.

    none  the word for 0

    >>> say_count(2), say_count(23), say_count(0, none="no")
    ('two', '23', 'no')
    """
    if number == 0:
        return none
    return NUMBER_WORDS[number] if number < len(NUMBER_WORDS) else str(number)


def say_number(x: Fraction | int) -> str:
    """Return a value for the ear: the minus as a word, digits after the point one by one.

    >>> say_number(Fraction(-21, 4)), say_number(Fraction(1, 3))
    ('minus 5 point two five', '1 over 3')
    """
    return for_ear(write_value(Fraction(x)))


@lru_cache(1 << 12)
def for_ear(sentence: str, *, point: str = ".") -> str:
    """Return *sentence* with its signs in words and the digits after a decimal mark one by one.

    >>> for_ear("8.875 \u2212 3.5 = 5.375; 4 \u2212 (\u22122) = 6")
    '8 point eight seven five minus 3 point five equals 5 point three seven five; 4 minus minus 2 equals 6'
    >>> for_ear("The nearest is 0.1001010 0011.")
    'The nearest is zero point one zero zero one, zero one zero; zero zero one one.'
    """
    for written, pattern in BITS_IN_A_SENTENCE:
        sentence = re.sub(pattern, written, sentence)
    sentence = re.sub(
        rf"(?<=\d)[{point}](\d+)",
        lambda match: " point " + " ".join(DIGITS[digit] for digit in match[1]),
        sentence,
    )
    sentence = re.sub(r"\((\u2212[^()]*)\)", r"\1", sentence)
    for sign, word in SIGNS.items():
        sentence = sentence.replace(sign, word)
    return " ".join(sentence.split())


SIGNS = {
    "\u2082": " in binary",
    "\u2212": " minus ",
    " + ": " plus ",
    "+": " plus ",
    "=": " equals ",
    " × 2^": " times two to the power ",
    " × 10^": " times ten to the power ",
    "10^": "ten to the power ",
    "2^": "two to the power ",
    "×": " times ",
    "÷": " divided by ",
    "/": " over ",
    "%": " percent",
}


def _say_match(match: re.Match[str]) -> str:
    fields = match[0].split()
    return "; ".join(say_bits(bits.replace(".", ""), len(bits.partition(".")[2])) for bits in fields)


# Bits among words: a pattern of two fields, a field before an equals sign or after a colon, a row of
# 0s and 1s that no number would start with.
BITS_IN_A_SENTENCE = (
    (_say_match, r"\b[01]\.?[01]+ [01]{2,}\b(?![.,]?\d)"),
    (_say_match, r"\b[01]{2,}(?= = )"),
    (_say_match, r"\b[01]+\u2026[01]*"),
    (_say_match, r"(?<=: )[01]{2,}(?=\.)"),
    (_say_match, r"(?<![\d.,])0[01]+\b(?![.,]?\d)"),
)
