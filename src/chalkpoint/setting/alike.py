"""Thirty like this one: the blueprint of a paper whose questions are like one that was found."""

from __future__ import annotations

from collections.abc import Sequence

from chalkpoint.finding.find import find
from chalkpoint.finding.registry import trait_in
from chalkpoint.finding.request import parse_request
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.named import is_school
from chalkpoint.numbers.writingtoml import write_toml
from chalkpoint.setting.drawn import WITHOUT_TRAITS
from chalkpoint.setting.measures import pins_of
from chalkpoint.setting.sources import PAIR_OPERATIONS
from chalkpoint.working.course import Course
from chalkpoint.working.question import Question

__all__ = ["LIKE", "blueprint_like", "conditions_like", "course_table", "homework_on"]

LIKE = 30  # papers, a class of them
UNCOUNTED = 2  # conditions that are kept though nobody counts what they leave
HOMEWORK = 4  # questions, or two of each kind where the lesson has more
LIKENESS = 2  # conditions: homework is like the lesson, and no copy of it


def conditions_like(question: Question, where: Sequence[str], variants: int) -> list[str]:
    """Return the conditions of questions like *question*: those of the request, then what it has besides.

    Of what it has besides, that is kept which rules something out and leaves at least *variants* questions. In
    formats that are not the school's questions are counted one by one, so the first of what it has is kept uncounted.

    >>> from chalkpoint.working.question import ask
    >>> one = ask("subtract", "8.875", "3.6875", course=Course())
    >>> conditions_like(one, ["lost-ones = 1"], 30)[:3]
    ['lost-ones = 1', 'align-shift = 2', 'not mantissa-overflow']
    """
    operation, course = question.operation.name, question.course
    if operation in WITHOUT_TRAITS or operation == "range":
        return list(where)
    named = trait_in(course, operation)
    asked = {term.trait.name for term in parse_request(where, named)}
    if not is_school(course.number_format):
        own = [pin for pin in pins_of(question) if parse_request([pin], named)[0].trait.name not in asked]
        return [*where, *own[:UNCOUNTED]]
    kept, left = list(where), _count(operation, course, where)
    for pin in pins_of(question):
        (term,) = parse_request([pin], named)
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


def homework_on(title: str, questions: Sequence[Question]) -> str:
    """Return the text of a blueprint of homework: fresh questions like those of a lesson, some of each kind.

    title      what was taught
    questions  those of the lesson, in one course; the first of each operation counts

    >>> from chalkpoint.working.question import ask
    >>> text = homework_on("Reading gauges", [ask("add", "1.5", "2.5", course=Course())])
    >>> text.splitlines()[0], "count = 4" in text
    ('title = "Homework: Reading gauges"', True)
    """
    kinds = {question.operation.name: question for question in reversed(questions)}
    count = max(2, HOMEWORK // len(kinds))
    rows = [
        {
            "operation": name,
            "count": count,
            "where": conditions_like(question, [], LIKE)[:LIKENESS] if name in PAIR_OPERATIONS else [],
        }
        for name, question in reversed(kinds.items())
    ]
    top = {"title": f"Homework: {title}"[:200], "purpose": "paper", "accidental": "needs working"}
    return write_toml(top | {"course": course_table(questions[0].course), "question": rows})


def course_table(course: Course) -> JsonObject:
    """Return a course's keys that differ from the usual ones, and its format.

    >>> course_table(Course(format="6+4", rounding="nearest"))
    {'format': '6+4', 'rounding': 'nearest'}
    """
    usual, written = Course(format=course.format).to_dict(), course.to_dict()
    return {key: value for key, value in written.items() if value != usual[key] or key == "format"}
