"""Explaining: points in words about one working, built from its own facts, for a teacher to mark."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import NamedTuple, TypeAlias

from chalkpoint.numbers.exact import is_dyadic
from chalkpoint.numbers.families import FLOATING
from chalkpoint.working.methods import METHODS
from chalkpoint.working.page import Page
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Step
from chalkpoint.working.wording.explaining import writer
from chalkpoint.working.working import Working

__all__ = ["POINTS", "Point", "explain", "points_of"]


class Point(NamedTuple):
    """One point of an explanation: its kind, one of POINTS, and the numbers it is about."""

    kind: str
    facts: tuple[object, ...] = ()


POINTS = (
    "stored first",
    "never ends",
    "aligned",
    "absorbed",
    "cancelled",
    "carry dropped",
    "mantissa overflow",
    "lost",
    "no pattern",
    "missed",
    "exact",
    "overflow",
    "underflow",
    "special",
    "more bits",
    "other method",
)


Work: TypeAlias = Callable[[Question], Working]


def explain(question: Question, work_question: Work) -> Working:
    """Return the points to be made about a working, each as a step; its result and check are that working's.

    work_question  works the question that is explained
    """
    working = work_question(question.about or question)
    write = writer(question, working)
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
    if question.operation.name in {"add", "subtract"} and question.format.family == FLOATING:
        points += _on_the_way(working)
    elif working.losses:
        points.append(Point("lost", (working.losses,)))
    points += _at_the_end(working, work_question)
    return points


def _before_the_working(working: Working) -> list[Point]:
    question = working.question
    points = []
    for name, given, pattern in zip(question.names, question.given, question.patterns, strict=False):
        if given is not None and given != question.format.value(pattern):
            points.append(Point("stored first", (name, given, question.format.value(pattern))))
    if question.operation.takes == "values" and not is_dyadic(question.value):
        points.append(Point("never ends", (question.value,)))
    return points


def _on_the_way(working: Working) -> list[Point]:
    """Return the points about aligning, adding and normalising."""
    pages: dict[str, tuple[Page, Page]] = {step.rule: (step.before, step.after) for step in working.steps}
    points = []
    before = pages["align"][0]
    apart = before.first_exponent - before.second_exponent
    which = 1 if apart > 0 else 0
    lost = [loss for loss in working.losses if loss.rule == "align"]
    if apart and before.first and before.second:
        points.append(Point("aligned", (working.question.names[which], abs(apart), bool(lost))))
    values = working.question.values
    if working.pattern is not None and all(values):
        kept = working.question.format.value(working.pattern)
        alone = -values[1] if working.question.operation.name == "subtract" else values[1]
        for place, other in ((0, alone), (1, values[0])):
            if kept == other:
                points.append(Point("absorbed", (working.question.names[place],)))
    added = pages["add"][1]
    if added.overflowed:
        points.append(Point("mantissa overflow"))
    elif (added.first < 0) != (added.second < 0) and added.total >= 0:
        points.append(Point("carry dropped"))
    if "normalise" in pages:
        moved = pages["normalise"][0].exponent - pages["normalise"][1].exponent
        if moved >= 2:
            points.append(Point("cancelled", (moved, bool(lost))))
    if lost and not any(point.kind == "absorbed" for point in points):
        points.append(Point("lost", (tuple(lost),)))
    return points


def _at_the_end(working: Working, work_question: Work) -> list[Point]:
    checked = working.check
    if checked.special:
        return [Point("special", (checked.special,))]
    if checked.verdict == "exact":
        return [Point("exact", (checked.exact,)), *_other_methods(working, work_question)]
    if checked.error is None or checked.verdict in {"overflow", "underflow"}:
        return [Point(checked.verdict, (checked.exact,))]
    points = [Point("missed" if checked.fits else "no pattern", (checked.exact,))]
    if checked.format.family == FLOATING and not checked.fits and is_dyadic(checked.exact):
        points.append(Point("more bits", (_bits_needed(checked.exact),)))
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
            points.append(Point("other method", (name, other)))
    return points
