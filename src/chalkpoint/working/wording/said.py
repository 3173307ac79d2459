"""Sentences as a key and its facts, and the one place where they become words for the eye and for the ear.

The words of every key are in `words.py`. A field of a sentence says how its fact is written:

    {apart}           a number, as the course writes it; text as it is
    {low:bracketed}   a number behind an operation sign: a negative in brackets
    {moved:the}       an operand, "first" or "second", by the name it has in the question; {moved:The} begins a sentence
    {lost:bits}       bits, which the ear hears digit by digit
    {value:fraction}  a number as a fraction; with "(fraction)" a negative in brackets
    {size:divided}    a number beside "\u00f7": what is a fraction, a product or negative in brackets
    {ratio:percent}   a ratio as a percentage
    {ulps:units}      an error in units in the last place, or None where there is no such unit
    {which:part}      one of a few kinds, by its word in the catalogue
    {places:place}    a count and its noun, one or many
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from functools import partial
from string import Formatter
from typing import NamedTuple, Protocol

from chalkpoint.numbers.exact import write_percent, write_value
from chalkpoint.working.speech import for_ear, say_bits
from chalkpoint.working.wording.words import IN_PARTS, WORDS
from chalkpoint.working.wording.words_end import PARTS, UNITS
from chalkpoint.working.wording.words_parts import Parts
from chalkpoint.working.written import Row, Spoken, Words, Written

__all__ = [
    "Record",
    "Sentence",
    "Speaker",
    "Told",
    "bracketed",
    "divided",
    "listed",
    "plural",
    "say",
    "write_fraction",
]


MOST_UNITS = 10**18  # written in digits; more run on in powers of two
LARGEST_PART = 64  # denominators up to this are written as a fraction of a unit
BITS = frozenset("01.\u2026")
POSSESSIVES = frozenset({"my", "your", "his", "her", "its", "our", "their"})


class Record(Protocol):
    """The facts of a step: a named tuple of `working/facts`."""

    def _asdict(self) -> dict[str, object]: ...


class Sentence(NamedTuple):
    """A sentence before it has words: its key in the catalogue, and the facts it states."""

    key: str
    facts: Mapping[str, object]


class Told(NamedTuple):
    """What a step tells: its title and sentences, and the facts behind them."""

    title: Sentence
    sentences: Sequence[Sentence]
    facts: Mapping[str, object]


def say(key: str, record: Record | None = None, /, **facts: object) -> Sentence:
    """Return the sentence *key* about the facts of *record* and further *facts*.

    >>> say("normalise", places=2).key
    'normalise'
    """
    return Sentence(key, {**(record._asdict() if record else {}), **facts})


def plural(number: int, noun: str) -> str:
    """Return a count and its noun.

    >>> plural(1, "place"), plural(2, "place")
    ('1 place', '2 places')
    """
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def listed(words: Sequence[str]) -> str:
    """Return words in a row.

    >>> listed(["1"]), listed(["1", "2"]), listed(["1", "2", "4"])
    ('1', '1 and 2', '1, 2 and 4')
    """
    return " and ".join(filter(None, (", ".join(words[:-1]), words[-1]))) if words else ""


def bracketed(text: str) -> str:
    """Return a number already written as it stands after an operation sign: a negative in brackets.

    >>> bracketed("\u22123"), bracketed("3")
    ('(\u22123)', '3')
    """
    return f"({text})" if text.startswith("\u2212") or " " in text else text


def divided(text: str) -> str:
    """Return a number already written as it stands beside a division sign: a fraction in brackets, too.

    >>> divided("1/3"), divided("\u22123"), divided("3")
    ('(1/3)', '(\u22123)', '3')
    """
    return f"({text})" if "/" in text else bracketed(text)


def with_article(name: str, article: str) -> str:
    """Return what an operand is called within a sentence: with *article*, unless its name has one of its own.

    >>> with_article("datum", "The"), with_article("the datum", "The"), with_article("a reading", "the")
    ('The datum', 'The datum', 'the reading')
    >>> with_article("Heron\u2019s gauge", "the"), with_article("our total", "The")
    ('Heron\u2019s gauge', 'Our total')
    """
    first, _, rest = name.partition(" ")
    if rest and first.lower() in {"the", "a", "an"}:
        return f"{article} {rest}"
    if rest and (first.lower() in POSSESSIVES or first.endswith(("\u2019s", "'s"))):
        return first[0].upper() + name[1:] if article == "The" else name
    return f"{article} {name}"


def write_fraction(x: Fraction) -> str:
    """Return *x* as an integer or p/q, with a typographic minus.

    >>> write_fraction(Fraction(-3, 8))
    '−3/8'
    """
    short = x.denominator.bit_length() <= 24 and x.numerator.bit_length() <= 64
    return str(x).replace("-", "\u2212") if short else write_value(x)


def _bits_for_ear(bits: str) -> str:
    return "; ".join(
        say_bits(field.replace(".", ""), len(field.partition(".")[2])) if set(field) <= BITS else field
        for field in bits.split()
    )


#: How a field has its number written, and what is put around it.
WRITTEN: Mapping[str, tuple[str, Callable[[str], str]]] = {
    "": ("value", str),
    "bracketed": ("value", bracketed),
    "divided": ("value", divided),
    "fraction": ("fraction", str),
    "(fraction)": ("fraction", bracketed),
    "divided fraction": ("fraction", divided),
}


class Speaker(Formatter):
    """Gives sentences their words.

    names  what the operands are called
    point  the decimal mark

    >>> speaker = Speaker(("gauge", "datum"), ".")
    >>> speaker.text(say("align.zero", zero="second"))
    'The datum is zero, so its exponent means nothing: it takes the other\u2019s and nothing moves.'
    """

    def __init__(self, names: Sequence[str], point: str) -> None:
        self.names = dict(zip(("first", "second"), names, strict=False))
        self.point = point
        self.aloud = False

    def text(self, sentence: Sentence) -> str:
        """Return the words of *sentence* for the eye."""
        self.aloud = False
        return self.vformat(WORDS[sentence.key], (), sentence.facts)

    def heard(self, sentence: Sentence) -> str:
        """Return the words of *sentence* for the ear."""
        self.aloud = True
        return for_ear(self.vformat(WORDS[sentence.key], (), sentence.facts), point=self.point)

    def spoken(self, sentence: Sentence) -> Spoken:
        """Return *sentence* with its words for the eye and for the ear."""
        text = self.text(sentence)
        spelt = ":bits" in WORDS[sentence.key]  # only bits are written otherwise for the ear
        heard = self.heard(sentence) if spelt else for_ear(text, point=self.point)
        rule, total = self.parts(sentence)
        return Spoken(sentence.key, text, heard, sentence.facts, f"{rule}." if rule else "", total)

    def parts(self, sentence: Sentence) -> tuple[str, str]:
        """Return the words of the rule in *sentence* and of its sum, "" where the catalogue has no such part."""
        self.aloud = False
        found = IN_PARTS.get(sentence.key, Parts())
        return self.vformat(found.rule, (), sentence.facts), self.vformat(found.sum, (), sentence.facts)

    def written(self, told: Told, rows: Sequence[Row]) -> Written:
        """Return what is told above its *rows*; it is put into words when they are first asked for."""
        return Written(tuple(rows), partial(self.put_in_words, told, rows), told.facts)

    def put_in_words(self, told: Told, rows: Sequence[Row]) -> Words:
        """Return what is told, put into words, and its *rows* for the ear."""
        title = self.text(told.title)
        sentences = tuple(map(self.spoken, told.sentences))
        detail = " ".join(said.text for said in sentences)
        heard = " ".join(said.heard for said in sentences).rstrip(".")
        spoken = ". ".join([title, heard, *(row.spoken for row in rows if row.spoken)])
        return Words(title, detail, f"{spoken}.", sentences)

    def value(self, x: Fraction | int) -> str:
        """Return *x* as the course writes it."""
        return write_value(Fraction(x), point=self.point)

    def units(self, ulps: object) -> str:
        """Return an error in units in the last place.

        >>> speaker = Speaker((), ".")
        >>> [speaker.units(Fraction(ulps)).partition(" in the")[0] for ulps in ("1", "3", "5/2", "1/3", "1/100")]
        ['One unit', '3 units', '2 1/2 units', '1/3 of a unit', '0.01 of a unit']
        """
        if not isinstance(ulps, Fraction):
            return UNITS["none"]
        if ulps == 1:
            return UNITS["one"]
        key = "more" if ulps > 1 else "part"
        if ulps.denominator > LARGEST_PART or ulps >= MOST_UNITS:
            return UNITS[key].format(self.value(ulps))
        if ulps > 1 and ulps.denominator > 1:
            return UNITS["mixed"].format(ulps.numerator // ulps.denominator, ulps % 1)
        return UNITS[key].format(ulps)

    def format_field(self, value: object, format_spec: str) -> str:
        """Return one fact as its field asks for it."""
        if format_spec in {"the", "The"}:
            return with_article(self.names.get(str(value), str(value)), format_spec)
        if format_spec in {"part", "units"}:
            return PARTS[str(value)] if format_spec == "part" else self.units(value)
        if format_spec == "bits":
            return _bits_for_ear(str(value)) if self.aloud else str(value)
        if isinstance(value, str):
            return bracketed(value) if format_spec == "bracketed" else value
        if not isinstance(value, int | Fraction):
            raise TypeError(f"{value!r} cannot be written as {format_spec or 'a number'}")
        if format_spec in WRITTEN:
            spelled, around = WRITTEN[format_spec]
            written = self.value(value) if spelled == "value" else write_fraction(Fraction(value))
            return around(written)
        if format_spec == "percent":
            return write_percent(Fraction(value), point=self.point)
        return plural(int(value), format_spec)
