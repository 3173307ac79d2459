"""What is declared of an operation on one family of formats; `running` works a question by it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Generic, NamedTuple, TypeAlias, TypeVar

from chalkpoint.numbers.named import AnyPattern
from chalkpoint.working.course import Course
from chalkpoint.working.losing import no_losses
from chalkpoint.working.methods import Method, Trail
from chalkpoint.working.page import OVERFLOW
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Loss, Step
from chalkpoint.working.working import Working
from chalkpoint.working.written import Written

__all__ = ["BETWEEN", "Composition", "Declaration", "Ending", "Exact", "Shown"]

P = TypeVar("P")  # the page of an operation

BETWEEN = "; "  # answers of one question

Exact: TypeAlias = Fraction | str
"""An exact answer: a value, or "infinity", "minus infinity" or "not a number"."""


class Ending(NamedTuple):
    """How a working ends: its outcome, its pattern where that is not a word, and further patterns by name."""

    outcome: str
    pattern: AnyPattern
    extremes: Mapping[str, AnyPattern] = {}


class Shown(NamedTuple):
    """What a step keeps of a line: its name, and the pages before and after it."""

    rule: str
    before: object
    after: object


def _answer(ending: Ending, question: Question) -> str:
    return ending.outcome if ending.pattern is None else question.format.write(ending.pattern)


@dataclass(frozen=True, slots=True, kw_only=True)
class Declaration(Generic[P]):
    """An operation on one family of formats, worked line by line.

    Its lines and their rules are those of its *method*; `methods.Method` says what a method is.

    method   from a course and a method's name ("" for the course's own): the method
    begin    the page before anything is done
    context  what rules are handed beside the page: the format, or the course
    end      how a working ends, from its last page
    exact    the exact answer, from the question alone
    writer   what writes its sentences and rows, from the question and the method
    losses   where digits were lost, from a working by right rules
    answer   the answer: bits, a word or a value
    accepted names of the methods that books teach, under a course
    suit     the method as it works this question, where not all of its lines apply
    written  whether a line is written, from what it did, the last page and the question; None: every line
    shown    what its step keeps of a line; None: its name, and the pages before and after it
    line     what of a page is written on its line, for two to be compared
    parts    where several answers are asked for: each, and the lines that lead to it and to no earlier one
    refuse   raises EntryError for a question that has no answer
    called   what a working's method is called, from the method and the course
    judged_under  the course by which the answer is checked
    """

    method: Callable[[Course, str], Method]
    begin: Callable[[Question], P]
    end: Callable[[P, Question], Ending]
    exact: Callable[[Question], Exact]
    writer: Callable[[Question, Method], Callable[[Step], Written]]
    losses: Callable[[Working], tuple[Loss, ...]] = no_losses
    context: Callable[[Question], object] = lambda question: question.format
    answer: Callable[[P, Question], str] | None = None
    accepted: Callable[[Course], tuple[str, ...]] = lambda course: ()
    suit: Callable[[Method, Question], Method] = lambda method, question: method
    written: Callable[[Trail, P, Question], bool] | None = None
    shown: Callable[[Trail, Question], Shown] | None = None
    line: Callable[[P], object] = lambda page: page
    parts: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    refuse: Callable[[Question], None] | None = None
    called: Callable[[Method, Course], str] = lambda method, course: method.name
    judged_under: Callable[[Question], Course] = lambda question: question.course

    def writes(self, entry: Trail, last: P, question: Question) -> bool:
        """Tell whether *entry*'s line is written: an operand past the range ends the working where it is read."""
        if question.past_range and entry.line.name != "read" and entry.before.outcome == OVERFLOW:
            return False
        return self.written is None or self.written(entry, last, question)

    def answer_on(self, page: P, question: Question) -> str:
        """Return the answer on the last *page*."""
        if self.answer is None:
            return _answer(self.end(page, question), question)
        return self.answer(page, question)


@dataclass(frozen=True, slots=True)
class Composition:
    """An operation made of others.

    work  works it, by means of what works those others
    """

    work: Callable[[Question, Callable[[Question], Working]], Working]
