"""What every way of working writes for all questions of a set, worked in lanes.

Questions of one operation are worked together, a few hundred at a time, each way's rules run once for
all of them; ways whose pages are alike on every question go on as one. It gives what `predict` gives
question by question, and is told apart from it by its time alone.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from functools import cached_property
from typing import TypeAlias

from chalkpoint.marking.ways import Way, answers_in_order, slots_of
from chalkpoint.numbers.families import FLOATING
from chalkpoint.numbers.lanes import Lanes
from chalkpoint.working.page import AnyPage, Page
from chalkpoint.working.procedures import begin, write_answer
from chalkpoint.working.question import Question
from chalkpoint.working.together import key_of_page, run_in_lanes

__all__ = ["Predictions", "Table"]

TOGETHER = 1024  # questions worked in one stroke
FEW = 24  # questions of an operation that are sooner worked one by one

Key: TypeAlias = tuple[object, ...]
Last: TypeAlias = tuple[int, int, int]  # total, exponent and outcome of a last page


class Table:
    """What each of *ways* writes for *questions*, all of one operation, course and format.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> ways = (Way(), Way("", ("invert-only",)))
    >>> Table([ask("subtract", "6.5", "1.25", course=Course())], ways).answers(0)
    {'01010100 0011': 1, '01010011 0011': 2}
    """

    def __init__(self, questions: Sequence[Question], ways: tuple[Way, ...]) -> None:
        self.questions = questions
        self.ways = ways
        self._written: dict[Last, str] = {}

    def answers(self, place: int) -> dict[str, int]:
        """Return, for the question at this *place*, by written answer the ways that give it, as one integer."""
        by_page: dict[Last, int] = defaultdict(int)
        for pages, mask in self._last:
            by_page[pages[place]] |= mask
        question = self.questions[place]
        answers: dict[str, int] = defaultdict(int)
        for last, mask in by_page.items():
            if last not in self._written:
                total, exponent, outcome = last
                page = Page(0, 0, 0, 0, total=total, exponent=exponent, outcome=outcome)
                self._written[last] = write_answer(page, question)
            answers[self._written[last]] |= mask
        return answers_in_order(answers, question, self.ways)

    @cached_property
    def _last(self) -> list[tuple[list[Last], int]]:
        """The last page of every question, and the ways that lead to it."""
        lanes = Lanes(len(self.questions))
        first = lanes.gather([begin(question) for question in self.questions])
        name, course, fmt = (
            self.questions[0].operation.name,
            self.questions[0].course,
            self.questions[0].format,
        )
        last: dict[Key, int] = defaultdict(int)
        pages: dict[Key, tuple[AnyPage, ...]] = {}
        for slots in slots_of(self.ways, name, course, ""):
            everyone = sum(mask for _, mask in slots[0])
            for page, mask in run_in_lanes(slots, [(first, everyone)], fmt):
                ends = page.total, page.exponent, page.outcome
                key = key_of_page(ends)
                last[key] |= mask
                pages[key] = ends
        return [(list(zip(*map(lanes.unpack, ends), strict=True)), last[key]) for key, ends in pages.items()]


class Predictions:
    """The answers of every way to many questions, tabled where many are asked for.

    The first few are worked one by one: of a whole set only one script may be marked.
    """

    def __init__(self, questions: Iterable[Question], ways: tuple[Way, ...]) -> None:
        self.ways = ways
        self._asked = 0
        self._places: dict[Key, tuple[Table, int]] = {}
        for alike in _alike(questions):
            for start in range(0, len(alike), TOGETHER):
                some = alike[start : start + TOGETHER]
                if len(some) >= FEW:
                    table = Table(some, ways)
                    self._places |= {key_of(question): (table, place) for place, question in enumerate(some)}

    def answers(self, question: Question) -> dict[str, int] | None:
        """Return what each way writes for *question*; None where it is sooner worked by itself."""
        found = self._places.get(key_of(question))
        self._asked += 1
        if found is None or self._asked <= FEW:
            return None
        table, place = found
        return table.answers(place)


def _alike(questions: Iterable[Question]) -> list[list[Question]]:
    """Return *questions* that lanes can work, each once, those of one operation, course and format together."""
    groups: dict[object, dict[Key, Question]] = defaultdict(dict)
    for question in questions:
        if question.format.family == FLOATING and isinstance(begin(question), Page):
            groups[question.operation.name, question.course][key_of(question)] = question
    return [list(group.values()) for group in groups.values()]


def key_of(question: Question) -> Key:
    """Return what makes a question the one it is."""
    return question.operation.name, str(question.format), *question.operands
