"""Requests in words: a sentence read by a table of phrases into an operation and conditions.

Nothing is guessed. Words that no phrase takes are named; where a phrase has several readings, the others are offered.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from chalkpoint.finding.phrases import FILLERS, OPERATIONS_SAID, PHRASES
from chalkpoint.finding.registry import operation_named, trait_in
from chalkpoint.finding.request import parse_term
from chalkpoint.finding.trait import Trait
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.named import FORMATS, format_called
from chalkpoint.working.course import Course
from chalkpoint.working.speech import NUMBER_WORDS

__all__ = ["Reading", "Understood", "read_sentence", "take_format"]

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


MOST_LETTERS = 400
NOT = "(?:no|not|without|never)(?: (?:a|an|any|be|the))?"
NUMBER = r"\d+(?:[./]\d+)?"
AFTER = "or (?:more|fewer|less)"
TWO_NUMBERS = (
    r"\b2 (?=(?:\| )?(?:numbers|values|operands)\b(?! (?:are )?(?:positive|negative)))"  # goes without saying
)
BEFORE = {
    "at least": ">=", "no fewer than": ">=", "no less than": ">=",
    "at most": "<=", "up to": "<=", "no more than": "<=", "not more than": "<=",
    "more than": ">", "over": ">", "fewer than": "<", "less than": "<", "under": "<",
    "exactly": "=", "just": "=", "only": "=", "a single": "=",
}  # fmt: skip
QUANTITY = (
    rf"(?P<q>between {NUMBER} and {NUMBER}|{NUMBER} to {NUMBER}|"
    rf"(?:(?:{'|'.join(BEFORE)}) )?{NUMBER}(?: {AFTER})?|a single|no|an?|some)"
)


@dataclass(frozen=True, slots=True)
class Reading:
    """Words of a sentence that may be read in another way than they were.

    words    as they were typed
    taken    the conditions they were read as
    instead  the conditions they could mean as well
    """

    words: str
    taken: tuple[str, ...]
    instead: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Understood:
    """What a sentence asks for.

    operation  "" where it names none
    format     "" where it names none
    where      the conditions, in the order of the sentence
    others     the other readings of its words
    unused     the words that were not used, in order
    into       of a conversion, the format converted into; "" where it names none
    """

    operation: str
    format: str
    where: tuple[str, ...]
    others: tuple[Reading, ...]
    unused: tuple[str, ...]
    into: str = ""


def read_sentence(sentence: str, operation: str = "subtract", course: Course | None = None) -> Understood:
    """Return what *sentence* asks for; *operation* and the *course*'s format are meant where it names none.

    Raises EntryError for a sentence that is too long, or that names two operations or one that is not counted.

    >>> read = read_sentence("a tidy subtraction where two 1s are lost and it still comes out right")
    >>> read.operation, read.where, read.unused
    ('subtract', ('lost-ones = 2', 'exact-result'), ('tidy',))
    >>> read_sentence("add two 8-bit integers with a carry out").where
    ('carry-out',)
    """
    if len(sentence) > MOST_LETTERS:
        raise EntryError(
            f"a sentence of {len(sentence)} letters is too long to read; write up to {MOST_LETTERS}"
        )
    text = _plain(sentence)
    text, into = _take_into(text)
    text, number_format = take_format(text)
    text = re.sub(TWO_NUMBERS, "", text)
    text, named = _operation(text)
    operation_named(named or operation)
    known = trait_in((course or Course()).with_(format=number_format or None), named or operation)
    where: list[str] = []
    others: list[Reading] = []
    for match, written in _phrases(text):
        readings = [read for one in written if (read := _conditions(one, match, known))]
        if not readings:
            continue
        where += readings[0]
        others += [Reading(match[0].strip(), readings[0], other) for other in readings[1:]]
        text = text[: match.start()] + "|" * len(match[0]) + text[match.end() :]
    unused = tuple(word for word in re.findall(r"[^\s|,;:]+", text) if word not in FILLERS)
    return Understood(named, number_format, tuple(dict.fromkeys(where)), tuple(others), unused, into)


def _plain(sentence: str) -> str:
    """Return the sentence in small letters, its numbers in digits and its negations apart."""
    text = sentence.lower().replace("’", "'").replace("−", "-")
    text = re.sub(r"can't|cannot", "can not", text)
    text = text.replace("n't", " not").replace("?", " ").replace("!", " ")
    for number, word in enumerate(NUMBER_WORDS):
        text = re.sub(rf"\b{word}\b", str(number), text)
    text = re.sub(r"\.(?=\s|$)", " ", text)
    return re.sub(r"\s+", " ", text).strip()


def _take_into(text: str) -> tuple[str, str]:
    """Return the text without the format that follows "to" or "into", and that format; a conversion has both.

    >>> _take_into("a conversion from 8+4 to 6+4 that loses a digit")
    ('a conversion from 8+4 | that loses a digit', '6+4')
    """
    if not re.search(rf"\b(?:{OPERATIONS_SAID['convert']})\b", text):
        return text, ""
    for match in re.finditer(r"\b(?:in)?to ", text):
        rest, into = take_format(text[match.end() :])
        if into and not rest[: rest.index("|")].removesuffix("a ").removesuffix("an "):
            return text[: match.start()] + rest[rest.index("|") :], into
    return text, ""


def _operation(text: str) -> tuple[str, str]:
    """Return the text without the word that names the operation, and the operation."""
    said = [
        (match.start(), match.end(), name)
        for name, words in OPERATIONS_SAID.items()
        for match in re.finditer(rf"\b(?:{words})\b", text)
        if name != "error" or match.start() == 0
    ]
    said = [one for one in said if not any(_within(one, other) for other in said)]
    names = {name for _, _, name in said}
    if len(names) > 1:
        raise EntryError(f"{' and '.join(sorted(names))} are both named; ask for one operation at a time")
    if not said:
        return text, ""
    for start, end, _ in sorted(said, reverse=True):
        text = text[:start] + "|" + text[end:]
    return text, said[0][2]


def _within(one: tuple[int, int, str], other: tuple[int, int, str]) -> bool:
    """Tell whether *one* is part of a longer name of an operation: the sum in "sum of three numbers"."""
    return one != other and other[0] <= one[0] and one[1] <= other[1]


def _phrases(text: str) -> list[tuple[re.Match[str], tuple[str, ...]]]:
    """Return the phrases found, longest first where they overlap, in the order of the text."""
    found = [(match, conditions) for phrase, conditions in COMPILED for match in phrase.finditer(text)]
    found.sort(key=lambda one: (-len(one[0][0]), one[0].start()))
    kept: list[tuple[re.Match[str], tuple[str, ...]]] = []
    for match, conditions in found:
        if all(match.end() <= other.start() or other.end() <= match.start() for other, _ in kept):
            kept.append((match, conditions))
    return sorted(kept, key=lambda one: one[0].start())


def _compiled(phrase: str) -> re.Pattern[str]:
    before = NOT.replace("no|", "") if phrase.startswith("{q}") else NOT  # there "no" is a quantity
    phrase = phrase.replace(" {q}", f"(?: {QUANTITY})? ?").replace(
        "{q}", f"(?:{QUANTITY}(?: |(?![\\w./-])))?"
    )
    phrase = phrase.replace("~", f"(?P<inner>{NOT} )?", 1).replace("~", "")
    return re.compile(rf"(?<![\w.-])(?P<outer>{before} )?(?:{phrase})(?![\w-])")


def _conditions(written: str, match: re.Match[str], known: Callable[[str], Trait]) -> tuple[str, ...]:
    """Return the conditions of one reading; none where *known*, which finds a trait by its name, lacks one."""
    groups = match.groupdict()
    negated = bool(groups.get("outer")) != bool(groups.get("inner"))
    signs = {"positive": "+", "negative": "-"}
    words = {key: value for key, value in groups.items() if value and key not in {"q", "inner", "outer"}}
    words = {key: value if key in {"which", "word"} else signs[value] for key, value in words.items()}
    words["q"] = _quantity(groups.get("q") or "some")
    for choice in written.format(**words).split(" / "):
        conditions = choice.split("; ")
        if negated:
            if len(conditions) > 1:
                return ()
            conditions = [choice.removeprefix("not ") if choice.startswith("not ") else f"not {choice}"]
        try:
            return tuple(parse_term(one, known).text for one in conditions)
        except EntryError:
            continue
    return ()


def _quantity(words: str) -> str:
    """Return a quantity in words as a comparison: ">= 1" where it is left open.

    >>> _quantity("5 or more"), _quantity("between 3 and 5"), _quantity("no"), _quantity("a")
    ('>= 5', '= 3..5', '= 0', '>= 1')
    """
    if words in {"a", "an", "some"}:
        return ">= 1"
    if words == "no":
        return "= 0"
    if words == "a single":
        return "= 1"
    numbers = re.findall(NUMBER, words)
    if len(numbers) == 2:
        return f"= {numbers[0]}..{numbers[1]}"
    if words.endswith(" or more"):
        return f">= {numbers[0]}"
    if words.endswith((" or fewer", " or less")):
        return f"<= {numbers[0]}"
    before = words[: words.index(numbers[0])].strip()
    return f"{BEFORE.get(before, '=')} {numbers[0]}"


COMPILED = tuple((_compiled(phrase), conditions) for phrase, conditions in PHRASES)
