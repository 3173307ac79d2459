"""What other rooms ask of an operation: its methods, its lines, and its answer.

Everything is looked up in what is declared of the operation (`operations`).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from functools import cache

from chalkpoint.working.course import Course
from chalkpoint.working.methods import Method
from chalkpoint.working.operations.declaration import BETWEEN, Declaration
from chalkpoint.working.operations.declared import declared, is_declared, operations_on
from chalkpoint.working.page import AnyPage
from chalkpoint.working.question import Question

__all__ = [
    "BETWEEN",
    "answer_by",
    "begin",
    "context_of",
    "declaration_of",
    "exact_answer",
    "has_methods",
    "lines_written",
    "method_named",
    "other_methods",
    "part_of",
    "parts_of",
    "right_method",
    "run",
    "write_answer",
]

COSTS = ("absolute", "relative")  # what storing a value costs, asked for beside what is stored


def declaration_of(question: Question) -> Declaration[AnyPage]:
    """Return what is declared of *question*'s operation in its format.

    >>> from chalkpoint.working.question import ask
    >>> declared = declaration_of(ask("add", "6.5", "1.25", course=Course()))
    >>> [line.name for line in declared.method(Course(), "").lines]
    ['read', 'ready', 'align', 'add', 'repair', 'normalise', 'range']
    """
    return declared(question.operation.name, question.format)


def exact_answer(question: Question) -> Fraction:
    """Return the exact answer of *question*; 0 for an answer that is no number, as its check has it.

    >>> from chalkpoint.working.question import ask
    >>> exact_answer(ask("subtract", "6.5", "1.25", course=Course()))
    Fraction(21, 4)
    """
    exact = declaration_of(question).exact(question)
    return Fraction(0) if isinstance(exact, str) else exact


def has_methods(operation: str, course: Course) -> bool:
    """Tell whether *operation* is worked line by line in the course's format.

    >>> has_methods("normalise", Course()), has_methods("normalise", Course(format="8"))
    (True, False)
    """
    return is_declared(operation, course.number_format)


@cache
def right_method(operation: str, course: Course, name: str = "") -> Method:
    """Return the method called *name*, or the course's own.

    Raises EntryError where the operation is not worked line by line in the course's format.

    >>> right_method("add", Course()).name
    'align-then-negate'
    """
    return declared(operation, course.number_format).method(course, name)


def method_named(question: Question, name: str = "") -> Method:
    """Return the method called *name*, or the course's own, as it works *question*.

    >>> from chalkpoint.working.question import ask
    >>> asked = ask("add", "6.5", "1.25", course=Course())
    >>> method_named(asked, "one-guard-bit").name
    'one-guard-bit'
    """
    method = right_method(question.operation.name, question.course, name)
    return declaration_of(question).suit(method, question)


def other_methods(operation: str, course: Course) -> tuple[str, ...]:
    """Return the names of every way a book may teach *operation*.

    >>> "one-guard-bit" in other_methods("add", Course())
    True
    """
    return declared(operation, course.number_format).accepted(course)


def begin(question: Question) -> AnyPage:
    """Return *question*'s page before anything is done.

    >>> from chalkpoint.working.question import ask
    >>> asked = ask("add", "6.5", "1.25", course=Course())
    >>> begin(asked)[:4]
    (104, 3, 80, 1)
    """
    return declaration_of(question).begin(question)


def context_of(question: Question) -> object:
    """Return what *question*'s rules are handed beside the page: the format, or the course.

    >>> from chalkpoint.working.question import ask
    >>> asked = ask("add", "6.5", "1.25", course=Course())
    >>> str(context_of(asked)), context_of(ask("encode", "6.5", course=Course())) == Course()
    ('8+4', True)
    """
    return declaration_of(question).context(question)


def run(method: Method, question: Question) -> list[AnyPage]:
    """Return the page after each line of *method*.

    >>> from chalkpoint.working.question import ask
    >>> asked = ask("add", "6.5", "1.25", course=Course())
    >>> run(right_method("add", Course()), asked)[-1][4:6]
    (124, 3)
    """
    declaration = declaration_of(question)
    trail = declaration.suit(method, question).trail(
        declaration.begin(question), declaration.context(question)
    )
    return [written.after for written in trail]


def lines_written(pages: Iterable[AnyPage], question: Question) -> list[AnyPage]:
    """Return what is written on each line, so that two workings can be compared.

    >>> from chalkpoint.working.question import ask
    >>> asked = ask("add", "6.5", "1.25", course=Course())
    >>> lines_written(run(right_method("add", Course()), asked), asked)[-1].total
    124
    """
    line = declaration_of(question).line
    return [line(page) for page in pages]


def write_answer(page: AnyPage, question: Question) -> str:
    """Return the answer on the last *page*: bits, a word or a value.

    >>> from chalkpoint.working.question import ask
    >>> asked = ask("add", "6.5", "1.25", course=Course())
    >>> write_answer(run(right_method("add", Course()), asked)[-1], asked)
    '01111100 0011'
    """
    return declaration_of(question).answer_on(page, question)


@cache
def parts_of(operation: str, course: Course) -> Mapping[str, tuple[str, ...]]:
    """Return the answers *operation* asks for beside one another, each with the lines that lead to it.

    Where it asks for one answer there are none.

    >>> list(parts_of("error", Course())), list(parts_of("add", Course()))
    (['answer', 'absolute', 'relative'], [])
    """
    fmt = course.number_format
    declared_parts = operations_on(fmt.family)[operation].parts if is_declared(operation, fmt) else {}
    if declared_parts or operation not in {"range", "error"}:
        return declared_parts
    lines = tuple(line.name for line in right_method(operation, course).lines)
    if operation == "range":
        return {name: (name,) for name in lines}
    return {"answer": tuple(name for name in lines if name not in COSTS), **{name: (name,) for name in COSTS}}


def part_of(answer: str, operation: str, course: Course, part: str) -> str:
    """Return *part* of a whole *answer* as `write_answer` writes it; "" where it has no such part.

    >>> part_of("01001001 0011; 0.0375; 3/368", "error", Course(), "absolute")
    '0.0375'
    """
    return dict(zip(parts_of(operation, course), answer.split(BETWEEN), strict=False)).get(part, "")


def answer_by(method: Method, question: Question) -> str:
    """Return the answer when *method* works *question*.

    >>> from chalkpoint.working.question import ask
    >>> answer_by(right_method("decode", Course()), ask("decode", "01101000 0011", course=Course()))
    '6.5'
    """
    declaration = declaration_of(question)
    last = declaration.suit(method, question).finish(
        declaration.begin(question), declaration.context(question)
    )
    return write_answer(last, question)
