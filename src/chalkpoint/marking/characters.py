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
    r"^\s*(?:(?:the |my )?(?:final )?(?:ans(?:wer)?\.?|result)(?: is)?|a(?=\s*[:=])|final|it is|so|thus|therefore|hence"
    r"|i (?:got|get)|\u2234)\s*[:=]?\s+?(?=\S)|^\s*=\s*",
    re.IGNORECASE,
)
#: A point in the middle of the line, as it is written by hand; between factors there is room, or a power.
RAISED = re.compile("(?<![\\d.])(\\d+)[\u00b7\u2219\u02d9](?=\\d+(?![\\d.]*\\s*\\^))")
VULGAR = re.compile("(?<=\\d)(?=[\u00bc-\u00be\u2150-\u215e])")  # 2 5/8, not 25/8
#: An equation that goes on in the next line, a sum below its rows, and words for an equals sign.
GOES_ON = re.compile(
    r"\s*\n\s*=\s*|[,;(]?\s*\b(?:i\.?e\.?|that is|which is|which equals|equals)[\s,]+(?=[-+.\d(])",
    re.IGNORECASE,
)
ADDED_BELOW = re.compile(r"\s*\n\s*\+\s*([01.]+)\s*\n[-=\s]*(?=[01])")
SIGN_APART = re.compile(r"\(\s*([-+])\s*\)\s*(?=[\d.])")
MINUS = re.compile(r"\b(?:minus|negative)\s*(?=[\d.(])", re.IGNORECASE)
MISTAKEN = re.compile(r"(?<![\w])[01lIOo][01lIOo.,]+(?![\w])")
ALL_BITS = re.compile(r"(?=.*[01])[01lIOo.,|\s-]+")
PLAIN = set("01. ")
LETTERS = str.maketrans("lIOo", "1100")


def plain_text(text: str) -> str:
    r"""Return *text* in plain characters, without what is crossed out and what an arrow leads away from.

    >>> plain_text("\uff11\uff10\uff11 \u2212 2\u00b3"), plain_text("~~0.11~~ 0.10"), plain_text("0.01 -> 1.10 -> 1.11")
    ('101 - 2^3', '0.10', '1.11')
    >>> plain_text("ANS: O.1OOl"), plain_text("= -5/32."), plain_text("0.1101\u2026 ?"), plain_text("so 5.25 \u2713")
    ('0.1001', '-5/32', '0.1101', '5.25')
    >>> plain_text("The answer is (-)6"), plain_text("1.25 * 2\n= 2.5"), plain_text("100.100\n+1\n100.101")
    ('-6', '1.25 * 2 = 2.5', '100.100 + 1 = 100.101')
    >>> plain_text("-5\u00b725"), plain_text("1.5 \u00b7 2\u00b3"), plain_text("-2\u215d")
    ('-5.25', '1.5 * 2^3', '-2 5/8')
    >>> plain_text("00000110_2"), plain_text("1010.11\u2082 = 10.75"), plain_text("0110 (base 2)")
    ('00000110', '1010.11 = 10.75', '0110')
    """
    if not set(text) - PLAIN:  # as nearly every answer is
        return text.strip().rstrip(". ")
    text = SUPERSCRIPT.sub(lambda match: "^" + match[0].translate(SUPERSCRIPTS), text)
    text = RAISED.sub(r"\1.", VULGAR.sub(" ", CROSSED.sub(" ", BASE.sub("", text))))
    text = unicodedata.normalize("NFKC", ENDLESS.sub("", text).translate(SIGNS)).translate(SIGNS)
    text = MINUS.sub("-", ARROW.split(text)[-1].replace("\r", "\n"))
    text = SIGN_APART.sub(r"\1", ADDED_BELOW.sub(r" + \1 = ", GOES_ON.sub(" = ", text)))
    text = LABEL.sub("", SPACES.sub(" ", text).strip()).strip()
    text = text.translate(LETTERS) if ALL_BITS.fullmatch(text) else MISTAKEN.sub(_digits, text)
    return text.rstrip("?!. ").lstrip()


def _digits(match: re.Match[str]) -> str:
    """Return a run of 0s, 1s and letters that look like them in digits, where at least one is a digit."""
    return match[0].translate(LETTERS) if {"0", "1"} & set(match[0]) else match[0]
