"""The first and the last page of adding and subtracting: two patterns, and the answer read off."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.numbers.bits import to_bits
from chalkpoint.numbers.formats import FloatFormat, Pattern, scaled
from chalkpoint.working.page import IN_RANGE, OUTCOMES, OVERFLOW, TOO_LONG, ZERO, Page
from chalkpoint.working.question import Question

__all__ = ["answer_on", "exact_sum", "start", "written_answer"]


def start(question: Question) -> Page:
    """Return the page before anything is done: two operands and no line below them.

    >>> from chalkpoint.working.question import ask
    >>> from chalkpoint.working.course import Course
    >>> start(ask("add", "6.5", "1.25", course=Course()))[:4]
    (104, 3, 80, 1)
    """
    first, second = question.patterns
    outcome = OVERFLOW if question.past_range else IN_RANGE
    return Page(first.mantissa, first.exponent, second.mantissa, second.exponent, outcome=outcome)


def answer_on(page: Page, fmt: FloatFormat) -> tuple[str, Pattern | None]:
    """Return the outcome written on the last page, and its pattern if it is one.

    >>> from chalkpoint.numbers.formats import parse_format
    >>> answer_on(Page(0, 0, 0, 0, total=84, exponent=3), parse_format("8+4"))
    ('in range', Pattern(mantissa=84, exponent=3))
    """
    if page.outcome == IN_RANGE:
        return OUTCOMES[IN_RANGE], Pattern(page.total, page.exponent)
    return OUTCOMES[page.outcome], fmt.zero if page.outcome == ZERO else None


def written_answer(page: Page, fmt: FloatFormat) -> str:
    """Return the answer: bits or a word.

    A faulty method may leave a row with a digit too many; it is written unchanged.

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
    """Return the exact answer, from the operands as they stand.

    >>> from chalkpoint.working.question import ask
    >>> from chalkpoint.working.course import Course
    >>> exact_sum(ask("subtract", "6.5", "1.25", course=Course()))
    Fraction(21, 4)
    """
    if question.past_range:
        asked, other = question.values
        return asked - other if question.operation.name == "subtract" else asked + other
    (first, first_exponent), (second, second_exponent) = question.patterns
    if question.operation.name == "subtract":
        second = -second
    low = min(first_exponent, second_exponent)
    return scaled(
        (first << (first_exponent - low)) + (second << (second_exponent - low)), low - question.format.places
    )
