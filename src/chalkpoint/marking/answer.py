"""An answer read: the pattern, value or word that is meant, in the one spelling of everything written alike."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from chalkpoint.marking.family_answers import read_whole_answer
from chalkpoint.marking.manners import Answer, as_meant
from chalkpoint.marking.patterns import Reading
from chalkpoint.marking.reading import asks_for_bits, read_place
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.families import FLOATING
from chalkpoint.numbers.named import value_or_none
from chalkpoint.working.chained import part_asked
from chalkpoint.working.procedures import BETWEEN, parts_of
from chalkpoint.working.question import Question

__all__ = ["answers_apart", "read_answer", "spelling_of"]


def read_answer(question: Question, text: str, line: str = "answer") -> Answer:
    """Return what *text* says as the answer to *question*.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> sum_of = ask("add", "2.75", "-1.5", course=Course())
    >>> [read_answer(sum_of, text).spelling for text in ("0.101_0000|0001", "Overflow.", "1 1/4")]
    ['01010000 0001', 'overflow', '01010000 0001']
    >>> one = read_answer(sum_of, "0.101 1")
    >>> one.spelling, one.manners
    ('01010000 0001', ('exponent in decimal', 'trailing zeros left off'))
    >>> read_answer(sum_of, "01010000 0001 or 0.1010000 0010").several
    ('01010000 0001', '01010000 0010')
    """
    if not any(sign.isalnum() for sign in text):
        return Answer()
    parted = _asked_in(question)
    if not _is_parted(parted):
        return read_whole_answer(question, text)
    question = parted
    read = [(*as_meant(question, one, line), one) for one in _apart(read_place(question, line, text))]
    values = tuple(
        raw.value
        for _, manners, raw in read
        if raw.value is not None and (not raw.digits or "value without its pattern" in manners)
    )
    firm = [one for one in read if "value without its pattern" not in one[1] and one[0].says_something]
    if asks_for_bits(question, line):  # a value beside a pattern is no second answer
        firm = [one for one in firm if one[0].digits or one[0].word or one[0].exponent] or firm
    firm = firm or [one for one in read if one[0].says_something]
    if not firm:
        return Answer(read[-1][0] if read else None, text.strip(), readable=False)
    spellings = tuple(
        dict.fromkeys(_spelling(question, meant, line) or raw.text.strip() for meant, _, raw in firm)
    )
    meant, manners, raw = firm[-1]
    return Answer(
        meant._replace(text=text if len(firm) == 1 else raw.text),
        spellings[-1],
        manners,
        spellings if len(spellings) > 1 else (),
        readable=True,
        values=values,
    )


def _apart(readings: tuple[Reading, ...]) -> Iterable[Reading]:
    """Return *readings*; a number beside a pattern is its value, and not hexadecimal."""
    return readings if len(readings) == 1 else (one._replace(other=None) for one in readings)


def spelling_of(question: Question, text: str) -> str:
    """Return *text* in the one spelling of everything written alike; "" for a blank, or for several answers.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> spelling_of(ask("decode", "1.0110000 1110", course=Course()), "-5/32")
    '\u22120.15625'
    """
    answer = read_answer(question, text)
    return "" if answer.several or not answer.readable else answer.spelling


def answers_apart(
    question: Question, written: Mapping[str, str], parts: Sequence[str] | None = None
) -> dict[str, str]:
    """Return *written*, by line, with several answers in one place each on a line of its own.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> cost = ask("error", "4.6", course=Course())
    >>> answers_apart(cost, {"answer": "01001001 0011; 0.0375; 3/368"})
    {'answer': '01001001 0011', 'absolute': '0.0375', 'relative': '3/368'}
    """
    parts = tuple(parts_of(question.operation.name, question.course)) if parts is None else parts
    text = written.get("answer", "")
    pieces, below = text.split(BETWEEN.strip()), text.strip().split("\n")
    if len(pieces) == 1 and len(below) == len(parts):
        pieces = below
    if not parts or len(pieces) == 1:
        return dict(written)
    apart = {part: piece.strip() for part, piece in zip(parts, pieces, strict=False) if piece.strip()}
    return apart | {line: text for line, text in written.items() if line != "answer"}


def _is_parted(question: Question) -> bool:
    """Tell whether answers are a mantissa and an exponent, or values of such."""
    fmt = question.format
    plain = fmt.family == FLOATING and not fmt.name
    return plain and question.operation.name not in {"choose-format", "explain"}


def _asked_in(question: Question) -> Question:
    """Return *question* in the format of its answer: a conversion is answered as its storing is."""
    if question.target is None:
        return question
    value = value_or_none(question.format, question.patterns[0])
    if value is not None:
        return part_asked(question, 1, value)
    return replace(question, course=question.target, format=question.target.number_format)


def _spelling(question: Question, reading: Reading, line: str) -> str:
    """Return the fields as written, a value as the course writes it, or a word."""
    if not asks_for_bits(question, line):
        if reading.word == "zero":
            return "0"
        return "" if reading.value is None else write_value(reading.value, point=question.course.point)
    fmt = question.float_format
    if reading.word:
        return str(fmt.write(fmt.zero)) if reading.word == "zero" else reading.word
    if reading.bare and reading.exponent and not reading.power:
        fields = [reading.bare, reading.exponent]
        return reading.lead + " ".join(reversed(fields) if fmt.exponent_first else fields)
    return ""
