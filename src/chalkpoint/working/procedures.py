"""How each operation is run by a method: the page it begins with, and what ends in the answer's place."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

from chalkpoint.numbers.exact import write_value
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.formats import FloatFormat, scaled
from chalkpoint.numbers.signed import SignMagnitudeFormat
from chalkpoint.working.adding import start, written_answer
from chalkpoint.working.changing import changing_method, one_row
from chalkpoint.working.course import Course
from chalkpoint.working.extremes import EXTREMES, RANGING, Extremes
from chalkpoint.working.methods import METHODS, Method, method_for
from chalkpoint.working.multiplying import CUTS, multiplying_method
from chalkpoint.working.procedure import Procedure
from chalkpoint.working.question import Question
from chalkpoint.working.reading import DECODING, ReadPage, codes
from chalkpoint.working.size_procedures import SIZE_PROCEDURES
from chalkpoint.working.storing import StorePage, storing_method, storing_zero
from chalkpoint.working.whole_procedures import WHOLE_PROCEDURES

__all__ = [
    "BETWEEN",
    "answer_by",
    "begin",
    "has_methods",
    "lines_written",
    "other_methods",
    "part_of",
    "parts_of",
    "right_method",
    "run",
    "write_answer",
]

BETWEEN = "; "  # answers of one question


def _adding(operation: str) -> Procedure:
    def method(course: Course, name: str) -> Method:
        as_written = course.operands == "as written"
        return method_for(
            operation,
            name or course.method,
            as_written=as_written,
            underflow=course.underflow,
            overflow=course.overflow,
        )

    return Procedure(method, lambda course: tuple(METHODS), start, _written)


def _changing(operation: str) -> Procedure:
    return Procedure(
        lambda course, name: changing_method(operation, course.underflow, course.overflow),
        lambda course: (),
        one_row,
        _written,
    )


def _scaling(operation: str) -> Procedure:
    def method(course: Course, name: str) -> Method:
        return multiplying_method(operation, name or course.rounding, course.underflow, course.overflow)

    return Procedure(method, lambda course: tuple(CUTS), start, _written)


STORED = ("size", "sign", "point", "fit", "exponent")


def _storing(operation: str) -> Procedure:
    costs = {"answer": STORED, "absolute": ("absolute",), "relative": ("relative",)}
    return Procedure(
        lambda course, name: storing_method(name or course.rounding, operation),
        lambda course: ("cut", "cut size", "nearest", "nearest away"),
        lambda question: StorePage(question.value),
        _stored,
        lambda question: question.course,
        _line_stored,
        storing_zero,
        costs if operation == "error" else {},
    )


def _line_stored(page: StorePage) -> tuple[Any, ...]:
    """Return what is written, the digits as the value they have: 0s at their end change nothing."""
    return scaled(page.number, -page.places), page.exponent, page.mantissa, page.pattern, page.outcome


def _written(page: Any, question: Question) -> str:
    return written_answer(page, question.format)


def _stored(page: StorePage, question: Question) -> str:
    """Return the pattern or word; for `error`, the two errors after it."""
    bits = page.outcome if page.pattern is None else question.format.write(page.pattern)
    if question.operation.name != "error" or page.pattern is None:
        return bits
    return BETWEEN.join((bits, write_value(page.absolute), write_value(page.relative)))


def _read(page: ReadPage, question: Question) -> str:
    return write_value(page.value, point=question.course.point)


def _extremes(page: Extremes, question: Question) -> str:
    fmt: FloatFormat = question.format
    return BETWEEN.join(fmt.write(pattern) for pattern in page.values())


PROCEDURES: dict[str, Procedure] = {
    "decode": Procedure(lambda course, name: DECODING, lambda course: (), codes, _read),
    "encode": _storing("encode"),
    "error": _storing("error"),
    "normalise": _changing("normalise"),
    "negate": _changing("negate"),
    "add": _adding("add"),
    "multiply": _scaling("multiply"),
    "divide": _scaling("divide"),
    "subtract": _adding("subtract"),
    "range": Procedure(
        lambda course, name: RANGING,
        lambda course: (),
        lambda question: Extremes(),
        _extremes,
        parts={name: (name,) for name in EXTREMES},
    ),
}


#: The procedures of each family of formats; what is done in one way only has none.
FAMILIES: dict[type, dict[str, Procedure]] = {
    FloatFormat: PROCEDURES,
    SignMagnitudeFormat: SIZE_PROCEDURES,
    FixedFormat: WHOLE_PROCEDURES,
}


def has_methods(operation: str, course: Course) -> bool:
    """Tell whether *operation* is run by a method in the course's format."""
    return operation in FAMILIES[type(course.number_format)]


def procedure_of(question: Question) -> Procedure:
    """Return how *question* is run."""
    return FAMILIES[type(question.format)][question.operation.name]


@cache
def right_method(operation: str, course: Course, name: str = "") -> Method:
    """Return the method called *name*, or the course's own."""
    return FAMILIES[type(course.number_format)][operation].method(course, name)


def other_methods(operation: str, course: Course) -> tuple[str, ...]:
    """Return the names of every way a book may teach *operation*."""
    return FAMILIES[type(course.number_format)][operation].others(course)


def begin(question: Question) -> Any:
    """Return *question*'s page before anything is done."""
    return procedure_of(question).begin(question)


def run(method: Method, question: Question) -> list[Any]:
    """Return the page after each line of *method*."""
    procedure = procedure_of(question)
    trail = procedure.suit(method, question).trail(procedure.begin(question), procedure.by(question))
    return [written.after for written in trail]


def lines_written(pages: Iterable[Any], question: Question) -> list[Any]:
    """Return what is written on each line, so that two workings can be compared."""
    line = procedure_of(question).line
    return [line(page) for page in pages]


def write_answer(page: Any, question: Question) -> str:
    """Return what stands in the answer's place on the last *page*: bits, a word or a value."""
    return procedure_of(question).answer(page, question)


def parts_of(operation: str) -> Mapping[str, tuple[str, ...]]:
    """Return the answers *operation* asks for beside one another, each with the lines that lead to it.

    Where it asks for one answer there are none.

    >>> list(parts_of("error")), list(parts_of("add"))
    (['answer', 'absolute', 'relative'], [])
    """
    return PROCEDURES[operation].parts if operation in PROCEDURES else {}


def part_of(answer: str, operation: str, part: str) -> str:
    """Return *part* of a whole *answer* as `write_answer` writes it; "" where it has no such part.

    >>> part_of("01001001 0011; 0.0375; 3/368", "error", "absolute")
    '0.0375'
    """
    return dict(zip(parts_of(operation), answer.split(BETWEEN), strict=False)).get(part, "")


def answer_by(method: Method, question: Question) -> str:
    """Return what stands in the answer's place when *method* works *question*.

    >>> from chalkpoint.working.question import ask
    >>> answer_by(right_method("decode", Course()), ask("decode", "01101000 0011", course=Course()))
    '6.5'
    """
    procedure = procedure_of(question)
    last = procedure.suit(method, question).finish(procedure.begin(question), procedure.by(question))
    return write_answer(last, question)
