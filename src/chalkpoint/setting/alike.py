"""Thirty like this one: the blueprint of a paper whose questions are like one that was found."""

from __future__ import annotations

from collections.abc import Sequence

from chalkpoint.finding.find import find
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.writingtoml import write_toml
from chalkpoint.setting.measures import pins_of
from chalkpoint.setting.sources import parse_where
from chalkpoint.working.course import Course
from chalkpoint.working.question import Question

__all__ = ["LIKE", "blueprint_like", "conditions_like", "course_table"]

LIKE = 30  # papers, a class of them


def conditions_like(question: Question, where: Sequence[str], variants: int) -> list[str]:
    """Return the conditions of questions like *question*: those of the request, then what it has besides.

    Of what it has besides, that is kept which rules something out and leaves at least *variants* questions.

    >>> from chalkpoint.working.question import ask
    >>> one = ask("subtract", "8.875", "3.6875", course=Course())
    >>> conditions_like(one, ["lost-ones = 1"], 30)[:3]
    ['lost-ones = 1', 'align-shift = 2', 'not mantissa-overflow']
    """
    operation, course = question.operation.name, question.course
    kept, left = list(where), _count(operation, course, where)
    asked = {term.trait.name for term in parse_where(where, operation)}
    for pin in pins_of(question):
        (term,) = parse_where([pin], operation)
        count = _count(operation, course, [*kept, pin])
        if term.trait.name not in asked and variants <= count < left:
            kept.append(pin)
            left = count
    return kept


def _count(operation: str, course: Course, where: Sequence[str]) -> int:
    return find(operation, course=course, where=where).count


def blueprint_like(question: Question, where: Sequence[str], variants: int) -> str:
    """Return the text of a blueprint that asks, in every variant, another question like *question*.

    where     the conditions that it was found by
    variants  how many papers there are to be

    >>> from chalkpoint.working.question import ask
    >>> text = blueprint_like(ask("add", "1.5", "2.5", course=Course()), ["exact-result"], 30)
    >>> text.splitlines()[0], "exact-result" in text
    ('title = "Like 1.5 + 2.5"', True)
    """
    sign = question.operation.sign
    shown = (
        f" {sign} ".join(question.shown) if sign else f"{question.operation.name} {', '.join(question.shown)}"
    )
    row = {"operation": question.operation.name, "where": conditions_like(question, where, variants)}
    top = {"title": f"Like {shown}"[:200], "purpose": "paper", "accidental": "needs working"}
    return write_toml(top | {"course": course_table(question.course), "question": [row]})


def course_table(course: Course) -> JsonObject:
    """Return a course's keys that differ from the usual ones, and its format.

    >>> course_table(Course(format="6+4", takes=("exponent in decimal",)))
    {'format': '6+4', 'takes': ['exponent in decimal']}
    """
    usual, written = Course(format=course.format).to_dict(), course.to_dict()
    return {key: value for key, value in written.items() if value != usual.get(key) or key == "format"}
