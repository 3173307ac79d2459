"""What every way of working writes for all questions of a set, worked in lanes.

It gives what `predict` gives question by question, and is told apart from it by its time alone.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from chalkpoint.marking.ways import Way, answers_in_order, held_methods, under_conventions
from chalkpoint.numbers.families import FLOATING
from chalkpoint.working.operations.declared import is_declared
from chalkpoint.working.page import Page
from chalkpoint.working.procedures import begin
from chalkpoint.working.question import Question
from chalkpoint.working.tables import FEW, MethodTable

__all__ = ["SCRIPT", "Predictions", "key_of"]

SCRIPT = 12  # questions worked one by one before any are tabled: of a whole set only one script may be marked
TOGETHER = 1024  # questions worked in one stroke

Key = tuple[object, ...]


class Predictions:
    """The answers of every way to many questions, tabled where many are asked for.

    The first few are worked one by one, as `SCRIPT` says.
    """

    def __init__(self, questions: Iterable[Question], ways: tuple[Way, ...]) -> None:
        self.ways = ways
        self._asked = 0
        self._under: dict[MethodTable, dict[int, list[str]]] = {}
        self._places: dict[Key, tuple[MethodTable, int]] = {}
        for alike in _alike(questions):
            for start in range(0, len(alike), TOGETHER):
                some = alike[start : start + TOGETHER]
                if len(some) >= FEW:
                    table = MethodTable(some, held_methods(ways, some[0].operation.name, some[0].course))
                    self._places |= {key_of(question): (table, place) for place, question in enumerate(some)}

    def answers_of_first(self, count: int, question: Question) -> dict[str, int] | None:
        """Return `answers` of the first *count* ways alone."""
        answers, everyone = self.answers(question), (1 << count) - 1
        return answers and {answer: mask & everyone for answer, mask in answers.items() if mask & everyone}

    def answers(self, question: Question) -> dict[str, int] | None:
        """Return what each way writes for *question*; None where it is sooner worked by itself."""
        found = self._places.get(key_of(question))
        self._asked += 1
        if found is None or self._asked <= SCRIPT:
            return None
        table, place = found
        if table not in self._under:
            self._under[table] = under_conventions(table.questions, self.ways)
        under = {number: answers[place] for number, answers in self._under[table].items()}
        return answers_in_order(table.answers(place), under)


def _alike(questions: Iterable[Question]) -> list[list[Question]]:
    """Return *questions* that lanes can work, each once, those of one operation, course and format together."""
    groups: dict[object, dict[Key, Question]] = defaultdict(dict)
    for question in questions:
        name, fmt = question.operation.name, question.format
        if fmt.family == FLOATING and is_declared(name, fmt) and isinstance(begin(question), Page):
            groups[question.operation.name, question.course][key_of(question)] = question
    return [list(group.values()) for group in groups.values()]


def key_of(question: Question) -> Key:
    """Return what makes a question the one it is."""
    return question.operation.name, str(question.format), *question.operands
