"""The picker of conditions: what a question's lines leave, and what each further line would leave."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass

from chalkpoint.finding.find import find
from chalkpoint.finding.registry import FOUND_BY, groups_in
from chalkpoint.finding.sentences import read_sentence
from chalkpoint.finding.trait import Trait
from chalkpoint.numbers.errors import ChalkpointError
from chalkpoint.web.conditions import sentence_of
from chalkpoint.working.course import Course

__all__ = ["Counts", "Option", "count_rows", "options_for"]

MOST_OPTIONS = 12
Row = tuple[str, Course, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Counts:
    """How many questions there are of a kind, and how many meet its first line, its first two, and so on."""

    of: int
    each: tuple[int | None, ...]


@dataclass(frozen=True, slots=True)
class Option:
    """A line that could be added, and how many questions would be left; None where they are not counted."""

    condition: str
    says: str
    count: int | None


def count_rows(rows: Sequence[Row | None]) -> list[Counts | None]:
    """Return the counts of each question of a blueprint; None for one that has no conditions to count."""
    return [_count_row(row) if row and row[0] in FOUND_BY else None for row in rows]


def _count_row(row: Row) -> Counts | None:
    operation, course, where = row
    try:
        of = find(operation, course=course).of
        return Counts(of, tuple(_count(operation, course, where[: at + 1]) for at in range(len(where))))
    except ChalkpointError:  # a line that cannot be asked: the page says so beside the line
        return None


def _count(operation: str, course: Course, where: Sequence[str]) -> int | None:
    found = find(operation, course=course, where=where)
    return found.count if found.exact else None


def options_for(row: Row, said: str) -> list[Option]:
    """Return the lines that *said* may mean: read as a sentence first, then whatever is called by its words."""
    operation, course, where = row
    conditions: list[str] = []
    with suppress(ChalkpointError):  # words that name no condition
        conditions += read_sentence(said, operation, course).where
    words = said.lower().split()
    for traits in groups_in(course, operation).values():
        for trait in traits:
            text = f"{trait.name} {trait.sentence}".lower()
            if words and all(word in text for word in words):
                conditions += _usual(trait)
    options: list[Option] = []
    for condition in dict.fromkeys(conditions):
        if condition not in where and len(options) < MOST_OPTIONS:
            try:
                count = _count(operation, course, (*where, condition))
                options.append(Option(condition, sentence_of(condition, operation, course), count))
            except ChalkpointError:
                continue
    return options


def _usual(trait: Trait) -> list[str]:
    """Return what is usually asked of a trait."""
    if trait.kind == "yes or no":
        return [trait.name, f"not {trait.name}"]
    if trait.kind == "choice":
        return [f"{trait.name} = {word}" for word in trait.choices]
    return [f"{trait.name} = {number}" for number in (1, 2, 3)]
