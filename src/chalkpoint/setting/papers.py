"""Papers: questions with their schemes, a paper for each variant, set now or read back from their file."""

from __future__ import annotations

import hashlib
from base64 import b32encode
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.setting.asking import Blueprint
from chalkpoint.setting.contexts import Story
from chalkpoint.setting.fairness import Fairness, Judged
from chalkpoint.setting.marks import Mark
from chalkpoint.setting.measures import Measure, lines_of
from chalkpoint.setting.met import Met, met_in
from chalkpoint.setting.points import Point
from chalkpoint.setting.schemes import Scheme, points_of
from chalkpoint.working.course import Course
from chalkpoint.working.length import characters
from chalkpoint.working.procedures import BETWEEN
from chalkpoint.working.question import Question
from chalkpoint.working.working import Working

__all__ = [
    "SCHEMA",
    "Asked",
    "Candidate",
    "Item",
    "Paper",
    "Papers",
    "SetPaper",
    "SetPapers",
    "code_for",
    "papers_set",
    "with_habits",
]

SCHEMA = "chalkpoint.papers/1"
CODE_LENGTH = 6


# === What is asked, and what earns marks: all that marking needs ===


@dataclass(frozen=True, slots=True, eq=False)
class Asked:
    """One question of a paper.

    number  from 1
    scheme  its mark scheme: of a paper read back, its points and what a right answer alone earns
    kind    "work", "faded", "mistake" (which line of a shown working is wrong) or "values" (a range by its values)
    words   what is asked, in sentences; "" where the papers do not say
    """

    number: int
    question: Question
    scheme: Scheme
    kind: str
    words: str

    @property
    def points(self) -> tuple[Mark, ...]:
        """Its marking points, in the order of working."""
        return self.scheme.marks

    @property
    def values(self) -> str:
        """Of a range by its values, these; "" of any other question."""
        return BETWEEN.join(mark.expects for mark in self.points) if self.kind == "values" else ""

    @property
    def marks(self) -> int:
        """Out of how many marks."""
        return self.scheme.total

    @property
    def alone(self) -> int:
        """Marks that a right answer without any working earns."""
        return self.scheme.alone


@dataclass(frozen=True, slots=True, eq=False)
class Paper:
    """One variant.

    code  six letters and digits printed on every page
    """

    variant: int
    code: str
    questions: tuple[Asked, ...]

    @property
    def marks(self) -> int:
        """Out of how many marks."""
        return sum(asked.marks for asked in self.questions)


@dataclass(frozen=True, slots=True, eq=False)
class Papers:
    """Every variant, by its number."""

    title: str
    course: Course
    variants: Mapping[int, Paper]

    @property
    def first(self) -> Paper:
        """The first variant: what the others are equal to in marks and skills."""
        return self.variants[min(self.variants)]


def with_habits(papers: Papers, course: Course) -> Papers:
    """Return *papers* marked with the habits of *course*: the manners of writing that it takes or refuses."""
    habits = {"takes": course.takes, "refuses": course.refuses}

    def under(asked: Asked) -> Asked:
        return replace(asked, question=replace(asked.question, course=asked.question.course.with_(**habits)))

    variants = {
        number: replace(paper, questions=tuple(map(under, paper.questions)))
        for number, paper in papers.variants.items()
    }
    return replace(papers, course=papers.course.with_(**habits), variants=variants)


# === The same, with everything that is printed ===


@dataclass(frozen=True, eq=False)
class Candidate:
    """A question that may be asked, with what its choice rests on: judged and measured when that is looked at.

    judged  its fairness, once it is asked for
    """

    question: Question
    working: Working
    judged: Judged

    @cached_property
    def fairness(self) -> Fairness:
        """What the accepted methods and every belief make of it."""
        return self.judged.whole()

    @cached_property
    def points(self) -> tuple[Point, ...]:
        """The marking points that its working has lines for."""
        return tuple(points_of(self.working))

    @property
    def kind(self) -> tuple[tuple[str, ...], int]:
        """The lines that are written, and how many marking points they have."""
        return lines_of(self.working), len(self.points)

    @cached_property
    def met(self) -> Met:
        """What a pupil meets on the way."""
        return met_in(self.working, alone=not self.judged.common().common_accidents)

    @cached_property
    def measure(self) -> Measure:
        """What it asks of a pupil."""
        lines, points = self.kind
        return Measure(lines, points, characters(self.working), self.fairness.exposed, self.met)


@dataclass(frozen=True, slots=True, eq=False)
class Item(Asked):
    """One question as it is set.

    notes   what else must be said: the method, or that working is needed
    story   the word problem, if it is one
    shown   rules of the lines a faded question has filled in
    faulty  for "mistake": the faulty working that is shown
    level   for practice: the sheet's level and what is new on it, else ""
    room    how much more room there is to write, in steps
    """

    candidate: Candidate
    notes: tuple[str, ...] = ()
    story: Story | None = None
    shown: tuple[str, ...] = ()
    faulty: Working | None = None
    level: str = ""
    room: int = 0

    @property
    def working(self) -> Working:
        """The question worked by the course's method."""
        return self.candidate.working

    @property
    def names(self) -> tuple[str, ...]:
        """What the operands are called."""
        return self.story.names if self.story and self.story.names else self.question.names

    def to_dict(self) -> JsonObject:
        """Return the question as chalkpoint.papers/1 has it."""
        entry: JsonObject = {
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
class SetPaper(Paper):
    """One variant as it is set."""

    questions: tuple[Item, ...]


@dataclass(frozen=True, slots=True, eq=False)
class SetPapers(Papers):
    """All variants of a blueprint.

    report  what was made, how equal it is and what it cannot do, in paragraphs of text
    """

    variants: Mapping[int, SetPaper]
    blueprint: Blueprint
    seed: int
    report: tuple[str, ...]

    @property
    def papers(self) -> tuple[SetPaper, ...]:
        """The variants, in order."""
        return tuple(self.variants.values())

    def __iter__(self) -> Iterator[SetPaper]:
        return iter(self.papers)

    def to_dict(self) -> JsonObject:
        """Return the papers as chalkpoint.papers/1."""
        return {
            "schema": SCHEMA,
            "title": self.title,
            "course": self.course.to_dict(),
            "purpose": self.blueprint.purpose,
            "seed": self.seed,
            "papers": [
                {
                    "variant": paper.variant,
                    "code": paper.code,
                    "marks": paper.marks,
                    "questions": [item.to_dict() for item in paper.questions],
                }
                for paper in self
            ],
        }


def papers_set(
    blueprint: Blueprint, seed: int, papers: Sequence[SetPaper], report: tuple[str, ...] = ()
) -> SetPapers:
    """Return the variants of *blueprint* together."""
    variants = {paper.variant: paper for paper in papers}
    return SetPapers(blueprint.title, blueprint.course, variants, blueprint, seed, report)


def code_for(blueprint: Blueprint, seed: int, variant: int) -> str:
    """Return a paper's code: short enough to copy by hand, and its own in any set of papers.

    >>> from chalkpoint.working.course import Course
    >>> code_for(Blueprint("Gauge readings", Course()), 7, 1)
    '...'
    """
    plan = [blueprint.title, repr(blueprint.course)]
    if (
        blueprint.printing.scan
    ):  # a page is found by its code, so papers that differ in anything have codes of their own
        plan = [repr(replace(blueprint, where=""))]
    made_of = "\n".join([*plan, str(seed), str(variant)])
    return b32encode(hashlib.sha256(made_of.encode()).digest()).decode()[:CODE_LENGTH]
