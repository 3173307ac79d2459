"""Adding and subtracting: a method run on two patterns, its losses traced, its result read off."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from chalkpoint.numbers.formats import FloatFormat, Pattern, scaled
from chalkpoint.working.check import check
from chalkpoint.working.losing import losses
from chalkpoint.working.methods import Method, Trail, method_for
from chalkpoint.working.page import IN_RANGE, OUTCOMES, ZERO, Page
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.floating import writer
from chalkpoint.working.working import Working
from chalkpoint.working.written import Written

__all__ = ["add_or_subtract", "answer_on", "exact_sum", "start", "written_steps"]


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
    return Working(question, method.name, steps, outcome, pattern, checked, losses)


def written_steps(trail: list[Trail], write: Callable[[Step], Written]) -> tuple[Step, ...]:
    """Return the lines of *trail* that are written down: an optional line only where it changes something."""
    steps: list[Step] = []
    for line, before, after in trail:
        if not (line.optional and after == before):
            steps.append(Step(len(steps) + 1, line.name, before, after, write))
    return tuple(steps)


def answer_on(page: Page, fmt: FloatFormat) -> tuple[str, Pattern | None]:
    """Return the outcome written on the last page, and its pattern if it is one."""
    if page.outcome == IN_RANGE:
        return OUTCOMES[IN_RANGE], Pattern(page.total, page.exponent)
    return OUTCOMES[page.outcome], fmt.zero if page.outcome == ZERO else None


def exact_sum(question: Question) -> Fraction:
    """Return the exact answer, from the operands as they stand."""
    (first, first_exponent), (second, second_exponent) = question.patterns
    if question.operation.name == "subtract":
        second = -second
    low = min(first_exponent, second_exponent)
    return scaled(
        (first << (first_exponent - low)) + (second << (second_exponent - low)), low - question.format.places
    )
