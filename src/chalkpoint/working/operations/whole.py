"""Operations on whole and fixed-point numbers."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import cache, partial

from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.carriers import Number
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.working import whole_values
from chalkpoint.working.codes import CodePage, code_method
from chalkpoint.working.course import Course
from chalkpoint.working.extremes import Extremes, ranging_method
from chalkpoint.working.methods import Method, Trail
from chalkpoint.working.operations.declaration import Declaration, Ending, Shown
from chalkpoint.working.operations.floating import extreme_shown, extremes_end, extremes_written
from chalkpoint.working.operations.sizes import stored_with_errors
from chalkpoint.working.page import IN_RANGE, OUTCOMES, OVERFLOW, TOO_LONG, AnyPage, Page, remainder
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Step
from chalkpoint.working.whole import CODES_ADDED, whole_losses, whole_method
from chalkpoint.working.whole_values import (
    WHOLE_NEGATING,
    WHOLE_READING,
    WholeReadPage,
    WholeStorePage,
    whole_extremes,
    whole_storing_method,
)
from chalkpoint.working.wording import codes as code_words
from chalkpoint.working.wording import whole as arithmetic_words
from chalkpoint.working.wording import whole_values as value_words
from chalkpoint.working.written import Written

__all__ = ["WHOLE_OPERATIONS", "first_page"]

OVER, LONG = OUTCOMES[OVERFLOW], OUTCOMES[TOO_LONG]


def _outcome(pattern: str | None, fmt: FixedFormat) -> str:
    """Return how a working ends whose answer is *pattern*, or overflow."""
    if pattern is None:
        return OVER
    return "in range" if fmt.value(pattern) else "zero"


# === The four operations ===


def _arithmetic(operation: str) -> Declaration[Page | CodePage]:
    def method(course: Course, name: str) -> Method:
        kind = course.fixed_format.field.kind
        taken = "take away" if kind == "unsigned" and operation == "subtract" else operation
        return code_method(operation, kind) or whole_method(taken, course.rounding)

    divides = operation == "divide"
    return Declaration(
        method=method,
        begin=_start,
        end=_end,
        answer=_answer,
        exact=partial(_exact, operation),
        writer=_writer,
        losses=whole_losses,
        refuse=partial(_refuse, operation),
        judged_under=_cutting_size if divides else lambda question: question.course,
    )


def _in_other_code(question: Question) -> bool:
    """Tell whether the rules work on the patterns themselves (`codes`), not on what they stand for."""
    return code_method(question.operation.name, question.fixed_format.field.kind) is not None


def _writer(question: Question, method: Method) -> Callable[[Step], Written]:
    if _in_other_code(question):
        return code_words.CodeWriter.of(question, method)
    return arithmetic_words.WholeWriter.of(question, method)


def first_page(operation: str, fmt: FixedFormat, first: Number, second: Number) -> Page | CodePage:
    """Return the page with two patterns on it, each read as unsigned; on any carrier.

    >>> from chalkpoint.numbers.fields import Field
    >>> first_page("add", FixedFormat(Field("two's complement", 8), 0), 3, 255)[:3]
    (3, 0, -1)
    """
    if code_method(operation, fmt.field.kind) is not None:
        return CodePage(first, second)
    return Page(fmt.field.number(first), 0, fmt.field.number(second), 0)


def _start(question: Question) -> Page | CodePage:
    outcome = OVERFLOW if question.past_range else IN_RANGE
    first, second = (int(pattern, 2) for pattern in question.patterns)
    page = first_page(question.operation.name, question.fixed_format, first, second)
    if question.operation.name == "divide" and not page.second:
        page = page._replace(
            second=1
        )  # of a divisor past the range the low bits may all be 0: it is overflow
    return page._replace(outcome=outcome)


def _ends_at_overflow(question: Question) -> bool:
    """Tell whether an overflow is the answer: where a course says so, and where an operand has no pattern at all."""
    return question.course.overflow != "largest" or bool(question.past_range)


def _end_in_code(page: CodePage, question: Question) -> Ending:
    fmt = question.fixed_format
    if page.outcome == TOO_LONG:
        return Ending(LONG, None)
    if page.outcome != OVERFLOW:
        pattern = to_bits(page.total, fmt.bits)
        return Ending(_outcome(pattern, fmt), pattern)
    if _ends_at_overflow(question):
        return Ending(OVER, None)
    exact = _exact(question.operation.name, question)
    return Ending("in range", fmt.field.write(fmt.field.nearest_end(int(exact / fmt.unit_value))))


def _end(page: Page | CodePage, question: Question) -> Ending:
    fmt = question.fixed_format
    if isinstance(page, CodePage):
        return _end_in_code(page, question)
    total = page.total
    if page.outcome == TOO_LONG:
        return Ending(LONG, None)
    if page.outcome == OVERFLOW:
        if _ends_at_overflow(question):
            return Ending(OVER, None)
        total = fmt.field.nearest_end(total)
    pattern = fmt.field.write(total)
    parts = {}
    if question.operation.name == "divide" and not fmt.places:
        parts = {"quotient": pattern, "remainder": fmt.field.write(remainder(page, 0))}
    return Ending("in range" if total else "zero", pattern, parts)


def _answer(page: Page | CodePage, question: Question) -> str:
    """Return bits or a word; a faulty method may leave a digit too many."""
    if page.outcome == TOO_LONG:
        return to_bits(page.total, max(question.format.bits + 1, page.total.bit_length()))
    ending = _end(page, question)
    return ending.outcome if ending.pattern is None else str(ending.pattern)


def _exact(operation: str, question: Question) -> Fraction:
    first, second = question.values
    if operation == "divide":
        return first / second
    if operation == "multiply":
        return first * second
    return first + second if operation == "add" else first - second


def _refuse(operation: str, question: Question) -> None:
    fmt = question.fixed_format
    if fmt.field.kind not in CODES_ADDED and not _in_other_code(question):
        raise EntryError(
            f"{operation!r} is not worked in {fmt.field.kind}: there numbers are added and subtracted only"
        )
    if operation == "divide" and not question.values[1]:
        raise EntryError(f"{question.shown[0]} ÷ 0 has no answer; divide by a number other than 0")


def _cutting_size(question: Question) -> Course:
    """Return the course by which a quotient is judged: what is left of it is the remainder."""
    return question.course.with_(rounding="cut size")


# === Reading and storing ===


def _end_of_one(page: object, question: Question) -> Ending:
    (pattern,) = question.patterns
    return Ending(_outcome(pattern, question.fixed_format), pattern)


def _read(page: WholeReadPage, question: Question) -> str:
    return write_value(page.value, point=question.course.point)


def _storing(operation: str) -> Declaration[WholeStorePage]:
    return Declaration(
        method=lambda course, name: whole_storing_method(operation),
        begin=lambda question: WholeStorePage(question.value),
        context=lambda question: question.course,
        end=lambda page, question: Ending(_outcome(page.pattern, question.fixed_format), page.pattern),
        answer=lambda page, question: stored_with_errors(question, page.pattern, OVER),
        exact=lambda question: question.value,
        writer=value_words.WholeValueWriter.of,
        losses=whole_losses,
        written=whole_values.is_written,
        called=lambda method, course: course.rounding,
    )


# === Range and sign ===


@cache
def _ranging(fmt: FixedFormat) -> Method:
    return ranging_method({name: partial(_extreme, name) for name in whole_extremes(fmt)})


def _extreme(name: str, fmt: FixedFormat) -> str:
    return whole_extremes(fmt)[name]


def _range(course: Course, name: str) -> Method:
    return _ranging(course.number_format)


def _negating(course: Course, name: str) -> Method:
    return code_method("negate", course.fixed_format.field.kind) or WHOLE_NEGATING


def _one_row(question: Question) -> Page | CodePage:
    """Return the page with the row to be negated."""
    (pattern,) = question.patterns
    if _in_other_code(question):
        return CodePage(0, int(pattern, 2))
    return Page(0, 0, question.fixed_format.field.read(pattern), 0)


def _negated(page: Page | CodePage, question: Question) -> str | None:
    """Return the row that was negated; the end of the range where the course writes that, None for overflow."""
    fmt = question.fixed_format
    number = page.second
    if isinstance(page, CodePage):
        if 0 <= number < 1 << fmt.bits:
            return to_bits(number, fmt.bits)
        number -= fmt.field.excess
    elif fmt.field.holds(number):
        return fmt.field.write(number)
    if question.course.overflow == "largest":
        return fmt.field.write(fmt.field.nearest_end(number))
    return None


def _end_of_negating(page: Page | CodePage, question: Question) -> Ending:
    pattern = _negated(page, question)
    return Ending(_outcome(pattern, question.fixed_format), pattern)


def _answer_of_negating(page: Page | CodePage, question: Question) -> str:
    return _negated(page, question) or (LONG if page.outcome == TOO_LONG else OVER)


def _row_negated(entry: Trail, question: Question) -> Shown:
    """Return the step of negating a row of bits: the row before and after."""
    return Shown("opposite", question.patterns[0], _negated(entry.after, question))


def _no_opposite(question: Question) -> None:
    fmt = question.fixed_format
    (pattern,) = question.patterns
    if fmt.field.kind == "unsigned" and fmt.field.read(pattern):
        raise EntryError(
            f"{pattern} has no opposite: {fmt} holds no negative numbers; give 0 or a code with signs"
        )


WHOLE_OPERATIONS: dict[str, Declaration[AnyPage]] = {
    "decode": Declaration(
        method=lambda course, name: WHOLE_READING,
        begin=lambda question: WholeReadPage(question.patterns[0]),
        end=_end_of_one,
        answer=_read,
        exact=lambda question: question.values[0],
        writer=value_words.WholeValueWriter.of,
        written=lambda entry, last, question: bool(question.format.places) or entry.line.name == "weigh",
    ),
    "encode": _storing("encode"),
    "negate": Declaration(
        method=_negating,
        begin=_one_row,
        end=_end_of_negating,
        answer=_answer_of_negating,
        shown=_row_negated,
        exact=lambda question: -question.values[0],
        writer=value_words.WholeValueWriter.of,
        refuse=_no_opposite,
    ),
    **{name: _arithmetic(name) for name in ("add", "subtract", "multiply", "divide")},
    "range": Declaration(
        method=_range,
        begin=lambda question: Extremes(),
        end=extremes_end,
        answer=extremes_written,
        exact=lambda question: question.fixed_format.value(
            whole_extremes(question.fixed_format)["largest positive"]
        ),
        writer=value_words.WholeValueWriter.of,
        shown=extreme_shown,
    ),
    "error": _storing("error"),
}
