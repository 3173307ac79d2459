"""Adding and subtracting: a method run on two patterns, its losses traced, its result read off."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.formats import FloatFormat, Pattern, scaled
from chalkpoint.working.check import check
from chalkpoint.working.losing import losses, no_losses
from chalkpoint.working.methods import Method, method_for
from chalkpoint.working.page import IN_RANGE, OUTCOMES, TOO_LONG, ZERO, Page
from chalkpoint.working.question import Question
from chalkpoint.working.steps import written_steps
from chalkpoint.working.wording.floating import writer
from chalkpoint.working.working import Working

__all__ = ["add_or_subtract", "answer_on", "exact_sum", "start", "written_answer"]


def start(question: Question) -> Page:
    """Return the page before anything is done: two operands and no line below them."""
    first, second = question.patterns
    return Page(first.mantissa, first.exponent, second.mantissa, second.exponent)


def course_method(question: Question, name: str) -> Method:
    """Return the method called *name* as the question's course has it."""
    course = question.course
    return method_for(
        question.operation.name,
        name,
        as_written=course.operands == "as written",
        underflow=course.underflow,
        overflow=course.overflow,
    )


def add_or_subtract(question: Question, method: Method | None = None) -> Working:
    """Return the working of an addition or subtraction by *method* (the course's own by default)."""
    method = method or course_method(question, question.course.method)
    fmt = question.format
    trail = method.trail(start(question), fmt)
    steps = written_steps(trail, writer(question, method))
    outcome, pattern = answer_on(trail[-1].after, fmt)
    checked = check(exact_sum(question), outcome, pattern, question.course)
    faulty = method.right is not None  # lost bits account for the error of right rules only
    traced = no_losses if faulty else losses
    return Working(question, method.name, steps, outcome, pattern, checked, traced, faulty=faulty)


def answer_on(page: Page, fmt: FloatFormat) -> tuple[str, Pattern | None]:
    """Return the outcome written on the last page, and its pattern if it is one."""
    if page.outcome == IN_RANGE:
        return OUTCOMES[IN_RANGE], Pattern(page.total, page.exponent)
    return OUTCOMES[page.outcome], fmt.zero if page.outcome == ZERO else None


def written_answer(page: Page, fmt: FloatFormat) -> str:
    """Return what stands in the answer's place: bits or a word.

    A faulty method may leave a row with a digit too many; it is written as it stands.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> written_answer(Page(0, 0, 0, 0, total=84, exponent=3), parse_format("8+4"))
    '01010100 0011'
    """
    outcome, pattern = answer_on(page, fmt)
    if pattern is not None:
        return fmt.write(pattern)
    if page.outcome != TOO_LONG:
        return outcome
    fields = [to_bits(page.total, fmt.mantissa_bits + 1), fmt.exponent.write(page.exponent)]
    return " ".join(reversed(fields) if fmt.exponent_first else fields)


def exact_sum(question: Question) -> Fraction:
    """Return the exact answer, from the operands as they stand."""
    (first, first_exponent), (second, second_exponent) = question.patterns
    if question.operation.name == "subtract":
        second = -second
    low = min(first_exponent, second_exponent)
    return scaled(
        (first << (first_exponent - low)) + (second << (second_exponent - low)), low - question.format.places
    )
