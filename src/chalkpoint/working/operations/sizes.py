"""Operations on numbers of a sign, an exponent and a size."""

from __future__ import annotations

from functools import cache, partial

from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.named import AnyPattern, value_or_none
from chalkpoint.numbers.signed import Fields, SignMagnitudeFormat
from chalkpoint.working import size_arithmetic, size_values
from chalkpoint.working.check import check
from chalkpoint.working.course import Course
from chalkpoint.working.extremes import Extremes, ranging_method
from chalkpoint.working.methods import Method, Trail
from chalkpoint.working.operations.declaration import BETWEEN, Declaration, Ending, Exact
from chalkpoint.working.operations.floating import extreme_shown, extremes_end, extremes_written
from chalkpoint.working.page import OUTCOMES, OVERFLOW, UNDERFLOW, AnyPage
from chalkpoint.working.question import Question
from chalkpoint.working.size_arithmetic import WRITTEN_FOR_SPECIALS, exact_answer, size_method, start_sizes
from chalkpoint.working.size_values import (
    READ_OF_SPECIALS,
    SIZE_CHANGING,
    SIZE_READING,
    SizeReadPage,
    SizeStorePage,
    size_extremes,
    size_storing_method,
    size_zero_method,
)
from chalkpoint.working.sizes import SizePage
from chalkpoint.working.wording import size_arithmetic as arithmetic_words
from chalkpoint.working.wording import size_values as value_words

__all__ = ["SIZE_OPERATIONS", "stored_with_errors"]


def exact_of(pattern: Fields, fmt: SignMagnitudeFormat) -> Exact:
    """Return what *pattern* stands for: a value, or the word for an infinity or no number."""
    value = value_or_none(fmt, pattern)
    if value is not None:
        return value
    kind = fmt.kind(pattern)
    return "minus infinity" if kind == "infinity" and pattern.sign else kind


def outcome_of(pattern: Fields, fmt: SignMagnitudeFormat) -> str:
    """Return how a working ends whose answer is *pattern*."""
    kind = fmt.kind(pattern)
    return "in range" if kind in {"normal", "subnormal"} else kind


# === The four operations ===


def _arithmetic(operation: str) -> Declaration[SizePage]:
    return Declaration(
        method=lambda course, name: size_method(operation, course),
        begin=start_sizes,
        end=_packed,
        exact=exact_answer,
        writer=arithmetic_words.SizeWriter.of,
        losses=size_arithmetic.losses,
        written=lambda entry, last, question: not last.special or entry.line.name in WRITTEN_FOR_SPECIALS,
        refuse=_no_quotient if operation == "divide" else None,
        called=lambda method, course: course.rounding,
    )


def _packed(page: SizePage, question: Question) -> Ending:
    word = page.outcome in {OVERFLOW, UNDERFLOW}
    return Ending(OUTCOMES[page.outcome], None if word else Fields(page.sign, page.stored, page.fraction))


def _no_quotient(question: Question) -> None:
    fmt = question.size_format
    if fmt.specials == "none" and fmt.kind(question.patterns[1]) == "zero":
        raise EntryError(
            f"{question.shown[0]} ÷ 0 has no answer in {fmt}, which has no special values; divide by another"
        )


# === Reading and storing ===


def _read(page: SizeReadPage, question: Question) -> str:
    if page.special:
        kind = question.size_format.kind(Fields(page.sign, page.stored, page.fraction))
        return f"minus {kind}" if page.sign and kind == "infinity" else kind
    return write_value(page.value, point=question.course.point)


def _end_of_one(page: object, question: Question) -> Ending:
    (pattern,) = question.patterns
    return Ending(outcome_of(pattern, question.size_format), pattern)


def _storing(operation: str) -> Declaration[SizeStorePage]:
    return Declaration(
        method=lambda course, name: size_storing_method(operation),
        begin=lambda question: SizeStorePage(question.value),
        context=lambda question: question.course,
        end=lambda page, question: Ending(page.outcome, page.pattern),
        answer=lambda page, question: stored_with_errors(question, page.pattern, page.outcome),
        exact=lambda question: question.value,
        writer=value_words.SizeValueWriter.of,
        losses=size_values.losses,
        suit=lambda method, question: size_zero_method(method) if question.value == 0 else method,
        written=_is_written,
        called=lambda method, course: course.rounding,
    )


def _is_written(entry: Trail, last: SizeStorePage, question: Question) -> bool:
    """Tell whether a line is written: a word, or an infinity, has no cost."""
    costs = last.pattern is not None and value_or_none(question.format, last.pattern) is not None
    return costs or entry.line not in size_values.COSTS


def stored_with_errors(question: Question, pattern: AnyPattern, outcome: str) -> str:
    """Return the pattern or word; for `error`, the two errors after it, as the check has them."""
    bits = outcome if pattern is None else question.format.write(pattern)
    if question.operation.name != "error" or pattern is None:
        return bits
    checked = check(question.value, outcome, pattern, question.course)
    errors = (checked.error, checked.relative_error)
    return BETWEEN.join([bits, *(write_value(abs(error)) for error in errors if error is not None)])


# === Range, sign and normal form ===


@cache
def _ranging(fmt: SignMagnitudeFormat) -> Method:
    return ranging_method({name: partial(_extreme, name) for name in size_extremes(fmt)})


def _extreme(name: str, fmt: SignMagnitudeFormat) -> Fields:
    return size_extremes(fmt)[name]


def _changing(operation: str) -> Declaration[Fields]:
    method = SIZE_CHANGING[operation]

    def exact(question: Question) -> Exact:
        (pattern,) = question.patterns
        changed = pattern._replace(sign=1 - pattern.sign) if operation == "negate" else pattern
        return exact_of(changed, question.size_format)

    return Declaration(
        method=lambda course, name: method,
        begin=lambda question: question.patterns[0],
        end=lambda page, question: Ending(outcome_of(page, question.size_format), page),
        exact=exact,
        writer=value_words.SizeValueWriter.of,
        refuse=_no_shift if operation == "normalise" else None,
    )


def _no_shift(question: Question) -> None:
    fmt = question.size_format
    if fmt.hidden:
        raise EntryError(
            f"{fmt.write(question.patterns[0])} cannot be shifted: {fmt} hides the first 1, so its patterns have "
            "one form only"
        )


def _range(course: Course, name: str) -> Method:
    return _ranging(course.number_format)


SIZE_OPERATIONS: dict[str, Declaration[AnyPage]] = {
    "decode": Declaration(
        method=lambda course, name: SIZE_READING,
        begin=lambda question: SizeReadPage(*question.patterns[0]),
        end=_end_of_one,
        answer=_read,
        exact=lambda question: exact_of(question.patterns[0], question.size_format),
        writer=value_words.SizeValueWriter.of,
        written=lambda entry, last, question: not last.special or entry.line.name in READ_OF_SPECIALS,
    ),
    "encode": _storing("encode"),
    "normalise": _changing("normalise"),
    "negate": _changing("negate"),
    **{name: _arithmetic(name) for name in ("add", "subtract", "multiply", "divide")},
    "range": Declaration(
        method=_range,
        begin=lambda question: Extremes(),
        end=extremes_end,
        answer=extremes_written,
        exact=lambda question: question.size_format.value(question.size_format.largest),
        writer=value_words.SizeValueWriter.of,
        shown=extreme_shown,
    ),
    "error": _storing("error"),
}
