"""What a part is built on: questions found by traits, wrong answers from beliefs, steps left blank."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from chalkpoint.numbers.bits import with_point
from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.teaching.lesson import Choice
from chalkpoint.working.adding import start, written_answer
from chalkpoint.working.beliefs.belief import ADDING, Belief
from chalkpoint.working.beliefs.catalogue import beliefs_for, parse_belief
from chalkpoint.working.course import Course
from chalkpoint.working.methods import METHODS, Method
from chalkpoint.working.procedures import method_named
from chalkpoint.working.question import Question, ask
from chalkpoint.working.steps import Step
from chalkpoint.working.work import work_by
from chalkpoint.working.working import Working

if TYPE_CHECKING:
    from chalkpoint.finding.found import Found

__all__ = [
    "Request",
    "faded_rules",
    "find_questions",
    "first_wrong",
    "has_beliefs",
    "hinge_choices",
    "next_choices",
    "shown_row",
    "with_belief",
]

LETTERS = "ABCD"
WRONG_CHOICES = 3
A_FEW = 12  # times as many questions are looked at as are wanted, for short decimals


@dataclass(frozen=True, slots=True)
class Request:
    """What a part asks the finder for.

    nth        which of the simplest is wanted, from 0
    parallels  how many more to draw from all that have the traits
    """

    operation: str
    where: tuple[str, ...]
    nth: int = 0
    parallels: int = 0


def find_questions(request: Request, course: Course, *, names: tuple[str, ...] = ()) -> list[Question]:
    """Return the question of *request* and its parallels, drawn at random but the same every time.

    Of the simplest and of those drawn, the ones whose decimals are short are taken first: they are worked by hand.

    Raises EntryError where there is no such question.
    """
    from chalkpoint.finding.find import find  # most lessons give their questions

    found = find(request.operation, course=course, where=request.where)
    simplest = list(found.simplest(request.nth + A_FEW))
    if not simplest:
        apart = "; ".join(found.contradiction or request.where)
        raise EntryError(f"no {request.operation} question in {course.format} has all of: {apart}")
    asked = _by_length(request, simplest, course, names)
    chosen = [asked[min(request.nth, len(asked) - 1)]]
    if request.parallels:
        drawn = found.draw(min(A_FEW * request.parallels, int(found.count)), seed=request.nth)
        chosen += _by_length(request, drawn, course, names)[: request.parallels]
    return chosen


def _by_length(
    request: Request, found: Iterable[Found], course: Course, names: tuple[str, ...]
) -> list[Question]:
    """Return questions, those first whose operands take few digits in decimal."""
    asked = [ask(request.operation, *one.operands, course=course, names=names) for one in found]
    return sorted(asked, key=lambda question: sum(map(len, question.shown)))


# === Wrong on purpose ===


def has_beliefs(working: Working) -> bool:
    """Tell whether faulty working can be made for *working*'s question."""
    return working.question.operation.name in ADDING and working.method in METHODS


def with_belief(working: Working, name: str | None = None) -> tuple[Belief, Working]:
    """Return a belief and its working of the same question, the answer of which is wrong.

    name  the belief; by default the commonest whose answer is wrong here

    Raises EntryError where the belief does not act, or does no harm.
    """
    question = working.question
    if not has_beliefs(working):
        raise EntryError(
            f"wrong working is known for {' and '.join(ADDING)} in m+e formats, not for {working.title}"
        )
    for belief in [parse_belief(name)] if name else _commonest(question):
        method = belief.method_for(question.operation.name, method_named(question, working.method))
        if method is not None and _answer(question, method) != _own_answer(working):
            return belief, work_by(question, method)
    raise EntryError(
        f"{name or 'every belief'} gives the right answer to {working.title}; choose another question"
        + (" or belief" if name else "")
    )


def hinge_choices(working: Working, names: Iterable[str] | None = None) -> tuple[Choice, ...]:
    """Return four answers, sorted so that their order tells nothing: one right, three by different beliefs.

    Raises EntryError where *names* (or the whole catalogue) give fewer than three different wrong answers.
    """
    question = working.question
    if not has_beliefs(working):
        raise EntryError(
            f"a hinge question is one of {' or '.join(ADDING)} in m+e formats, not {working.title}"
        )
    given = list(names or ())
    beliefs = [parse_belief(name) for name in given] or _commonest(question)
    wrong: dict[str, Belief] = {}
    right = _own_answer(working)
    for belief in beliefs:
        method = belief.method_for(question.operation.name, method_named(question, working.method))
        answer = right if method is None else _answer(question, method)
        if answer != right:
            wrong.setdefault(answer, belief)
    if len(wrong) < WRONG_CHOICES:
        raise EntryError(
            f"{', '.join(given) or 'all beliefs together'} give {len(wrong)} different wrong answers to "
            f"{working.title}; a hinge question needs {WRONG_CHOICES}"
        )
    kept = dict(list(wrong.items())[:WRONG_CHOICES])
    return _choices(right, kept)


def next_choices(
    working: Working, rules: Sequence[str] | None = None, names: Iterable[str] | None = None
) -> tuple[str, tuple[Choice, ...]]:
    """Return a step and four rows for it: the right one, and three that different beliefs write there.

    rules  the step; by default the first after reading that has three different wrong rows

    Raises EntryError where there are fewer.
    """
    question = working.question
    if not has_beliefs(working):
        raise EntryError(
            f"what comes next is asked of {' or '.join(ADDING)} in m+e formats, not of {working.title}"
        )
    right = {step.rule: shown_row(step) for step in working.steps[1:]}
    if rules:
        faded_rules(working, rules)  # says which steps there are
    beliefs = [parse_belief(name) for name in names or ()] or _commonest(question)
    wrong: dict[str, dict[str, Belief]] = {rule: {} for rule in (rules or right)}
    for belief in beliefs:
        method = belief.method_for(question.operation.name, method_named(question, working.method))
        if method is None:
            continue
        for step in work_by(question, method).steps[1:]:
            row = shown_row(step)
            if row and step.rule in wrong and row != right.get(step.rule):
                wrong[step.rule].setdefault(row, belief)
                break  # what a belief writes later only follows from this
    for rule, rows in wrong.items():
        if len(rows) >= WRONG_CHOICES:
            return rule, _choices(right[rule], dict(list(rows.items())[:WRONG_CHOICES]))
    raise EntryError(f"no step of {working.title} has three different wrong rows; choose another question")


def shown_row(step: Step) -> str:
    """Return the row a step ends in as it is written: mantissa with its point, then the exponent."""
    row = next((row for row in reversed(step.rows) if row.bits and not row.soft), None)
    if row is None:
        return ""
    return f"{row.lead if row.lead_is == 'kept' else ''}{with_point(row.bits, row.places)} {row.exponent_bits}".strip()


def _choices(right: str, wrong: Mapping[str, Belief]) -> tuple[Choice, ...]:
    """Return four answers, sorted so that their order tells nothing."""
    return tuple(
        Choice(letter, answer)
        if answer == right
        else Choice(letter, answer, belief=wrong[answer].id, says=wrong[answer].says)
        for letter, answer in zip(LETTERS, sorted([right, *wrong]), strict=True)
    )


def first_wrong(wrong: Working, right: Working) -> tuple[Step, Step | None]:
    """Return the first step of *wrong* that is not as in *right*, and the right step of that rule, if any."""
    correct = {step.rule: step for step in right.steps}
    for step in wrong.steps:
        match = correct.get(step.rule)
        if match is None or _rows(step) != _rows(match):
            return step, match
    return wrong.steps[-1], None


def _rows(step: Step) -> list[tuple[str, str, str]]:
    return [(row.lead + row.bits, row.exponent_bits, row.lost) for row in step.rows if not row.soft]


def _commonest(question: Question) -> list[Belief]:
    beliefs = [belief for belief in beliefs_for(question.operation.name) if not belief.policy]
    return sorted(beliefs, key=lambda belief: -belief.weight)


def _answer(question: Question, method: Method) -> str:
    trail = method.trail(start(question), question.format)
    return written_answer(trail[-1].after, question.float_format)


def _own_answer(working: Working) -> str:
    return _answer(working.question, method_named(working.question, working.method))


# === Fading ===


def faded_rules(working: Working, names: Sequence[str] | None = None) -> tuple[str, ...]:
    """Return the rules of the steps to leave blank: those named, or the last step (fading goes backward).

    Raises EntryError for a name that is not a step of *working*.
    """
    rules = [step.rule for step in working.steps]
    if not names:
        return (rules[-1],)
    for name in names:
        if name not in rules:
            raise EntryError(f"blanks: {name!r} is not a step of {working.title}; {near_misses(name, rules)}")
    return tuple(names)
