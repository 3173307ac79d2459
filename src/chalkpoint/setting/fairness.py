"""Whether a question is fair: one answer under every accepted method, and none of it by accident."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from chalkpoint.numbers.named import is_school, value_or_none
from chalkpoint.setting.answering import final_answer
from chalkpoint.setting.asking import Blueprint
from chalkpoint.setting.followed import Part, follow, held_in, parts_of
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.course import Course
from chalkpoint.working.methods import Method
from chalkpoint.working.procedures import right_method
from chalkpoint.working.question import Question
from chalkpoint.working.work import work_question

__all__ = ["COMMON", "Fairness", "judge"]

TAUGHT_BY_METHODS = ("add", "subtract", "sum")
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
    parts = parts_of(question)
    if not parts or has_specials(question):
        return _of_one_way(question)
    name, course = question.operation.name, question.course
    written, own = follow(question, right_method)
    answers = {right_method(*parts[-1]).name: own}
    if name in TAUGHT_BY_METHODS and is_school(question.format):
        for method in course.accepts:
            answers[method] = follow(question, partial(_by_method, method))[1]
    wrong: dict[str, str] = {}
    accidental: list[str] = []
    untested: list[str] = []
    for belief, held in held_in(parts).items():
        lines, answer = follow(question, partial(_by_belief, held))
        if answer != own:
            wrong[belief] = answer
        else:
            (untested if lines == written else accidental).append(belief)
    return Fairness(answers, wrong, tuple(accidental), tuple(untested))


def _by_method(method: str, operation: str, course: Course) -> Method:
    return right_method(operation, course, method)


def _by_belief(held: dict[Part, Method], operation: str, course: Course) -> Method:
    return held.get((operation, course)) or right_method(operation, course)


def has_specials(question: Question) -> bool:
    """Tell whether an operand is an infinity or not a number, of which beliefs about numbers say nothing."""
    return any(value_or_none(question.format, pattern) is None for pattern in question.patterns)


def _of_one_way(question: Question) -> Fairness:
    """Return what is made of a question that is done in one way only: its answer, if it has one."""
    answer = final_answer(work_question(question))
    return Fairness({"": answer} if answer else {}, {}, (), ())
