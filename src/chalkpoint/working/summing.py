"""Sums of several numbers: a chain of additions in the order given, and what another order would give."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from itertools import permutations

from chalkpoint.numbers.named import AnyFormat, AnyPattern, value_or_none
from chalkpoint.working.check import check, check_special
from chalkpoint.working.question import OPERATIONS, Question
from chalkpoint.working.steps import Loss, Step
from chalkpoint.working.wording.summing import SumWriter
from chalkpoint.working.working import Working

__all__ = ["Addition", "Order", "add_up"]

MOST_TERMS_IN_EVERY_ORDER = 5

Add = Callable[[AnyPattern, AnyPattern], Working]


@dataclass(frozen=True, slots=True)
class Addition:
    """One addition of a chain.

    number    which term was added, counted from 1
    total     the pattern of the total so far
    term      the pattern that was added
    working   the addition's own working
    absorbed  whether a term that is not 0 left the total as it was
    """

    number: int
    total: AnyPattern
    term: AnyPattern
    working: Working
    absorbed: bool


@dataclass(frozen=True, slots=True)
class Order:
    """The terms in another order, and the pattern they come to.

    terms   numbers of the terms, counted from 1
    result  the pattern, or None where an addition ended in a word
    error   exact sum minus result
    better  whether it comes nearer than the order given
    why     what makes it better: "cancels" where the two largest terms, of opposite sign and one size, meet
            first; "grows" where the small terms come before a larger one; "" where neither says it
    """

    terms: tuple[int, ...]
    result: AnyPattern
    error: Fraction | None
    better: bool
    why: str = ""


def add_up(question: Question, work_question: Callable[[Question], Working]) -> Working:
    """Return the working of a chain of additions, with the terms absorbed and a better order.

    work_question  works each addition

    >>> from chalkpoint.working.work import work
    >>> work("sum", "1", "2", "3").check.exact
    Fraction(6, 1)
    """

    def add(total: AnyPattern, term: AnyPattern) -> Working:
        pair = Question(
            OPERATIONS["add"],
            question.course,
            question.format,
            (total, term),
            given=(None, None),
            names=("total", "term"),
        )
        return work_question(pair)

    return _summed(question, add)


def _chain(patterns: tuple[AnyPattern, ...], add: Add, fmt: AnyFormat) -> list[Addition]:
    """Return the additions of a chain, up to the first that ends in a word."""
    total, chain = patterns[0], []
    for number, term in enumerate(patterns[1:], start=2):
        working = add(total, term)
        before, added = value_or_none(fmt, total), value_or_none(fmt, term)
        after = None if working.pattern is None else value_or_none(fmt, working.pattern)
        absorbed = after is not None and after == before and bool(added)
        chain.append(Addition(number, total, term, working, absorbed))
        if working.pattern is None:
            break
        total = working.pattern
    return chain


def _summed(question: Question, add: Add) -> Working:
    fmt, course = question.format, question.course
    chain = _chain(question.patterns, add, fmt)
    last = chain[-1].working
    values = [value_or_none(fmt, pattern) for pattern in question.patterns]
    finite = [value for value in values if value is not None]
    write = SumWriter.of(question)
    steps = [Step(place, "add", None, addition, write) for place, addition in enumerate(chain, 1)]
    if len(finite) < len(values):
        checked = check_special(last.check.special or last.outcome, last.pattern, course)
        return Working(question, last.method, tuple(steps), last.outcome, last.pattern, lambda: checked)
    exact = sum(finite, Fraction(0))
    checked = check(exact, last.outcome, last.pattern, course)
    order = _other_order(question, add, exact, checked.error)
    if order is not None:
        steps.append(Step(len(steps) + 1, "order", None, order, write))
    return Working(question, last.method, tuple(steps), last.outcome, last.pattern, lambda: checked, losses)


def _other_order(question: Question, add: Add, exact: Fraction, error: Fraction | None) -> Order | None:
    """Return the smallest first; where that is no better and terms are few, the best order there is.

    None where the sum is exact, or where the terms were given the smallest first and no order is nearer.
    """
    fmt = question.format
    count = len(question.patterns)
    smallest_first = tuple(
        sorted(range(count), key=lambda place: (abs(fmt.value(question.patterns[place])), place))
    )
    if error == 0:
        return None
    asked = tuple(range(count))
    best = None if smallest_first == asked else _tried(question, add, exact, error, smallest_first)
    if (best and best.better) or count > MOST_TERMS_IN_EVERY_ORDER:
        return best
    others = (_tried(question, add, exact, error, terms) for terms in permutations(asked) if terms != asked)
    return min((order for order in others if order.better), key=_size, default=best)


def _size(order: Order) -> Fraction:
    return abs(order.error) if order.error is not None else Fraction(0)


def _tried(
    question: Question, add: Add, exact: Fraction, error: Fraction | None, terms: tuple[int, ...]
) -> Order:
    fmt = question.format
    chain = _chain(tuple(question.patterns[place] for place in terms), add, fmt)
    result = chain[-1].working.pattern
    value = None if result is None else value_or_none(fmt, result)
    missed = None if value is None else exact - value
    better = missed is not None and (error is None or abs(missed) < abs(error))
    why = _why(tuple(fmt.value(question.patterns[place]) for place in terms)) if better else ""
    return Order(tuple(place + 1 for place in terms), result, missed, better, why)


def _why(values: tuple[Fraction, ...]) -> str:
    """Return why *values* come nearer in this order, as far as their sizes tell.

    >>> _why((Fraction(64), Fraction(-64), Fraction(-1, 4))), _why((Fraction(1, 4), Fraction(1, 4), Fraction(64)))
    ('cancels', 'grows')
    >>> _why((Fraction(3, 4), Fraction(-1), Fraction(64)))
    ''
    """
    sizes = [abs(value) for value in values]
    if values[0] == -values[1] and sizes[0] == max(sizes) and len(values) > 2:
        return "cancels"
    small = values[:-1]
    grow = len(small) > 1 and (min(small) > 0 or max(small) < 0)  # terms of both signs do not
    return "grows" if grow and sizes == sorted(sizes) else ""


def losses(working: Working) -> tuple[Loss, ...]:
    """Return what each addition lost; their worths add up to the error."""
    return tuple(
        Loss(step.number, "add", loss.bits, loss.worth)
        for step in working.steps
        if step.rule == "add"
        for loss in step.after.working.losses
    )
