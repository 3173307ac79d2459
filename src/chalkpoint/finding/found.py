"""A found question: its number in the request it was found by, and its operands, ready to be worked."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property, lru_cache
from typing import TypeAlias

from chalkpoint.numbers.named import AnyPattern
from chalkpoint.working.course import Course
from chalkpoint.working.question import OPERATIONS, Question, ask
from chalkpoint.working.work import work_question
from chalkpoint.working.working import Working

__all__ = ["Found", "Given", "question_of"]

Given: TypeAlias = tuple[AnyPattern, ...]
"""The operands of a question that was found: its patterns, its exact value, or a pattern and another format."""


def question_of(operation: str, course: Course, given: Given) -> Question:
    """Return the question that *operation* asks of its operands: patterns, or the value to be stored."""
    kind, fmt = OPERATIONS[operation], course.number_format
    if operation == "convert":
        pattern, into = given
        return Question(kind, course, fmt, (pattern,), given=(None,), target=_into(course, into))
    if kind.takes == "values":
        return Question(kind, course, fmt, value=given[0])
    return Question(kind, course, fmt, tuple(given), given=(None,) * len(given))


@lru_cache(1 << 6)
def _into(course: Course, spelling: str) -> Course:
    """Return *course* with the format that is converted into."""
    return course.with_(format=spelling)


@dataclass(frozen=True)
class Found:
    """A question found.

    place     its place among all questions of the request, or what tells it when it is asked for; None where
              the request is only drawn from
    given     its operands: patterns, or the value to be stored

    >>> from chalkpoint.numbers.formats import Pattern
    >>> found = Found(0, "subtract", Course(format="6+4"), (Pattern(23, 3), Pattern(20, 1)))
    >>> found.operands, found.result
    (['010111 0011', '010100 0001'], '010010 0011')
    """

    place: int | Callable[[], int | None] | None = field(compare=False)
    operation: str
    course: Course
    given: Given

    @cached_property
    def number(self) -> int | None:
        """Its place among all questions of the request, from 0, in the documented order; None where unknown."""
        return self.place() if callable(self.place) else self.place

    def __repr__(self) -> str:
        return f"<{self.operation} {', '.join(self.operands)}>"

    @property
    def operands(self) -> list[str]:
        """The operands in bits, as `work` takes them."""
        fmt = self.course.number_format
        return [str(part) if isinstance(part, Fraction | str) else fmt.write(part) for part in self.given]

    @property
    def question(self) -> Question:
        """The question itself."""
        return ask(self.operation, *self.operands, course=self.course)

    def work(self) -> Working:
        """Return its working."""
        return work_question(self.question)

    @property
    def result(self) -> str:
        """What its working ends in: a pattern in bits, or a word."""
        ended = self.work().result
        return ended.bits or ended.outcome
