"""Work a question: the one way from an operation and its operands to a Working."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import partial

from chalkpoint.numbers.errors import EntryError
from chalkpoint.working.check import Check, check, check_special
from chalkpoint.working.course import Course
from chalkpoint.working.losing import no_losses
from chalkpoint.working.methods import Method, Trail
from chalkpoint.working.operations.declaration import Declaration, Ending
from chalkpoint.working.operations.declared import composed, declared
from chalkpoint.working.page import AnyPage
from chalkpoint.working.question import Question, ask
from chalkpoint.working.steps import Step
from chalkpoint.working.working import Working
from chalkpoint.working.written import Written

__all__ = ["work", "work_by", "work_question"]


def work_question(question: Question) -> Working:
    """Return *question* worked by its course's method.

    Raises EntryError where the operation is not worked in the question's format, or has no answer there.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> work_question(ask("add", "1.5", "2.25", course=Course())).check.exact
    Fraction(15, 4)
    """
    made_of = composed(question.operation.name)
    return work_by(question) if made_of is None else made_of.work(question, work_question)


def work_by(question: Question, method: Method | None = None) -> Working:
    """Return *question* worked line by line by *method*, which may be faulty; by the course's own by default."""
    declaration = declared(question.operation.name, question.format)
    if declaration.refuse is not None:
        declaration.refuse(question)
    chosen = declaration.suit(method or declaration.method(question.course, ""), question)
    trail = chosen.trail(declaration.begin(question), declaration.context(question))
    last = trail[-1].after
    ending = declaration.end(last, question)
    steps = _steps(declaration, question, trail, declaration.writer(question, chosen))
    faulty = chosen.right is not None  # lost bits account for the error of right rules only
    return Working(
        question,
        declaration.called(chosen, question.course),
        steps,
        ending.outcome,
        ending.pattern,
        partial(_checked, declaration, question, ending),
        no_losses if faulty else declaration.losses,
        ending.extremes,
        faulty=faulty,
    )


def _steps(
    declaration: Declaration[AnyPage],
    question: Question,
    trail: list[Trail],
    write: Callable[[Step], Written],
) -> tuple[Step, ...]:
    """Return the lines that are written: an optional one only where it changes something."""
    shown, last = declaration.shown, trail[-1].after
    kept: tuple[str, object, object]
    steps: list[Step] = []
    for entry in trail:
        line, before, after = entry
        if line.optional and after == before:
            continue
        if not declaration.writes(entry, last, question):
            continue
        kept = (line.name, before, after) if shown is None else shown(entry, question)
        steps.append(Step(len(steps) + 1, *kept, write, steps[-1] if steps else None))
    return tuple(steps)


def _checked(declaration: Declaration[AnyPage], question: Question, ending: Ending) -> Check:
    course = declaration.judged_under(question)
    exact = declaration.exact(question)
    if isinstance(exact, str):
        return check_special(exact, ending.pattern, course)
    return check(exact, ending.outcome, ending.pattern, course)


def work(
    operation: str,
    *operands: str | Fraction | int,
    format: str | None = None,
    method: str | None = None,
    course: Course | None = None,
    names: tuple[str, ...] = (),
) -> Working:
    """Return the working of an operation, every step kept.

    operation  one of OPERATIONS: decode, encode, add, subtract, multiply, divide, convert, sum ...
    operands   patterns in bits ("010111 0011") or hexadecimal ("0x3E20", "#3E20"), or exact values
               ("-5.25", "1 3/8", a Fraction)
    format     a spelling of `numbers.named`, such as 8+4, 1+4+3, binary16 or 8; the course's by default
    method     for add, subtract and sum; the course's by default
    course     the conventions to work under
    names      what the operands are called in the working, such as ("gauge", "datum")

    >>> w = work("subtract", "010111 0011", "010100 0001", format="6+4")
    >>> w.result.bits, w.result.value, w.check.verdict
    ('010010 0011', Fraction(9, 2), 'exact')
    >>> w.steps[1].rule, w.steps[1].title
    ('align', 'Match the exponents')

    Raises EntryError, whose one sentence says what is wrong and what would be accepted.
    """
    conventions = (course or Course()).with_(format=format, method=method)
    working = work_question(ask(operation, *operands, course=conventions, names=names))
    if method is not None and working.method != conventions.method:
        raise EntryError(
            f"method = {method!r} is of no use for {operation!r} in {conventions.format}: a method is how numbers "
            "with a two's complement mantissa and an exponent are added or subtracted; leave it out"
        )
    return working
