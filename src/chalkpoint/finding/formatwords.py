"""The format that a request in words names: 6+4, binary16, "8-bit ones' complement", "a 10-bit mantissa and ..."."""

from __future__ import annotations

import re

from chalkpoint.numbers.named import FORMATS, format_called

__all__ = ["take_format"]

CODE = (
    r"(?:[12]'?s?'? complement|(?:ones|twos|one|two)'?s?'? complement|[12]'?s?'?-complement|ones'?-complement|"
    r"sign(?:ed)?[ -](?:(?:and|&)[ -])?magnitude|unsigned|excess[ -]\d+)"
)
WHOLE = "(?:whole numbers?|integers?)"
BITS = r"\d+[ -]bits?"
PRECISIONS = {"half": "binary16", "single": "binary32", "double": "binary64", "quadruple": "binary128"}

# A longer way of naming a format goes before a shorter one; the groups are its size, and its code where it has one.
NAMED = tuple(
    re.compile(rf"(?<![\w.+-])(?:{pattern})(?![\w+])")
    for pattern in (
        r"(?:an? )?(\d+)[ -]bits? mantissas?(?:,| and| with| plus)* (?:an? )?(\d+)[ -]bits? exponents?",
        r"(\d+) bits? (?:for|of|in) the mantissa and (\d+)(?: bits?)? (?:for|of|in) the exponent",
        r"\d+ ?\+ ?\d+ ?\+ ?\d+|\d+ ?\+ ?\d+(?: excess[ -]\d+)?|q\d+\.\d+",
        "|".join(sorted(map(re.escape, map(str.lower, FORMATS)), key=len, reverse=True)),
        rf"(?:2 (?=\d))?(?P<size>{BITS}|\d+)(?: {WHOLE})?(?: in)? (?P<code>{CODE})(?: {WHOLE})?",
        rf"(?P<code>{CODE})(?: {WHOLE})?(?:,| in| with| of| on)* (?P<size>{BITS})",
        rf"(?:2 (?=\d))?(?P<size>{BITS}) {WHOLE}|in (?P<bits>(?:[4-9]|\d\d+) bits)",
        rf"(?P<precision>{'|'.join(PRECISIONS)})[ -]precision",
    )
)


def take_format(text: str) -> tuple[str, str]:
    """Return *text*, in small letters, with a bar in place of the format that it names, and that format's name.

    >>> take_format("add in 8-bit ones' complement with no carry")
    ('add in | with no carry', '8 ones-complement')
    >>> take_format("a 6-bit mantissa and a 4-bit exponent"), take_format("lose 2 bits")
    (('|', '6+4'), ('lose 2 bits', ''))

    Raises EntryError where its sizes are past what is taken.
    """
    for pattern in NAMED:
        if match := pattern.search(text):
            return text[: match.start()] + "|" + text[match.end() :], str(format_called(_spelling(match)))
    return text, ""


def _spelling(match: re.Match[str]) -> str:
    """Return the format that *match* names as it is spelt here."""
    groups = match.groupdict()
    if precision := groups.get("precision"):
        return PRECISIONS[precision]
    if size := groups.get("size") or groups.get("bits"):
        return f"{size} {groups.get('code') or ''}"
    return "+".join(group for group in match.groups() if group) or match[0]
