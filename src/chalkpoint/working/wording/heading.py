"""The question in one line, and the method in a few words."""

from __future__ import annotations

from collections.abc import Sequence

from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.families import WHOLE
from chalkpoint.numbers.named import AnyFormat, value_or_none
from chalkpoint.working.methods import METHODS
from chalkpoint.working.question import Question
from chalkpoint.working.wording.said import bracketed, divided
from chalkpoint.working.wording.words_pupils import (
    ADDING_METHODS,
    CODES,
    FORMATS,
    OF_SIZES,
    QUESTIONS,
    STORING_WORDS,
)

__all__ = [
    "asked_heading",
    "asked_sum",
    "describe_method",
    "format_said",
    "heading",
    "signed_sum",
    "stored_otherwise",
]

VALUES_ASKED = ("range", "error", "encode", "choose-format")


def format_said(fmt: AnyFormat) -> str:
    """Return a format as a sentence names it: of whole numbers the bits and their code, else as it is spelt.

    >>> from chalkpoint.numbers.named import format_called
    >>> [format_said(format_called(spelling)) for spelling in ("8", "8 excess-127", "Q5.3", "8+4")]
    ['8-bit two\u2019s complement', '8-bit excess-127', 'Q5.3', '8+4']
    """
    if fmt.family != WHOLE or fmt.places:
        return str(fmt)
    return FORMATS["whole"].format(bits=fmt.bits, code=CODES[fmt.field.kind].format(excess=fmt.field.excess))


def signed_sum(question: Question, shown: Sequence[str]) -> str:
    """Return the operation with its operands as they are *shown*, such as "8.875 \u2212 (\u22123.5)".

    >>> from chalkpoint.working.question import ask
    >>> from chalkpoint.working.course import Course
    >>> signed_sum(ask("subtract", "8.875", "-3.5", course=Course()), ["8.875", "−3.5"])
    '8.875 − (−3.5)'
    >>> signed_sum(ask("multiply", "3*2^-9", "1", course=Course(format="10+6")), ["3 × 2^−9", "1"])
    '(3 × 2^−9) × 1'
    """
    first, *rest = shown
    sign = question.operation.sign
    if sign == "\u00f7":
        return f"{divided(first) if set(first) & set(' /') else first} {sign} {divided(*rest)}"
    if " " in first and sign == "\u00d7":  # a value in powers of two is a product itself
        first = f"({first})"
    return f" {sign} ".join([first, *map(bracketed, rest)])


def stored_otherwise(question: Question) -> bool:
    """Tell whether an operand was asked for that is not what was stored."""
    fmt = question.format
    past = question.past_range
    return any(
        given is not None and at not in past and given != value_or_none(fmt, pattern)
        for at, (given, pattern) in enumerate(zip(question.given, question.patterns, strict=False))
    )


def asked_sum(question: Question) -> list[str]:
    """Return the operands as they were asked for."""
    point = question.course.point
    return [
        shown if given is None else write_value(given, point=point)
        for given, shown in zip(question.given, question.shown, strict=True)
    ]


def heading(question: Question) -> str:
    """Return the question in one line, its operands in decimal: as they were asked for, then as they are stored.

    >>> from chalkpoint.working.question import ask
    >>> from chalkpoint.working.course import Course
    >>> heading(ask("add", "6.5", "1.25", course=Course()))
    '6.5 + 1.25 in 8+4'
    """
    fmt, name = format_said(question.format), question.operation.name
    shown = question.put
    if name == "explain" and question.about is not None:
        return QUESTIONS[name].format(heading(question.about))
    if question.operation.sign:
        if stored_otherwise(question):
            asked, stored = signed_sum(question, asked_sum(question)), signed_sum(question, question.shown)
            return QUESTIONS["stored"].format(asked, fmt, stored)
        return QUESTIONS["sum"].format(signed_sum(question, shown), fmt)
    if name in VALUES_ASKED:
        return QUESTIONS[name].format(fmt, *shown)
    pattern = question.format.write(question.patterns[0], point=question.course.binary_point == "shown")
    if question.target is not None:
        return QUESTIONS["convert"].format(pattern, fmt, format_said(question.target.number_format))
    return QUESTIONS["pattern"].format(name.capitalize(), pattern, fmt)


def asked_heading(question: Question) -> str:
    """Return the question as it was asked, without what its operands are stored as.

    >>> from chalkpoint.working.question import ask
    >>> from chalkpoint.working.course import Course
    >>> asked_heading(ask("add", "0.1", "-1.3", course=Course()))
    '0.1 + (\u22121.3) in 8+4'
    """
    if stored_otherwise(question) and question.operation.sign:
        return QUESTIONS["sum"].format(
            signed_sum(question, asked_sum(question)), format_said(question.format)
        )
    return heading(question)


def describe_method(question: Question, method: str) -> str:
    """Return what *method* does, in a few words.

    >>> from chalkpoint.working.question import ask
    >>> from chalkpoint.working.course import Course
    >>> describe_method(ask("add", "6.5", "1.25", course=Course()), "one-guard-bit")
    'one guard bit is kept to the end, then cut'
    """
    if method in METHODS:
        words = METHODS[method].words
        return ADDING_METHODS.get(method, words) if question.operation.name == "add" else words
    fmt = question.format
    if fmt.family == WHOLE and (method == "nearest" or fmt.field.writes_size):
        return OF_SIZES.get(method, STORING_WORDS.get(method, ""))
    return STORING_WORDS.get(method, "")
