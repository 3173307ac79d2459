"""Right under another convention: the same question reread and its answer rewritten, one convention at a time."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from chalkpoint.marking.patterns import Reading
from chalkpoint.marking.rows import same_digits
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import is_dyadic, write_exact
from chalkpoint.numbers.families import SIZES, WHOLE
from chalkpoint.numbers.formats import FloatFormat, Pattern
from chalkpoint.numbers.lanes import Lanes
from chalkpoint.numbers.named import value_or_none
from chalkpoint.working.adding import answer_on
from chalkpoint.working.choices import allowed_choices
from chalkpoint.working.conventions import CONVENTIONS, HOUSE, Code, Convention
from chalkpoint.working.course import Course
from chalkpoint.working.extremes import EXTREMES
from chalkpoint.working.page import Page
from chalkpoint.working.procedures import begin, context_of, declaration_of, method_named, right_method
from chalkpoint.working.question import Question

__all__ = ["SUMS", "answer_under", "answers_under_others", "other_choices", "other_orders", "sums_under"]

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

    worked   lines of working stand above it, so that only another way of writing their result is left
    flipped  the sign of the exponent turned about gives it, which in half of a field is what an excess code writes
    """
    home = answer_under(question, question.course, HOUSE)
    found = []
    for convention in CONVENTIONS.values():
        if _already(convention, question.course) or (worked and not convention.rewrites):
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
        return []  # bits of a question stand in the course's order
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


def _already(convention: Convention, course: Course) -> bool:
    return bool(convention.course) and all(
        getattr(course, key) == value for key, value in convention.course.items()
    )


def is_answer(entry: Reading, answer: str, fmt: FloatFormat) -> bool:
    """Tell whether *entry* is *answer*: bits field by field, a word, or a value."""
    if answer.startswith("="):
        return entry.value is not None and _value_text(entry.value) == answer
    if entry.word:
        return entry.word == answer
    fields = answer.split()
    if len(fields) != 2:
        return False
    if fmt.exponent_first:
        fields.reverse()
    # The digits were parted as the course at hand parts them; compare them as they run.
    if same_digits(entry.digits, fields[0]) and entry.exponent == fields[1]:
        return True
    run = [part.replace(".", "") for part in entry.text.split() if part != "|"]
    return "".join(run).replace("_", "").replace("|", "") == answer.replace(" ", "")


def _value_text(value: Fraction) -> str:
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
    return _value_text(code.value(fmt.read(bits), fmt))


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
    return None if page.pattern is None else _value_text(page.relative if asked.value else page.absolute)


SUMS = ("add", "subtract", "multiply", "divide", "normalise", "negate")

ANSWERING: dict[str, Callable[[Question, Question, Code], str | None]] = {
    **dict.fromkeys(SUMS, _sum),
    "decode": _decode,
    "encode": _encode,
    "error": _error,
}
