"""The right answer under another convention: a question's bits reread, worked by the course, its answer rewritten."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction

from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import is_dyadic, parse_value, write_exact, write_value
from chalkpoint.numbers.formats import FloatFormat, Pattern
from chalkpoint.numbers.lanes import Lanes
from chalkpoint.working.adding import answer_on
from chalkpoint.working.conventions import HOUSE, Code
from chalkpoint.working.course import Course
from chalkpoint.working.extremes import EXTREMES
from chalkpoint.working.page import Page
from chalkpoint.working.procedures import begin, method_named, right_method
from chalkpoint.working.question import Question

__all__ = ["SUMS", "answer_under", "sums_under", "value_text", "written_under"]

SUMS = ("add", "subtract", "multiply", "divide", "normalise", "negate")


def value_text(value: Fraction) -> str:
    """Return a value as an answer: exact, an equals sign before it."""
    return f"={write_exact(value) if is_dyadic(value) else value}"


def answer_under(question: Question, course: Course, code: Code, part: str = "") -> str | None:
    """Return the right answer to *question*'s bits under *course* and *code*: bits, a word, or "=value".

    part  one of the answers the question asks for; "" for the one that is looked at first

    None where the convention says nothing about this question.
    """
    asked = replace(question, course=course, format=course.number_format)
    name = question.operation.name
    if part:
        return _part(question, asked, code, part)
    return ANSWERING[name](question, asked, code) if name in ANSWERING else None


def written_under(question: Question, course: Course, code: Code, part: str = "") -> str:
    """Return that answer as it is written in the answer's place; "" where there is none.

    >>> from chalkpoint.working.question import ask
    >>> written_under(ask("decode", "01100000 0001", course=Course()), Course(), Code(exponent="excess"))
    '0.005859375'
    """
    try:
        answer = answer_under(question, course, code, part)
    except EntryError:
        return ""
    if answer is None:
        return ""
    value = answer.removeprefix("=")
    return answer if value == answer else write_value(parse_value(value), point=question.course.point)


def _part(question: Question, asked: Question, code: Code, part: str) -> str | None:
    """Return one of several answers: what is stored, or an extreme. What storing costs is no matter of writing."""
    if question.operation.name == "range":
        return _extreme(asked, code, part)
    return _encode(question, asked, code) if part == "answer" else None


def _extreme(asked: Question, code: Code, part: str) -> str | None:
    """Return an extreme of the range as *code* writes it: its exponents end elsewhere where its bias does."""
    fmt = asked.float_format
    mantissa, exponent = EXTREMES[part](fmt)
    if code.hidden:  # a sign and a fraction: all 1s where the size is largest, all 0s where it is least
        sign = -(1 << fmt.places) if mantissa < 0 else 0
        mantissa = sign + ((1 << fmt.places) - 1 if exponent == fmt.highest_exponent else 0)
    return code.write(Pattern(mantissa, exponent + code.lowest_exponent(fmt) - fmt.lowest_exponent), fmt)


def _reread(question: Question, course: Course, code: Code) -> Question:
    """Return *question* with its operands as the convention reads their bits; a value is stored, whatever its bits."""
    home, fmt, patterns = question.float_format, course.float_format, list(question.patterns)
    for at, value in enumerate(question.given or (None,) * len(patterns)):
        if value is None:
            bits = patterns[at] if fmt == home else fmt.read(home.write(patterns[at]).replace(" ", ""))
            patterns[at] = code.read(bits, fmt)
    return replace(question, course=course, format=course.number_format, patterns=tuple(patterns))


def sums_under(questions: Sequence[Question], course: Course, code: Code) -> list[str | None]:
    """Return the `answer_under` of each of *questions*, sums of one operation and course, worked in one stroke."""
    if code.hidden:
        return [None] * len(questions)
    fmt = course.float_format
    # The rules judge the range of the house: count exponents from where this code's range begins.
    datum = fmt.lowest_exponent - code.lowest_exponent(fmt)
    pages = [begin(_reread(question, course, code))._replace(datum=datum) for question in questions]
    method = right_method(questions[0].operation.name, course)
    if len(pages) == 1:
        return [_sum_on(method.finish(pages[0], fmt), code, fmt)]
    lanes = Lanes(len(pages))
    last = method.finish(lanes.gather(pages), fmt)
    ends = zip(*map(lanes.unpack, (last.total, last.exponent, last.outcome)), strict=True)
    return [
        _sum_on(Page(0, 0, 0, 0, total, exponent, outcome=outcome, datum=datum), code, fmt)
        for total, exponent, outcome in ends
    ]


def _sum_on(last: Page, code: Code, fmt: FloatFormat) -> str | None:
    """Return what the last page of a sum gives, written as *code* writes it."""
    outcome, pattern = answer_on(last, fmt)
    if pattern is None:
        return outcome
    if pattern == fmt.zero and outcome == "zero":
        pattern = Pattern(0, pattern.exponent - last.datum if fmt.zero.exponent == fmt.lowest_exponent else 0)
    return code.write(pattern, fmt)


def _sum(question: Question, asked: Question, code: Code) -> str | None:
    return sums_under([question], asked.course, code)[0]


def _decode(question: Question, asked: Question, code: Code) -> str | None:
    bits = question.format.write(question.patterns[0]).replace(" ", "")
    fmt = asked.float_format
    return value_text(code.value(fmt.read(bits), fmt))


def _encode(question: Question, asked: Question, code: Code) -> str | None:
    value, fmt, course = asked.value, asked.float_format, asked.course
    if value == 0:
        return code.write(
            Pattern(0, code.lowest_exponent(fmt) if course.zero == "lowest exponent" else 0), fmt
        )
    if code == HOUSE:
        page = method_named(asked).finish(begin(asked), course)
        return str(page.outcome if page.pattern is None else fmt.write(page.pattern))
    stored = code.store(value, fmt, course.rounding)
    if stored == "underflow" and course.underflow == "zero":
        return _encode(question, replace(asked, value=Fraction(0)), code)
    return stored


def _error(question: Question, asked: Question, code: Code) -> str | None:
    if code != HOUSE:
        return None
    page = method_named(asked).finish(begin(asked), asked.course)
    return None if page.pattern is None else value_text(page.relative if asked.value else page.absolute)


ANSWERING: dict[str, Callable[[Question, Question, Code], str | None]] = {
    **dict.fromkeys(SUMS, _sum),
    "decode": _decode,
    "encode": _encode,
    "error": _error,
}
