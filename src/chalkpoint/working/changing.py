"""Normalising and negating one pattern, with the rules of addition that do it there."""

from __future__ import annotations

from functools import cache

from chalkpoint.numbers.carriers import fits, opposite
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working import floating
from chalkpoint.working.methods import NORMALISE, RANGE, READ, REPAIR, Line, Method, judge_for
from chalkpoint.working.page import Page
from chalkpoint.working.question import Question
from chalkpoint.working.wording.words_pupils import METHOD_WORDS

__all__ = ["CHANGING", "bring_down", "changing_method", "one_row"]


def bring_down(page: Page, fmt: FloatFormat) -> Page:
    """Write the negated mantissa as the row to go on with; one extra sign place tells whether it fits."""
    return page._replace(
        total=page.second,
        exponent=page.second_exponent,
        overflowed=opposite(fits(page.second, fmt.mantissa_bits)),
    )


CHANGING = {
    "normalise": Method(
        "",
        METHOD_WORDS["normalise"],
        (READ, NORMALISE, RANGE),
        {"normalise": floating.normalise, "range": floating.judge_range},
    ),
    "negate": Method(
        "",
        METHOD_WORDS["negate"],
        (READ, Line("negate", ("negate", "carry")), REPAIR, NORMALISE, RANGE),
        {
            "negate": floating.negate,
            "carry": bring_down,
            "repair": floating.repair,
            "normalise": floating.normalise,
            "range": floating.judge_range,
        },
    ),
}


def one_row(question: Question) -> Page:
    """Return the page before anything is done: one pattern.

    >>> from chalkpoint.working.question import ask
    >>> from chalkpoint.working.course import Course
    >>> one_row(ask("negate", "00011010 0011", course=Course()))[2:4]
    (26, 3)
    """
    ((mantissa, exponent),) = question.patterns
    return Page(0, 0, mantissa, exponent, total=mantissa, exponent=exponent)


@cache
def changing_method(name: str, underflow: str, overflow: str = "word") -> Method:
    """Return how a pattern is normalised or negated, with what a course writes past either end.

    >>> [line.name for line in changing_method("normalise", "word").lines]
    ['read', 'normalise', 'range']
    """
    return CHANGING[name].replace(range=judge_for(underflow, overflow))
