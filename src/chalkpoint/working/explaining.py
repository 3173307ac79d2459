"""Explaining: points in words about one working, built from its own facts, for a teacher to mark."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple, TypeAlias

from chalkpoint.numbers.carriers import sign_copies
from chalkpoint.numbers.exact import is_dyadic
from chalkpoint.numbers.families import FLOATING, WHOLE
from chalkpoint.numbers.named import float_format
from chalkpoint.working.facts import OPERANDS
from chalkpoint.working.methods import METHODS
from chalkpoint.working.page import Page
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.explaining import PointWriter
from chalkpoint.working.wording.heading import format_said, stored_otherwise
from chalkpoint.working.wording.words_end import SPECIALS
from chalkpoint.working.working import Working

__all__ = ["Point", "explain", "points_of"]


class Point(NamedTuple):
    """One point of an explanation: its kind, such as "carry dropped", and the facts that it states.

    losses  the title of each step that lost digits, the digits and what they were worth
    """

    kind: str
    facts: Mapping[str, object] = {}
    losses: tuple[tuple[str, str, Fraction], ...] = ()


LEAST_CANCELLED = 2  # leading digits, to make a point


Work: TypeAlias = Callable[[Question], Working]


def explain(question: Question, work_question: Work) -> Working:
    """Return the points to be made about a working, each as a step; its result and check are that working's.

    work_question  works the question that is explained

    >>> from chalkpoint.working.work import work
    >>> work("explain", "subtract", "8.875", "3.6875").steps[0].rule
    'point'
    """
    working = work_question(question.about or question)
    write = PointWriter.of(question)
    points = points_of(working, work_question)
    steps = tuple(Step(number, "point", working, point, write) for number, point in enumerate(points, 1))
    return replace(working, question=question, steps=steps)


def points_of(working: Working, work_question: Work) -> list[Point]:
    """Return the points to be made about *working*, in the order things happened.

    >>> from chalkpoint.working.work import work, work_question
    >>> [point.kind for point in points_of(work("add", "64", "0.25"), work_question)]
    ['aligned', 'absorbed', 'no pattern', 'more bits']
    """
    points = [*_before_the_working(working)]
    question = working.question
    if question.past_range:
        return points  # nothing is worked
    if question.operation.name in {"add", "subtract"} and question.format.family == FLOATING:
        points += _on_the_way(working)
    elif working.losses:
        points.append(_lost(working))
    points += _at_the_end(working, work_question)
    return points


def _before_the_working(working: Working) -> list[Point]:
    question = working.question
    points = []
    stored = zip(OPERANDS, question.given, question.patterns, strict=False)
    for at, (operand, given, pattern) in enumerate(stored):
        if given is None:
            continue
        if at in question.past_range:
            facts = {"operand": operand, "asked": given, "format": format_said(question.format)}
            points.append(Point("past", facts))
            continue
        kept = question.format.value(pattern)
        if given != kept:
            points.append(Point("stored first", {"operand": operand, "asked": given, "kept": kept}))
    if question.operation.takes == "values" and not is_dyadic(question.value):
        points.append(Point("never ends", {"value": question.value}))
    return points


def _on_the_way(working: Working) -> list[Point]:
    """Return the points about aligning, adding and normalising."""
    pages: dict[str, tuple[Page, Page]] = {step.rule: (step.before, step.after) for step in working.steps}
    points = []
    before = pages["align"][0]
    apart = before.first_exponent - before.second_exponent
    fell = any(loss.rule == "align" for loss in working.losses)
    if apart and before.first and before.second:
        moved = "second" if apart > 0 else "first"
        points.append(Point("aligned", {"operand": moved, "places": abs(apart), "lost": fell}))
    absorbed = _absorbed(working)
    points += [Point("absorbed", {"operand": operand}) for operand in absorbed]
    added = pages["add"][1]
    if added.overflowed:
        points.append(Point("mantissa overflow", {"over": working.check.verdict == "overflow"}))
    elif (added.first < 0) != (added.second < 0) and added.total >= 0:
        points.append(Point("carry dropped"))
    cancelled = _cancelled(added, float_format(working.question.format).mantissa_bits)
    if "normalise" in pages and cancelled >= LEAST_CANCELLED:
        early = any(loss.rule in {"align", "spare"} for loss in working.losses)
        points.append(Point("cancelled", {"places": cancelled, "lost": early}))
    return [*points, _lost(working)] if working.losses and not absorbed else points


def _absorbed(working: Working) -> list[str]:
    """Return the operands that left the other as it was."""
    question = working.question
    if working.check.verdict == "overflow" or working.outcome != "in range" or not all(question.values):
        return []
    kept = question.format.value(working.pattern)
    first, second = question.values
    alone = (-second if question.operation.name == "subtract" else second, first)
    return [operand for operand, other in zip(OPERANDS, alone, strict=True) if kept == other]


def _cancelled(added: Page, bits: int) -> int:
    """Return how many leading digits cancelled: further copies of the sign that neither row had.

    >>> _cancelled(Page(0b0101, 0, -0b0100, 0, total=0b0001), 4)
    2
    """
    width = bits + added.extra + 1
    rows = (added.first, added.second)
    copies: int = sign_copies(added.total, width) - min(sign_copies(row, width) for row in rows)
    return copies


def _lost(working: Working) -> Point:
    """Return the point about every digit that was lost, each with the title of its step."""
    losses = [(working.steps[loss.step - 1].title, loss.bits, abs(loss.worth)) for loss in working.losses]
    return Point("lost", losses=tuple(losses))


def _at_the_end(working: Working, work_question: Work) -> list[Point]:
    checked = working.check
    said: dict[str, object] = {"exact": checked.exact, "format": format_said(checked.format)}
    if checked.special:
        return [Point("special", {"word": SPECIALS.get(checked.special, checked.special)})]
    if checked.verdict == "exact":
        stored = {"stored": stored_otherwise(working.question)}
        return [Point("exact", said | stored), *_other_methods(working, work_question)]
    if checked.error is None or checked.verdict in {"overflow", "underflow"}:
        whole = checked.format.family == WHOLE  # more exponent bits would be of no use
        return [Point(checked.verdict, said | {"lost": checked.taken_out, "whole": whole})]
    near = [checked.format.value(pattern) for pattern in checked.nearest_patterns]
    said |= dict(zip(("near", "other"), near, strict=False))
    said |= {"least": checked.unavoidable_error, "error": abs(checked.error)}
    points = [Point("missed" if checked.fits else "no pattern", said)]
    if checked.format.family == FLOATING and not checked.fits and is_dyadic(checked.exact):
        bits = {"bits": _bits_needed(checked.exact), "format": format_said(checked.format)}
        points.append(Point("more bits", bits | {"has": float_format(checked.format).mantissa_bits}))
    return points + _other_methods(working, work_question)


def _bits_needed(x: Fraction) -> int:
    """Return how many mantissa bits hold the dyadic *x* exactly: its digits, and a sign place."""
    number = x.numerator
    while number and number % 2 == 0:
        number //= 2
    return (number if number >= 0 else ~number).bit_length() + 1


def _other_methods(working: Working, work_question: Work) -> list[Point]:
    """Return the accepted methods of the course that end elsewhere."""
    question = working.question
    if question.format.family != FLOATING or working.method not in METHODS:
        return []
    points = []
    for name in question.course.accepts:
        other = work_question(replace(question, course=question.course.with_(method=name)))
        if other.pattern != working.pattern:
            result = other.result.bits or other.outcome
            points.append(Point("other method", {"words": METHODS[name].words, "result": result}))
    return points
