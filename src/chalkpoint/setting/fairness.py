"""Whether a question is fair: one answer under every accepted method, and none of it by accident."""

from __future__ import annotations

from dataclasses import dataclass

from chalkpoint.setting.asking import Blueprint
from chalkpoint.setting.hypotheses import belief_methods
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.procedures import answer_by, lines_written, right_method, run, write_answer
from chalkpoint.working.question import Question

__all__ = ["COMMON", "Fairness", "judge"]

COMMON = 3  # a belief of this weight is a common one


@dataclass(frozen=True, slots=True)
class Fairness:
    """What the accepted methods and the catalogue's beliefs make of a question.

    answers     by accepted method, the course's own first: what is written in the answer's place
    wrong       by belief that ends at a wrong answer: that answer
    accidental  beliefs that end at the course's answer though a line of their working is wrong
    untested    beliefs whose every line is right here
    """

    answers: dict[str, str]
    wrong: dict[str, str]
    accidental: tuple[str, ...]
    untested: tuple[str, ...]

    @property
    def same_answer(self) -> bool:
        """Whether every accepted method gives the course's answer."""
        return len(set(self.answers.values())) <= 1

    @property
    def common_accidents(self) -> tuple[str, ...]:
        """The accidental beliefs that are common."""
        return tuple(name for name in self.accidental if BELIEFS[name].weight >= COMMON)

    @property
    def exposed(self) -> int:
        """How many beliefs give a wrong answer."""
        return len(self.wrong)

    def refusal(self, blueprint: Blueprint) -> str:
        """Return why *blueprint* does not ask this question, or "" where it may."""
        if blueprint.methods == "same answer" and not self.same_answer:
            others = ", ".join(name for name, answer in self.answers.items() if answer != self._own)
            return f"the accepted methods differ ({others})"
        marked = blueprint.purpose == "paper"  # practice and diagnosis go by the lines
        if marked and blueprint.accidental == "refuse" and self.common_accidents:
            return f"right by wrong working ({', '.join(self.common_accidents)})"
        return ""

    @property
    def _own(self) -> str:
        return next(iter(self.answers.values()), "")


def judge(question: Question) -> Fairness:
    """Return what methods and beliefs make of *question*.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> fair = judge(ask("subtract", "01101000 0011", "01010000 0001", course=Course()))
    >>> fair.answers, fair.wrong["invert-only"]
    ({'align-then-negate': '01010100 0011'}, '01010011 0011')
    """
    operation, course = question.operation.name, question.course
    right = right_method(operation, course)
    trail = run(right, question)
    own, written = write_answer(trail[-1], question), lines_written(trail, question)
    answers = {right.name: own}
    if operation in {"add", "subtract"}:
        answers |= {
            name: answer_by(right_method(operation, course, name), question) for name in course.accepts
        }
    wrong: dict[str, str] = {}
    accidental: list[str] = []
    untested: list[str] = []
    for held in belief_methods(operation, course):
        faulty = run(held.method, question)
        answer = write_answer(faulty[-1], question)
        if answer != own:
            wrong[held.name] = answer
        else:
            same = lines_written(faulty, question) == written
            (untested if same else accidental).append(held.name)
    return Fairness(answers, wrong, tuple(accidental), tuple(untested))
