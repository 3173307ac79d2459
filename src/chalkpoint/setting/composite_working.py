"""A question worked by methods of one's choice: what is written on its lines, and what ends in the answer's place.

A conversion is a reading and a storing, a sum a chain of additions: whoever holds a belief holds it in each.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import TypeAlias

from chalkpoint.numbers.errors import EntryError
from chalkpoint.setting.hypotheses import belief_methods
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.course import Course
from chalkpoint.working.methods import Method
from chalkpoint.working.page import AnyPage
from chalkpoint.working.procedures import has_methods, lines_written, run, write_answer
from chalkpoint.working.question import OPERATIONS, Question

__all__ = ["Choose", "Part", "lines_and_answer", "methods_of_beliefs", "parts_of"]

Choose: TypeAlias = Callable[[str, Course], Method]
Part: TypeAlias = tuple[str, Course]


def parts_of(question: Question) -> tuple[Part, ...]:
    """Return the operations that *question* is made of, each with the course it is done under; none for words.

    >>> from chalkpoint.working.question import ask
    >>> [(name, course.format) for name, course in parts_of(ask("convert", "6.5", "binary16", course=Course()))]
    [('decode', '8+4'), ('encode', 'binary16')]
    """
    name, course = question.operation.name, question.course
    if question.target is not None:
        return ("decode", course), ("encode", question.target)
    if name == "sum":
        return (("add", course),)
    return ((name, course),) if has_methods(name, course) else ()


@cache
def methods_of_beliefs(parts: tuple[Part, ...]) -> dict[str, dict[Part, Method]]:
    """Return each belief that acts in some of *parts*, with its method of each."""
    found: dict[str, dict[Part, Method]] = {}
    for part in parts:
        for name, method in _beliefs(*part):
            found.setdefault(name, {})[part] = method
    return {name: found[name] for name in BELIEFS if name in found}


def _beliefs(operation: str, course: Course) -> list[tuple[str, Method]]:
    if not has_methods(operation, course):
        return []
    return [(held.name, held.method) for held in belief_methods(operation, course)]


def lines_and_answer(question: Question, choose: Choose) -> tuple[list[AnyPage], str]:
    """Return what is written on each line, and in the answer's place, by the methods that *choose* gives.

    >>> from chalkpoint.working.procedures import right_method
    >>> from chalkpoint.working.question import ask
    >>> lines_and_answer(ask("sum", "64", "0.25", "1", course=Course()), right_method)
    (['01000000 0111', '01000001 0111'], '01000001 0111')
    """
    if question.target is not None:
        return _converted(question, question.target, choose)
    if question.operation.name == "sum":
        return _summed(question, choose("add", question.course))
    trail = run(choose(question.operation.name, question.course), question)
    return lines_written(trail, question), write_answer(trail[-1], question)


def _converted(question: Question, target: Course, choose: Choose) -> tuple[list[AnyPage], str]:
    reading = replace(question, operation=OPERATIONS["decode"], target=None)
    read = run(choose("decode", question.course), reading)
    storing = Question(OPERATIONS["encode"], target, target.number_format, value=read[-1].value)
    stored = run(choose("encode", target), storing)
    lines = [*lines_written(read, reading), *lines_written(stored, storing)]
    return lines, write_answer(stored[-1], storing)


def _summed(question: Question, method: Method) -> tuple[list[AnyPage], str]:
    """Return the totals of a chain, up to the first that is no pattern, and the last."""
    total, totals = question.patterns[0], []
    pair = replace(question, operation=OPERATIONS["add"], given=(None, None), names=("total", "term"))
    for term in question.patterns[1:]:
        pair = replace(pair, patterns=(total, term))
        totals.append(write_answer(run(method, pair)[-1], pair))
        try:
            total = question.format.read(totals[-1])
        except EntryError:
            break
    return totals, totals[-1]
