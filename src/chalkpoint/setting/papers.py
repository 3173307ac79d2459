"""Papers: questions with their schemes, one paper a variant, and what is kept of them."""

from __future__ import annotations

import hashlib
from base64 import b32encode
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from chalkpoint.setting.asking import Blueprint
from chalkpoint.setting.contexts import Story
from chalkpoint.setting.fairness import Fairness
from chalkpoint.setting.measures import Measure
from chalkpoint.setting.schemes import Scheme
from chalkpoint.working.question import Question
from chalkpoint.working.working import Working

__all__ = ["Candidate", "Item", "Paper", "Papers", "code_for"]

SCHEMA = "chalkpoint.papers/1"
CODE_LENGTH = 6


@dataclass(frozen=True, slots=True, eq=False)
class Candidate:
    """A question that may be asked, with everything its choice rests on."""

    question: Question
    working: Working
    fairness: Fairness
    measure: Measure


@dataclass(frozen=True, slots=True, eq=False)
class Item:
    """One question of a paper.

    number  from 1
    kind    "work", "faded" or "mistake"
    words   what is asked, in sentences
    notes   what else must be said: the method, or that working is needed
    story   the word problem, if it is one
    shown   rules of the lines a faded question has filled in
    faulty  for "mistake": the faulty working that is shown
    level   for practice: the sheet's level and what is new on it, else ""
    room    how much more room there is to write, in steps
    """

    number: int
    kind: str
    candidate: Candidate
    scheme: Scheme
    words: str
    notes: tuple[str, ...] = ()
    story: Story | None = None
    shown: tuple[str, ...] = ()
    faulty: Working | None = None
    level: str = ""
    room: int = 0

    @property
    def question(self) -> Question:
        """The question."""
        return self.candidate.question

    @property
    def working(self) -> Working:
        """The question worked by the course's method."""
        return self.candidate.working

    @property
    def names(self) -> tuple[str, ...]:
        """What the operands are called."""
        return self.story.names if self.story and self.story.names else self.question.names

    def to_dict(self) -> dict[str, Any]:
        """Return the question as chalkpoint.papers/1 has it."""
        entry: dict[str, Any] = {
            "question": self.number,
            "operation": self.question.operation.name,
            "format": str(self.question.format),
            "operands": self.question.operands,
            "marks": self.scheme.total,
            "answer_alone": self.scheme.alone,
            "kind": self.kind,
            "words": self.words,
            "scheme": [mark.to_dict() for mark in self.scheme.marks],
        }
        if self.faulty:
            entry["shows"] = self.scheme.marks[0].expects
        return entry


@dataclass(frozen=True, slots=True, eq=False)
class Paper:
    """One variant.

    code  six letters and digits that stand on every page
    """

    variant: int
    code: str
    items: tuple[Item, ...]

    @property
    def marks(self) -> int:
        """The marks of the paper."""
        return sum(item.scheme.total for item in self.items)


@dataclass(frozen=True, slots=True, eq=False)
class Papers:
    """All variants of a blueprint.

    report  what was made, how equal it is and what it cannot do, in paragraphs of text
    """

    blueprint: Blueprint
    seed: int
    papers: tuple[Paper, ...]
    report: tuple[str, ...]

    def __iter__(self) -> Iterator[Paper]:
        return iter(self.papers)

    def to_dict(self) -> dict[str, Any]:
        """Return the papers as chalkpoint.papers/1."""
        return {
            "schema": SCHEMA,
            "title": self.blueprint.title,
            "course": self.blueprint.course.to_dict(),
            "purpose": self.blueprint.purpose,
            "seed": self.seed,
            "papers": [
                {
                    "variant": paper.variant,
                    "code": paper.code,
                    "marks": paper.marks,
                    "questions": [item.to_dict() for item in paper.items],
                }
                for paper in self.papers
            ],
        }


def code_for(blueprint: Blueprint, seed: int, variant: int) -> str:
    """Return a paper's code: short enough to copy by hand, and its own in any set of papers.

    >>> from chalkpoint.working.course import Course
    >>> code_for(Blueprint("Gauge readings", Course()), 7, 1)
    '...'
    """
    made_of = "\n".join([blueprint.title, repr(blueprint.course), str(seed), str(variant)])
    return b32encode(hashlib.sha256(made_of.encode()).digest()).decode()[:CODE_LENGTH]
