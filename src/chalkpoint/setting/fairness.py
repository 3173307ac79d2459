"""Whether a question is fair: one answer under every accepted method, and none of it by accident."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Container, Iterator, Sequence
from dataclasses import dataclass
from functools import cache, partial
from typing import NamedTuple

from chalkpoint.numbers.named import is_school, value_or_none
from chalkpoint.setting.answering import final_answer
from chalkpoint.setting.asking import Blueprint
from chalkpoint.setting.composite_working import Part, lines_and_answer, methods_of_beliefs, parts_of
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.course import Course
from chalkpoint.working.methods import Method
from chalkpoint.working.procedures import right_method
from chalkpoint.working.question import Question
from chalkpoint.working.tables import MethodTable
from chalkpoint.working.work import work_question

__all__ = [
    "COMMON",
    "Fairness",
    "Judged",
    "judge",
    "judge_all",
    "judge_in_turn",
    "judge_part_by_part",
    "remedy",
]

TAUGHT_BY_METHODS = ("add", "subtract", "sum")
COMMON = 3  # a belief of this weight is a common one

METHODS_DIFFER = "the accepted methods differ"
RIGHT_BY_ACCIDENT = "right by wrong working"

#: What a blueprint may say so that a question refused for this reason is asked.
REMEDIES = {METHODS_DIFFER: 'methods = "list the answers"', RIGHT_BY_ACCIDENT: 'accidental = "needs working"'}


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
            return f"{METHODS_DIFFER} ({others})"
        marked = blueprint.purpose == "paper"  # practice and diagnosis go by the lines
        if marked and blueprint.accidental == "refuse" and self.common_accidents:
            return f"{RIGHT_BY_ACCIDENT} ({', '.join(self.common_accidents)})"
        return ""

    @property
    def _own(self) -> str:
        return next(iter(self.answers.values()), "")


def remedy(refusal: str) -> str:
    """Return what else may be done about a *refusal*, as the end of a sentence; "" where a blueprint can do nothing.

    >>> remedy("right by wrong working (invert-only)")
    ', or set accidental = "needs working"'
    """
    entries = [entry for reason, entry in REMEDIES.items() if refusal.startswith(reason)]
    return f", or set {entries[0]}" if entries else ""


def judge(question: Question) -> Fairness:
    """Return what methods and beliefs make of *question*.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> fair = judge(ask("subtract", "01101000 0011", "01010000 0001", course=Course()))
    >>> fair.answers, fair.wrong["invert-only"]
    ({'align-then-negate': '01010100 0011'}, '01010011 0011')
    """
    return judge_all([question])[0]


def judge_all(questions: Sequence[Question]) -> list[Fairness]:
    """Return what `judge` does for each of *questions*; those of one kind are worked together."""
    return [judged.whole() for judged in judge_in_turn(questions)]


class Judged(NamedTuple):
    """What is made of a question, by what is needed to refuse it and as a whole; each is worked when it is asked for.

    common  by accepted methods and common beliefs alone
    whole   by every belief
    """

    common: Callable[[], Fairness]
    whole: Callable[[], Fairness]


def judge_in_turn(questions: Sequence[Question]) -> Iterator[Judged]:
    """Yield what is made of each of *questions*; those of one kind are worked together."""
    groups: dict[object, list[Question]] = defaultdict(list)
    kinds = [_kind(question) for question in questions]
    for kind, question in zip(kinds, questions, strict=True):
        groups[kind].append(question)
    judged = {kind: _judged(some) for kind, some in groups.items()}
    for kind in kinds:
        yield next(judged[kind])


def _kind(question: Question) -> object:
    """Return what questions share that are worked together."""
    return question.operation.name, question.course, bool(parts_of(question)), has_specials(question)


def _judged(questions: Sequence[Question]) -> Iterator[Judged]:
    """Yield what is made of *questions*, all of one kind."""
    parts = parts_of(questions[0])
    if parts == ((questions[0].operation.name, questions[0].course),) and not has_specials(questions[0]):
        common, whole = _Tabled(questions, least=COMMON), _Tabled(questions)
        for at in range(len(questions)):
            yield Judged(cache(partial(common.fairness, at)), partial(whole.fairness, at))
        return
    alone = judge_part_by_part if parts and not has_specials(questions[0]) else _of_one_way
    for question in questions:
        once = cache(partial(alone, question))
        yield Judged(once, once)


def judge_part_by_part(question: Question) -> Fairness:
    """Return what is made of a question that is made of others: each belief is held in all of them."""
    parts = parts_of(question)
    written, own = lines_and_answer(question, right_method)
    answers = {right_method(*parts[-1]).name: own}
    for method in _accepted(question):
        answers[method] = lines_and_answer(question, partial(_by_method, method))[1]
    given: dict[str, str] = {}
    clean: set[str] = set()
    for belief, held in methods_of_beliefs(parts).items():
        lines, given[belief] = lines_and_answer(question, partial(_by_belief, held))
        if lines == written:
            clean.add(belief)
    return _fairness(answers, given, clean)


def _accepted(question: Question) -> tuple[str, ...]:
    """Return the methods that the course accepts, beside its own, for *question*."""
    taught = question.operation.name in TAUGHT_BY_METHODS and is_school(question.format)
    return question.course.accepts if taught else ()


class _Tabled:
    """What is made of *questions*, all of one operation and course, that are worked line by line.

    least  the least weight of the beliefs that are looked at
    """

    def __init__(self, questions: Sequence[Question], least: int = 0) -> None:
        name, course = questions[0].operation.name, questions[0].course
        self.right, self.others = right_method(name, course), _accepted(questions[0])
        beliefs = {
            belief: held[name, course]
            for belief, held in methods_of_beliefs(parts_of(questions[0])).items()
            if BELIEFS[belief].weight >= least
        }
        self.beliefs = tuple(beliefs)
        accepted = [right_method(name, course, other) for other in self.others]
        self.table = MethodTable(questions, [self.right, *beliefs.values(), *accepted])

    def fairness(self, at: int) -> Fairness:
        """Return what is made of the question at this place."""
        own, *given = self.table.by_method(at)
        clean = self.table.clean(at)
        right = {self.right.name: own} | dict(zip(self.others, given[len(self.beliefs) :], strict=True))
        untouched = {belief for number, belief in enumerate(self.beliefs, start=1) if clean >> number & 1}
        return _fairness(right, dict(zip(self.beliefs, given, strict=False)), untouched)


def _fairness(right: dict[str, str], given: dict[str, str], clean: Container[str]) -> Fairness:
    """Return what is made of a question from the answers of right methods and of beliefs.

    clean  the beliefs every line of whose working is right
    """
    own = next(iter(right.values()))
    wrong = {belief: answer for belief, answer in given.items() if answer != own}
    alike = [belief for belief, answer in given.items() if answer == own]
    accidental = tuple(belief for belief in alike if belief not in clean)
    return Fairness(right, wrong, accidental, tuple(belief for belief in alike if belief in clean))


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
