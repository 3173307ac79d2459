"""Papers read back from the file in which they are kept, chalkpoint.papers/1, or from one written by hand."""

from __future__ import annotations

from pathlib import Path

from chalkpoint.numbers.datafiles import JsonObject, read_json
from chalkpoint.numbers.errors import EntryError
from chalkpoint.setting.asking import MOST_QUESTIONS
from chalkpoint.setting.marks import Mark
from chalkpoint.setting.papers import SCHEMA, Asked, Paper, Papers
from chalkpoint.setting.schemes import Scheme, scheme_for
from chalkpoint.working.course import Course, course_from
from chalkpoint.working.question import ask

__all__ = ["papers_from", "read_papers"]

MOST_DIGITS = 9  # of a number of the papers


def read_papers(path: str | Path) -> Papers:
    """Return the papers in the JSON file at *path*.

    Raises FileError when it cannot be read, EntryError when it is not chalkpoint.papers/1.
    """
    table = read_json(path, "papers", "the papers.json of a set")
    try:
        return papers_from(table)
    except EntryError as reason:
        raise EntryError(f"{path}: {reason}") from reason


def papers_from(table: object) -> Papers:
    """Return the papers in *table*, a chalkpoint.papers/1 object.

    >>> papers = papers_from({"schema": "chalkpoint.papers/1", "title": "Gauges", "papers": [
    ...     {"variant": 1, "questions": [{"operation": "subtract", "operands": ["6.5", "1.25"]}]}]})
    >>> papers.first.marks, papers.first.questions[0].points[0].expects
    (6, '00010100')
    """
    if not isinstance(table, dict) or table.get("schema") != SCHEMA:
        raise EntryError(f'not papers; the object needs "schema": "{SCHEMA}"')
    course = course_from(table.get("course", {}))
    try:
        variants = [_paper(entry, course) for entry in table["papers"]]
    except (KeyError, TypeError, AttributeError) as reason:
        raise EntryError(f"the papers lack {reason}; give the papers.json of a set") from reason
    if not variants:
        raise EntryError("there is no paper in it; set at least one variant")
    return Papers(table.get("title", ""), course, {paper.variant: paper for paper in variants})


def _paper(entry: JsonObject, course: Course) -> Paper:
    if len(entry["questions"]) > MOST_QUESTIONS:
        raise EntryError(
            f"a paper has {len(entry['questions']):,} questions; {MOST_QUESTIONS} at most are taken, so split it"
        )
    questions = tuple(_asked(number, one, course) for number, one in enumerate(entry["questions"], start=1))
    return Paper(_whole(entry.get("variant", 1), "variant"), str(entry.get("code", "")), questions)


def _asked(number: int, entry: JsonObject, course: Course) -> Asked:
    given = entry.get("operands", [])
    if not isinstance(given, list | tuple) or not all(isinstance(one, str) for one in given):
        raise EntryError(f'question {number}: its operands are texts, such as ["6.5", "1.25"]')
    question = ask(
        entry["operation"], *entry.get("operands", ()), course=course.with_(format=entry.get("format"))
    )
    number = _whole(entry.get("question", number), "question")
    if "scheme" not in entry:  # papers written by hand: the usual scheme
        scheme = scheme_for(question, entry.get("marks"))
        entry = entry | {"scheme": [mark.to_dict() for mark in scheme.marks], "answer_alone": scheme.alone}
    points = tuple(_point(one) for one in entry["scheme"])
    alone = _whole(entry.get("answer_alone", sum(point.marks for point in points)), "answer_alone")
    words = str(entry.get("words", ""))
    return Asked(number, question, Scheme(points, alone), entry.get("kind", "work"), words)


def _whole(value: object, what: str) -> int:
    """Return a whole number of the papers; a text of digits is one too."""
    if isinstance(value, str) and value.isascii() and value.isdigit() and len(value) <= MOST_DIGITS:
        return int(value)
    if not isinstance(value, int) or abs(value) >= 10**MOST_DIGITS:
        raise EntryError(f"{what} {str(value)[:40]!r} of the papers is not taken; give a whole number")
    return int(value)


def _point(entry: JsonObject) -> Mark:
    kind = entry.get("kind", "M")
    return Mark(
        entry["rule"],
        entry.get("part", ""),
        kind,
        _whole(entry["marks"], "marks"),
        str(entry.get("expects", "")),
        bool(entry.get("follow_through", True)),
        tuple(entry.get("depends_on", ())),
        "",
    )
