"""Right under another convention: the same question reread and its answer rewritten, one convention at a time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from chalkpoint.marking.patterns import Reading
from chalkpoint.marking.rows import same_digits
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.families import SIZES, WHOLE
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.numbers.named import value_or_none
from chalkpoint.working.choices import allowed_choices
from chalkpoint.working.conventions import CONVENTIONS, HOUSE
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import begin, context_of, declaration_of, method_named
from chalkpoint.working.question import Question
from chalkpoint.working.under import answer_under, value_text

__all__ = ["answers_under_others", "other_choices", "other_orders"]

#: The orders of sign, exponent and fraction, in words that follow "right where".
IN_ORDER = {
    "sign exponent fraction": "the sign comes first, then the exponent, then the fraction",
    "sign fraction exponent": "the sign and the fraction come first, the exponent last",
    "exponent sign fraction": "the exponent comes first, then the sign and the fraction",
}

#: What a course may choose in other families, in words that follow "right where".
CHOSEN = {
    ("rounding", "cut"): "the pattern is cut",
    ("rounding", "cut size"): "the size is cut",
    ("rounding", "nearest"): "values are rounded to the nearest, ties to even",
    ("rounding", "nearest away"): "values are rounded to the nearest, ties away from zero",
    ("underflow", "word"): "an underflow is answered by the word",
    ("underflow", "zero"): "an underflow is written as zero",
    ("underflow", "un-normalised"): "an underflow is left un-normalised",
    ("overflow", "word"): "an overflow is answered by the word",
    ("overflow", "largest"): "an overflow is written as the end of the range",
    ("overflow", "infinity"): "an overflow is written as infinity",
    ("overflow", "not a number"): "an overflow is written as what is not a number",
}


def answers_under_others(
    question: Question, entry: Reading, *, worked: bool = False, flipped: bool = False
) -> list[str]:
    """Return, in words, each convention under which *entry* is the right answer.

    worked   there are lines of working above it, so that only another way of writing their result is left
    flipped  the sign of the exponent turned about gives it, which in half of a field is what an excess code writes
    """
    home = answer_under(question, question.course, HOUSE)
    found = []
    for convention in CONVENTIONS.values():
        if convention.is_followed(question.course) or (worked and not convention.rewrites):
            continue
        if flipped and convention.id.startswith("excess"):
            continue
        try:
            course = question.course.with_(**convention.course)
        except EntryError:
            continue
        answer = answer_under(question, course, convention.coded())
        if answer is not None and answer != home and is_answer(entry, answer, course.float_format):
            found.append(convention.words)
    return found


def other_choices(course: Course) -> Iterator[tuple[str, Course]]:
    """Yield each other choice that a course may make where its format is no mantissa and exponent, in words.

    Sizes are rounded as the format's standard says: who cuts them departs from it.
    """
    rounds = course.number_format.family == WHOLE
    for key, values in allowed_choices(course.number_format).items():
        for value in values if rounds or key != "rounding" else ():
            if value != getattr(course, key):
                yield CHOSEN[key, value], course.with_(**{key: value})


def other_orders(question: Question, entry: Reading) -> list[str]:
    """Return, in words, the order of the fields in which *entry* is the right answer, where that is another.

    >>> from chalkpoint.working.question import ask_line
    >>> asked = ask_line("encode -1.5", course=Course(format="1+4+3"))
    >>> other_orders(asked, Reading("11000111"))
    ['the sign and the fraction come first, the exponent last']
    """
    fmt, found = question.format, []
    reads = question.operation.name == "decode"
    if fmt.family != SIZES or not (reads or all(value is not None for value in question.given)):
        return []  # bits of a question are in the course's order
    page = method_named(question).finish(begin(question), context_of(question))
    for order, words in IN_ORDER.items():
        other = replace(fmt, order=order)
        if order == fmt.order:
            continue
        if reads:
            read = value_or_none(other, other.read(fmt.write(question.patterns[0]).replace(" ", "")))
            right = read is not None and entry.value == read
        else:
            pattern = declaration_of(question).end(page, question).pattern
            bits = "" if pattern is None else other.write(pattern)
            right = bool(bits) and _run(entry.text) == _run(bits)
        if right:
            found.append(words)
    return found


def _run(text: str) -> str:
    """Return the bits of *text* as they run."""
    return "".join(sign for sign in text if sign not in " .|_")


def is_answer(entry: Reading, answer: str, fmt: FloatFormat) -> bool:
    """Tell whether *entry* is *answer*: bits field by field, a word, or a value."""
    if answer.startswith("="):
        return entry.value is not None and value_text(entry.value) == answer
    if entry.word:
        return entry.word == answer
    fields = answer.split()
    if len(fields) != 2:
        return False
    if fmt.exponent_first:
        fields.reverse()
    # The digits were split as the course at hand splits them; compare them as they run.
    if same_digits(entry.digits, fields[0]) and entry.exponent == fields[1]:
        return True
    run = [part.replace(".", "") for part in entry.text.split() if part != "|"]
    return "".join(run).replace("_", "").replace("|", "") == answer.replace(" ", "")
