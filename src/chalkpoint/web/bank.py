"""The bank: questions that were kept, with tags, when each was last used in a paper, and how the class did on it."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import ChalkpointError
from chalkpoint.records import kept, marks
from chalkpoint.records.kept import Kept
from chalkpoint.records.store import Store
from chalkpoint.setting.paperfile import papers_from
from chalkpoint.setting.sources import QuestionKey, key_of
from chalkpoint.web.rendering import address
from chalkpoint.working.course import Course
from chalkpoint.working.question import Question, ask

__all__ = ["Banked", "Use", "bank_of", "questions_in", "tags_in"]

PAPERS_LOOKED_AT = 40  # the newest
TAGS = "tags"
MOST_TAGS = 12
LONGEST_TAG = 40  # characters


@dataclass(slots=True)
class Use:
    """When a question was last in a paper, and how those who had it did: marks got of marks there were."""

    date: str
    papers: str
    title: str
    got: int = 0
    of: int = 0


@dataclass(frozen=True, slots=True)
class Banked:
    """A kept question.

    line  the question as a line, such as "subtract 8.875, 3.6875": what a paper takes
    to    the address of its working
    use   its last use, or None
    """

    id: str
    title: str
    line: str
    to: str
    format: str
    tags: tuple[str, ...]
    use: Use | None


def tags_in(text: str) -> list[str]:
    """Return the tags written in *text*, separated by commas, each once.

    >>> tags_in("Alignment, hard,  hard, ")
    ['alignment', 'hard']
    """
    tags = (part.strip().lower()[:LONGEST_TAG] for part in text.split(","))
    return list(dict.fromkeys(tag for tag in tags if tag))[:MOST_TAGS]


def bank_of(store: Store, teacher: str, questions: Iterable[Kept]) -> list[Banked]:
    """Return *questions* with their tags and last uses."""
    uses = _uses(store, teacher)
    found = []
    for one in questions:
        body: JsonObject = json.loads(one.body)
        operation, operands = str(body.get("operation", "")), str(body.get("operands", ""))
        found.append(
            Banked(
                one.id,
                one.title,
                str(body.get("question", "")) or f"{operation} {operands}".strip(),
                address("/work", **body),
                str(body.get("format", "")),
                tuple(tags_in(one.about.get(TAGS, ""))),
                uses.get(key) if (key := _key(body)) else None,
            )
        )
    return found


def _key(body: JsonObject) -> QuestionKey | None:
    """Return what makes a kept question the one it is; None where it can no longer be asked."""
    operation, operands = str(body.get("operation", "")), str(body.get("operands", ""))
    if body.get("question"):
        operation, _, operands = str(body["question"]).partition(" ")
    parts = operands.split(";" if ";" in operands else ",")
    try:
        course = Course().with_(format=body.get("format") or None)
        return key_of(ask(operation, *(part.strip() for part in parts if part.strip()), course=course))
    except (ChalkpointError, KeyError):
        return None


def _uses(store: Store, teacher: str) -> dict[QuestionKey, Use]:
    """Return the last use of every question of the newest papers, with the marks of their latest marking."""
    uses: dict[QuestionKey, Use] = {}
    with store.read() as db:
        for one in kept.all_of(db, teacher, "papers", limit=PAPERS_LOOKED_AT):
            run = marks.latest(db, teacher, one.id)
            got = _got(marks.entries_of(db, run)) if run else {}
            _add_uses(uses, one, got)
    return uses


def _got(entries: Iterable[JsonObject]) -> dict[tuple[int, int], tuple[int, int]]:
    """Return the marks got and the pupils who had it, by variant and question."""
    got: dict[tuple[int, int], tuple[int, int]] = {}
    for entry in entries:
        for question in () if entry["absent"] else entry["questions"]:
            where = entry["variant"], question["question"]
            marks_got, pupils = got.get(where, (0, 0))
            got[where] = marks_got + question["marks"], pupils + 1
    return got


def _add_uses(uses: dict[QuestionKey, Use], one: Kept, got: dict[tuple[int, int], tuple[int, int]]) -> None:
    """Add the use of each question in papers *one*, unless newer ones asked it."""
    for number, paper in papers_from(json.loads(one.body)).variants.items():
        for asked in paper.questions:
            key = key_of(asked.question)
            if uses.setdefault(key, Use(one.created[:10], one.id, one.title)).papers == one.id:
                earned, pupils = got.get((number, asked.number), (0, 0))
                uses[key].got += earned
                uses[key].of += pupils * asked.marks


def questions_in(store: Store, teacher: str, papers: str) -> list[Question]:
    """Return the questions of kept papers, named with commas between them, in every variant."""
    with store.read() as db:
        bodies = [kept.one(db, teacher, "papers", one).body for one in papers.split(",")]
    variants = [paper for body in bodies for paper in papers_from(json.loads(body)).variants.values()]
    return [asked.question for paper in variants for asked in paper.questions]
