"""Practice at home: questions line by line, with what to say to each right or wrong line, all known beforehand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.setting.asking import Blueprint
from chalkpoint.setting.fairness import judge_in_turn
from chalkpoint.setting.instructions import words_for
from chalkpoint.setting.papers import Candidate, Item, SetPaper, code_for, papers_set
from chalkpoint.setting.schemes import scheme_for
from chalkpoint.teaching.choosing import has_beliefs
from chalkpoint.teaching.hints import begun
from chalkpoint.teaching.lesson import Lesson
from chalkpoint.teaching.telling import sentences
from chalkpoint.working.beliefs.catalogue import beliefs_for
from chalkpoint.working.procedures import method_named
from chalkpoint.working.steps import Step
from chalkpoint.working.wording import words_lessons as prompts
from chalkpoint.working.work import work_by
from chalkpoint.working.working import Working

__all__ = ["ANSWER", "Line", "PracticeQuestion", "practice", "practice_papers"]

ANSWER = "answer"
NORMAL_FORM = ("repair", "normalise")
PRACTISED = ("try", "faded", "hinge")  # parts whose questions are practised where there are no parallels


@dataclass(frozen=True, slots=True)
class Line:
    """One line a pupil writes.

    rule     its step, or "answer"; "" where nothing is done on it and nothing handed in
    title    its label
    expects  bits, or a word for an answer that is none
    hints    what to ask first, then the rule, then the line begun
    wrong    wrong writings a belief leads to, each with a question that lets the pupil doubt
    """

    rule: str
    title: str
    expects: str
    hints: tuple[str, str, str]
    wrong: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class PracticeQuestion:
    """A question with its lines."""

    working: Working
    lines: tuple[Line, ...]


def practice(lesson: Lesson) -> tuple[PracticeQuestion, ...]:
    """Return what is practised after *lesson*: the parallels of its parts, or else its own questions to try."""
    parallels = [working for part in lesson.parts for working in part.parallels]
    tried = [part.working for part in lesson.parts if part.working and part.kind in PRACTISED]
    chosen = parallels or tried or list(lesson.workings)
    return tuple(PracticeQuestion(working, tuple(lines_of(working))) for working in chosen)


def lines_of(working: Working) -> Iterator[Line]:
    """Yield the lines of *working* that are written in bits, then the answer.

    Every question of an operation has the same lines, so that they do not tell what happens in it: whether the sum is
    mended, normalised or left as it is, there is one line for its normal form.

    >>> from chalkpoint.working.work import work, work_by
    >>> [line.rule for line in lines_of(work("subtract", "8.875", "3.6875"))]
    ['align', 'negate', 'add', 'normalise', 'answer']
    >>> [line.title for line in lines_of(work("add", "6.5", "5.25"))] == [
    ...     line.title for line in lines_of(work("add", "6.5", "0.25"))]
    True
    """
    *lines, answer = _lines(working)
    added = next((at for at, line in enumerate(lines) if line.rule == "add"), None)
    if added is None:
        yield from (*lines, answer)
        return
    formed = [line for line in lines if line.rule in NORMAL_FORM]
    yield from lines[: added + 1]
    yield _normal_form(lines[added], formed)
    yield from (line for line in lines[added + 1 :] if line.rule not in NORMAL_FORM)
    yield answer


def _normal_form(added: Line, formed: list[Line]) -> Line:
    """Return the line for the sum's normal form; where nothing has to be done it is the sum, and is not handed in."""
    if not formed:
        hints = (prompts.FORM_HINT, prompts.FORM_RULE, begun(added.expects))
        return Line("", prompts.FORM, added.expects, hints, ())
    return replace(formed[-1], title=prompts.FORM)


def _lines(working: Working) -> Iterator[Line]:
    wrong = _wrong_lines(working)
    for step in working.steps[1:] if len(working.steps) > 1 else working.steps:
        bits = written_bits(step)
        if bits:
            first, *rest = sentences(step.detail)
            hints = (first, " ".join(rest) or first, begun(bits))
            yield Line(step.rule, step.title, bits, hints, tuple(wrong.get(step.rule, {}).items()))
    answer = working.result.bits or working.outcome
    hints = (prompts.ANSWER_HINT, prompts.ANSWER_RULE, begun(answer))
    yield Line(ANSWER, "Answer", answer, hints, tuple(wrong.get(ANSWER, {}).items()))


def practice_papers(lesson: Lesson) -> JsonObject:
    """Return what is practised as one paper of chalkpoint.papers/1, so that marking reads what pupils save.

    >>> from chalkpoint.teaching.lessonfile import lesson_from
    >>> lesson = lesson_from({"title": "Gauges", "part": [{"kind": "try", "question": "add 1.5, 2.5"}]})
    >>> papers = practice_papers(lesson)
    >>> papers["schema"], papers["papers"][0]["questions"][0]["operands"]
    ('chalkpoint.papers/1', ['01100000 0001', '01010000 0010'])
    """
    blueprint = Blueprint(f"{lesson.title}: practice", lesson.course, purpose="practice")
    items = tuple(_item(number, asked.working) for number, asked in enumerate(practice(lesson), start=1))
    paper = SetPaper(1, code_for(blueprint, 0, 1), items)
    return papers_set(blueprint, 0, [paper]).to_dict()


def _item(number: int, working: Working) -> Item:
    question = working.question
    candidate = Candidate(question, working, next(judge_in_turn([question])))
    scheme = scheme_for(question, working=working, fairness=candidate.fairness)
    return Item(number, question, scheme, "work", words_for(question, None), candidate)


def written_bits(step: Step) -> str:
    """Return the mantissa written last in *step*, or "" where it writes none."""
    return next((row.bits for row in reversed(step.rows) if row.bits and not row.soft), "")


def _wrong_lines(working: Working) -> dict[str, dict[str, str]]:
    """Return, by line, the wrong writings that beliefs lead to, the commonest belief's question with each."""
    question = working.question
    found: dict[str, dict[str, str]] = {}
    if not has_beliefs(working):
        return found
    right = {step.rule: written_bits(step) for step in working.steps}
    right[ANSWER] = working.result.bits or working.outcome
    base = method_named(question, working.method)
    for belief in sorted(beliefs_for(question.operation.name), key=lambda one: -one.weight):
        method = belief.method_for(question.operation.name, base)
        if method is None:
            continue
        faulty = work_by(question, method)
        written = {step.rule: written_bits(step) for step in faulty.steps}
        written[ANSWER] = faulty.result.bits or faulty.outcome
        for rule, bits in written.items():
            if bits and rule in right and bits != right[rule]:
                found.setdefault(rule, {}).setdefault(bits, belief.nudge)
    return found
