"""Characters as pupils and keyboards write them, brought to those that are read: digits, dashes, arrows, crossings-out.

Nothing is judged here: what is left says the same as what was written.
"""

from __future__ import annotations

import re
import unicodedata

__all__ = ["plain_text"]

SUPERSCRIPT = re.compile("[\u2070\u00b9\u00b2\u00b3\u2074-\u2079\u207a\u207b]+")
SUPERSCRIPTS = str.maketrans(
    "\u2070\u00b9\u00b2\u00b3\u2074\u2075\u2076\u2077\u2078\u2079\u207a\u207b", "0123456789+-"
)
#: Every dash a keyboard or a word processor makes of a minus, the signs for times, ticks and quotation marks.
SIGNS = str.maketrans(
    dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2015\u2212\ufe58\ufe63\uff0d", "-")
    | dict.fromkeys("\u00b7\u22c5\u2217\u2219\u2022", "*")
    | dict.fromkeys("\u2018\u2019\u201c\u201d\"'`\u00ab\u00bb", "")
    | dict.fromkeys("\u2713\u2714\u2611", " ")
    | {"\u00d7": "x", "\u2715": "x", "\u2044": "/", "\u00a6": "|", "\u2502": "|", "_": ""}
)
BASE = re.compile(
    r"(?<=[01])\s?(?:_\{?2\}?|\u2082|[,(]?\s?(?:in )?(?:base[ -]?(?:2|two)|binary|bin)\b\)?)(?!\d)|\b0b(?=[01]{5})",
    re.IGNORECASE,
)  # said of digits in binary
CROSSED = re.compile("~~.*?~~|--x.*?x--|(?:.[\u0335-\u0338])+")
ARROW = re.compile("[\u2192\u27f6\u2794\u279c\u21d2\u27f9\u21a6]|[-=]+>")
ENDLESS = re.compile(r"\u2026|\.\.\.+")
SPACES = re.compile(r"[^\S\n]+")
LABEL = re.compile(
    r"^\s*(?:ans(?:wer)?\.?|a(?=\s*[:=])|result|final(?: answer)?|so|thus|therefore|hence|i (?:got|get)|\u2234)"
    r"\s*[:=]?\s+?(?=\S)|^\s*=\s*",
    re.IGNORECASE,
)
MINUS = re.compile(r"\b(?:minus|negative)\s*(?=[\d.(])", re.IGNORECASE)
MISTAKEN = re.compile(r"(?<![\w])[01lIOo][01lIOo.,]+(?![\w])")
ALL_BITS = re.compile(r"(?=.*[01])[01lIOo.,|\s-]+")
PLAIN = set("01. ")
LETTERS = str.maketrans("lIOo", "1100")


def plain_text(text: str) -> str:
    """Return *text* in plain characters, without what is crossed out and what an arrow leads away from.

    >>> plain_text("\uff11\uff10\uff11 \u2212 2\u00b3"), plain_text("~~0.11~~ 0.10"), plain_text("0.01 -> 1.10 -> 1.11")
    ('101 - 2^3', '0.10', '1.11')
    >>> plain_text("ANS: O.1OOl"), plain_text("= -5/32."), plain_text("0.1101\u2026 ?"), plain_text("so 5.25 \u2713")
    ('0.1001', '-5/32', '0.1101', '5.25')
    >>> plain_text("00000110_2"), plain_text("1010.11\u2082 = 10.75"), plain_text("0110 (base 2)")
    ('00000110', '1010.11 = 10.75', '0110')
    """
    if not set(text) - PLAIN:  # as nearly every answer is
        return text.strip().rstrip(". ")
    text = SUPERSCRIPT.sub(lambda match: "^" + match[0].translate(SUPERSCRIPTS), text)
    text = CROSSED.sub(" ", BASE.sub("", text))
    text = unicodedata.normalize("NFKC", ENDLESS.sub("", text).translate(SIGNS)).translate(SIGNS)
    text = MINUS.sub("-", ARROW.split(text)[-1].replace("\r", "\n"))
    text = LABEL.sub("", SPACES.sub(" ", text).strip()).strip()
    text = text.translate(LETTERS) if ALL_BITS.fullmatch(text) else MISTAKEN.sub(_digits, text)
    return text.rstrip("?!. ").lstrip()


def _digits(match: re.Match[str]) -> str:
    """Return a run of 0s, 1s and letters that look like them in digits, where at least one is a digit."""
    return match[0].translate(LETTERS) if {"0", "1"} & set(match[0]) else match[0]
