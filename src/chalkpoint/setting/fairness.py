"""Whether a question is fair: one answer under every accepted method, and none of it by accident."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache, partial

from chalkpoint.numbers.lanes import Lanes, positions
from chalkpoint.numbers.named import AnyFormat, is_school, value_or_none
from chalkpoint.setting.answering import final_answer
from chalkpoint.setting.asking import Blueprint
from chalkpoint.setting.followed import Part, follow, held_in, parts_of
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.course import Course
from chalkpoint.working.methods import Line, Method
from chalkpoint.working.page import Page
from chalkpoint.working.procedures import begin, right_method, write_answer
from chalkpoint.working.question import Question
from chalkpoint.working.together import Slots, all_written_alike, run_in_lanes, slots_of_methods
from chalkpoint.working.work import work_question

__all__ = ["COMMON", "Fairness", "judge", "judge_all"]

TAUGHT_BY_METHODS = ("add", "subtract", "sum")
FEW = 16  # questions of a kind that are sooner judged one by one
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


def judge_all(questions: Sequence[Question]) -> list[Fairness]:
    """Return what `judge` does for each of *questions*; many of one kind are worked together, in lanes."""
    groups: dict[object, list[int]] = defaultdict(list)
    for at, question in enumerate(questions):
        groups[question.operation.name, question.course].append(at)
    judged: dict[int, Fairness] = {}
    for places in groups.values():
        some = [questions[at] for at in places]
        found = _judged_together(some) if len(some) >= FEW and _fits_lanes(some[0]) else map(judge, some)
        judged |= zip(places, found, strict=True)
    return [judged[at] for at in range(len(questions))]


def _fits_lanes(question: Question) -> bool:
    """Tell whether *question*'s working is a page of whole numbers, and its answer the total on it."""
    alone = parts_of(question) == ((question.operation.name, question.course),)
    return alone and is_school(question.format) and isinstance(begin(question), Page)


def _judged_together(questions: list[Question]) -> list[Fairness]:
    """Return what is made of *questions*, all of one operation that adds, scales or changes patterns."""
    name, course, fmt = questions[0].operation.name, questions[0].course, questions[0].format
    lanes = Lanes(len(questions))
    first = lanes.gather([begin(question) for question in questions])
    right = right_method(name, course)
    beliefs = {belief: held[name, course] for belief, held in held_in(parts_of(questions[0])).items()}
    ends, same_lines = _believed(lanes, first, right, list(beliefs.values()), fmt)
    others = [right_method(name, course, other) for other in course.accepts if name in TAUGHT_BY_METHODS]
    ends += [method.finish(first, fmt) for method in others]
    columns = [
        list(zip(*map(lanes.unpack, (end.total, end.exponent, end.outcome)), strict=True)) for end in ends
    ]
    written = _Written(questions[0])
    found = []
    for at in range(len(questions)):
        own, *answers = [written[column[at]] for column in columns]
        right_answers = {right.name: own} | dict(zip(course.accepts, answers[len(beliefs) :], strict=False))
        clean = sum((mask >> at & 1) << number for number, mask in enumerate(same_lines))
        found.append(_fairness(right_answers, dict(zip(beliefs, answers, strict=False)), clean))
    return found


def _fairness(right: dict[str, str], given: dict[str, str], clean: int) -> Fairness:
    """Return what is made of a question from the answers of right methods and of beliefs.

    clean  the beliefs, by number, every line of whose working is right
    """
    own = next(iter(right.values()))
    wrong = {belief: answer for belief, answer in given.items() if answer != own}
    alike = [(belief, clean >> at & 1) for at, (belief, answer) in enumerate(given.items()) if answer == own]
    accidental = tuple(belief for belief, is_clean in alike if not is_clean)
    return Fairness(right, wrong, accidental, tuple(belief for belief, is_clean in alike if is_clean))


@lru_cache(1 << 10)
def _slots(methods: tuple[Method, ...], line: Line) -> Slots:
    return slots_of_methods(dict(enumerate(methods)), [line])


def _believed(
    lanes: Lanes, first: Page, right: Method, held: list[Method], fmt: AnyFormat
) -> tuple[list[Page], list[int]]:
    """Return the last pages, of the right method first, and where every line of a faulty one is right."""
    methods = dict(enumerate([right, *held]))
    clean = [lanes.yes] * len(methods)
    standing = [(first, (1 << len(methods)) - 1)]
    for line in right.lines:
        standing = run_in_lanes(_slots(tuple(methods.values()), line), standing, fmt)
        usual = next(page for page, mask in standing if mask & 1)
        for page, mask in standing:
            alike = lanes.yes if page is usual else all_written_alike(lanes, page, usual)
            for number in positions(mask):
                clean[number] &= alike
    ends = {number: page for page, mask in standing for number in positions(mask)}
    return [ends[number] for number in methods], clean[1:]


class _Written(dict[tuple[int, int, int], str]):
    """What stands in the answer's place, by total, exponent and outcome of a last page; written when first asked."""

    def __init__(self, question: Question) -> None:
        self.question = question

    def __missing__(self, end: tuple[int, int, int]) -> str:
        total, exponent, outcome = end
        page = Page(0, 0, 0, 0, total=total, exponent=exponent, outcome=outcome)
        self[end] = write_answer(page, self.question)
        return self[end]


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
