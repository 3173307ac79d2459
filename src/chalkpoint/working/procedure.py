"""A procedure: how one operation is run by a method, from the first page to what ends in the answer's place."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from chalkpoint.working.course import Course
from chalkpoint.working.methods import Method
from chalkpoint.working.question import Question

__all__ = ["Procedure"]


@dataclass(frozen=True, slots=True)
class Procedure:
    """How one operation is run.

    method   from a course and a method's name: the method
    others   from a course: names of further ways that other books teach
    begin    the page before anything is done
    answer   from the last page: what stands in the answer's place
    by       what rules are handed beside the page: the format, or the course
    line     what of a page is written on its line, for two to be compared
    suit     from a method and a question: the method as it works this question, where not all of its lines apply
    parts    where several answers are asked for: each, and the lines that lead to it and to no earlier one
    """

    method: Callable[[Course, str], Method]
    others: Callable[[Course], tuple[str, ...]]
    begin: Callable[[Question], Any]
    answer: Callable[[Any, Question], str]
    by: Callable[[Question], Any] = lambda question: question.format
    line: Callable[[Any], Any] = lambda page: page
    suit: Callable[[Method, Question], Method] = lambda method, question: method
    parts: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
