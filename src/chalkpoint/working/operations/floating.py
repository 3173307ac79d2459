"""Operations on numbers of a two's complement mantissa and an exponent."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.numbers.bits import scaled
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.formats import Pattern
from chalkpoint.working import losing, multiplying, storing
from chalkpoint.working.adding import answer_on, exact_sum, start, written_answer
from chalkpoint.working.changing import changing_method, one_row
from chalkpoint.working.check import NO_ANSWER
from chalkpoint.working.course import Course
from chalkpoint.working.extremes import EXTREMES, RANGING, Extremes
from chalkpoint.working.methods import METHODS, Method, Trail, method_for
from chalkpoint.working.multiplying import CUTS, by_zero_method, multiplying_method
from chalkpoint.working.operations.declaration import BETWEEN, Declaration, Ending, Shown
from chalkpoint.working.page import AnyPage, Page
from chalkpoint.working.question import Question
from chalkpoint.working.reading import DECODING, ReadPage, codes
from chalkpoint.working.storing import StorePage, storing_method, storing_zero
from chalkpoint.working.wording import extremes as extreme_words
from chalkpoint.working.wording import floating as adding_words
from chalkpoint.working.wording import multiplying as scaling_words
from chalkpoint.working.wording import reading as reading_words
from chalkpoint.working.wording import storing as storing_words

__all__ = ["FLOATING_OPERATIONS"]


# === Pages of addition, which most operations end on ===


def _end(page: Page, question: Question) -> Ending:
    return Ending(*answer_on(page, question.float_format))


def _answer(page: Page, question: Question) -> str:
    return written_answer(page, question.float_format)


def _adding(operation: str) -> Declaration[Page]:
    def method(course: Course, name: str) -> Method:
        return method_for(
            operation,
            name or course.method,
            as_written=course.operands == "as written",
            underflow=course.underflow,
            overflow=course.overflow,
        )

    return Declaration(
        method=method,
        accepted=lambda course: tuple(METHODS),
        begin=start,
        end=_end,
        answer=_answer,
        exact=exact_sum,
        writer=adding_words.PatternWriter.of,
        losses=losing.losses,
    )


def _changing(operation: str) -> Declaration[Page]:
    sign = -1 if operation == "negate" else 1
    return Declaration(
        method=lambda course, name: changing_method(operation, course.underflow, course.overflow),
        begin=one_row,
        end=_end,
        answer=_answer,
        exact=lambda question: sign * question.values[0],
        writer=adding_words.PatternWriter.of,
        losses=losing.losses,
        called=lambda method, course: "",
    )


# === Multiplying and dividing ===


def _scaling(operation: str) -> Declaration[Page]:
    def method(course: Course, name: str) -> Method:
        return multiplying_method(operation, name or course.rounding, course.underflow, course.overflow)

    divides = operation == "divide"
    return Declaration(
        method=method,
        accepted=lambda course: tuple(CUTS),
        begin=start,
        end=_end,
        answer=_answer,
        exact=_quotient if divides else lambda question: question.values[0] * question.values[1],
        writer=scaling_words.ProductWriter.of,
        losses=multiplying.losses,
        suit=_dividing if divides else lambda method, question: method,
        refuse=_no_quotient if divides else None,
        called=lambda method, course: course.rounding,
    )


def _by_zero(question: Question) -> bool:
    divisor: Pattern = question.patterns[1]
    return divisor.mantissa == 0


def _dividing(method: Method, question: Question) -> Method:
    answered = _by_zero(question) and question.course.overflow == "largest"
    return by_zero_method(method) if answered else method


def _no_quotient(question: Question) -> None:
    if _by_zero(question) and question.course.overflow != "largest":
        raise EntryError(
            f"{question.shown[0]} ÷ 0 has no answer; divide by a number other than 0, "
            'or take a course with overflow = "largest"'
        )


def _quotient(question: Question) -> Fraction | str:
    first, second = question.values
    return first / second if second else NO_ANSWER


# === Reading and storing ===


def _read(page: ReadPage, question: Question) -> str:
    return write_value(page.value, point=question.course.point)


def _end_of_reading(page: ReadPage, question: Question) -> Ending:
    (pattern,) = question.patterns
    return Ending("in range" if pattern.mantissa else "zero", pattern)


STORED = ("size", "sign", "point", "fit", "exponent")
COSTS = {"answer": STORED, "absolute": ("absolute",), "relative": ("relative",)}


def _storing(operation: str) -> Declaration[StorePage]:
    return Declaration(
        method=lambda course, name: storing_method(name or course.rounding, operation),
        accepted=lambda course: tuple(CUTS),
        begin=lambda question: StorePage(question.value),
        context=lambda question: question.course,
        end=lambda page, question: Ending(page.outcome, page.pattern),
        answer=_stored,
        exact=lambda question: question.value,
        writer=storing_words.StoreWriter.of,
        losses=storing.losses,
        suit=storing_zero,
        written=storing.is_written,
        line=_line_stored,
        parts=COSTS if operation == "error" else {},
        called=lambda method, course: course.rounding,
    )


def _stored(page: StorePage, question: Question) -> str:
    """Return the pattern or word; for `error`, the two errors after it."""
    bits = page.outcome if page.pattern is None else question.float_format.write(page.pattern)
    if question.operation.name != "error" or page.pattern is None:
        return bits
    return BETWEEN.join((bits, write_value(page.absolute), write_value(page.relative)))


def _line_stored(page: StorePage) -> tuple[object, ...]:
    """Return what is written, the digits as the value they have: 0s at their end change nothing."""
    return scaled(page.number, -page.places), page.exponent, page.mantissa, page.pattern, page.outcome


# === Range ===


def _largest(question: Question) -> Fraction:
    fmt = question.float_format
    return fmt.value(EXTREMES["largest positive"](fmt))


def extreme_shown(entry: Trail, question: Question) -> Shown:
    """Return the step of one extreme: its pattern alone."""
    return Shown(entry.line.name, None, entry.after[entry.line.name])


def extremes_written(page: Extremes, question: Question) -> str:
    """Return the extremes in bits, one after another."""
    return BETWEEN.join(question.format.write(pattern) for pattern in page.values())


def extremes_end(page: Extremes, question: Question) -> Ending:
    """Return the end of a range: its largest number, and all the extremes."""
    return Ending("in range", page["largest positive"], page)


FLOATING_OPERATIONS: dict[str, Declaration[AnyPage]] = {
    "add": _adding("add"),
    "subtract": _adding("subtract"),
    "multiply": _scaling("multiply"),
    "divide": _scaling("divide"),
    "normalise": _changing("normalise"),
    "negate": _changing("negate"),
    "decode": Declaration(
        method=lambda course, name: DECODING,
        begin=codes,
        end=_end_of_reading,
        answer=_read,
        exact=lambda question: question.values[0],
        writer=reading_words.ReadingWriter.of,
    ),
    "encode": _storing("encode"),
    "range": Declaration(
        method=lambda course, name: RANGING,
        begin=lambda question: Extremes(),
        end=extremes_end,
        answer=extremes_written,
        exact=_largest,
        writer=extreme_words.RangeWriter.of,
        shown=extreme_shown,
        parts={name: (name,) for name in EXTREMES},
    ),
    "error": _storing("error"),
}
