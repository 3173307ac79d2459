"""One distinct line judged: right, right elsewhere, what rules give it, or nothing known here.

A line is judged from the board, whoever wrote it and however many did; the judgement is kept,
so a class of 300 with 12 distinct lines costs 12 judgements.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from chalkpoint.marking.judgement import Judgement
from chalkpoint.marking.judging import judge_question, method_elsewhere
from chalkpoint.marking.lines_ahead import ANSWER, lines_on
from chalkpoint.marking.saying import EVIDENCE
from chalkpoint.marking.walk import LineMark
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.course import Course
from chalkpoint.working.methods import METHODS
from chalkpoint.working.question import Question, ask_line
from chalkpoint.working.wording.words_pupils import METHOD_WORDS

__all__ = ["FAULTS", "Judged", "Thought", "judge_line"]

#: Kinds of line that are right under no rules known here but faulty ones, or under none.
FAULTS = ("misconception", "slip", "copied", "off")
KEPT_JUDGEMENTS = 8192


@dataclass(frozen=True, slots=True)
class Thought:
    """One explanation of a line.

    kind      "rule" (the right one), "method" or "convention" (no fault), "belief" or "slip"
    name      the method's name or the belief's id; "" for a rule, a convention or a slip
    says      it in words: a belief as a pupil would put it
    evidence  for a belief, what it rests on
    """

    kind: str
    name: str
    says: str
    evidence: str = ""


@dataclass(frozen=True, slots=True)
class Judged:
    """What can be said of one line.

    kind      "right"; "follow-through" (right from a wrong line on the board); "recovered" (the right working's
              line, though the line on the board would not give it); "right elsewhere" (by another method or
              convention); "misconception"; "slip"; "copied"; "off" (unexplained)
    thoughts  every explanation known here
    expects   what the right rules write from the board
    """

    kind: str
    thoughts: tuple[Thought, ...]
    expects: str


@lru_cache(KEPT_JUDGEMENTS)
def judge_line(
    course: Course, asked: str, kept: tuple[tuple[str, str], ...], rule: str, spelling: str
) -> Judged:
    """Return what can be said of the line *rule* written *spelling* after the lines *kept*.

    asked     the question as a line
    kept      (rule, written) for each line on the board
    spelling  the line in the one spelling of `read_line`

    >>> board = (("align", "0.0011101"),)
    >>> said = judge_line(Course(), "subtract 8.875, 3.6875", board, "negate", "1.1100010")
    >>> said.kind, [thought.name or thought.says for thought in said.thoughts], said.expects
    ('misconception', ['invert-only', 'a slip: one bit changed'], '1.1100011 × 2^4')
    """
    question = ask_line(asked, course=course)
    board = dict(kept)
    lines, answer = (board, spelling) if rule == ANSWER else (board | {rule: spelling}, "")
    judgement = judge_question(question, lines, answer)
    mark = judgement.line(rule)
    if mark is None:  # a line that is written only where the right working needs it, judged as unexplained
        return Judged("off", (), "")
    kind = _kind(judgement, mark)
    return Judged(kind, tuple(_thoughts(question, board, judgement, mark, kind)), mark.own or mark.expects)


def _kind(judgement: Judgement, mark: LineMark) -> str:
    if mark.status == "off" and mark.slip:
        return "slip"
    if mark.status == "right" and (judgement.elsewhere or _accepted(judgement)):
        return "right elsewhere"
    return mark.status


def _accepted(judgement: Judgement) -> bool:
    """Tell whether it is right by a method that the course accepts beside its own."""
    return judgement.method in METHODS and judgement.method != judgement.question.course.method


def _thoughts(
    question: Question, board: dict[str, str], judgement: Judgement, mark: LineMark, kind: str
) -> Iterator[Thought]:
    if kind == "right elsewhere":
        yield from _elsewhere(judgement)
        if not board or judge_question(question, board, "").right:
            yield from map(_belief, judgement.among)
    elif kind in {"right", "follow-through"}:
        yield Thought("rule", "", _rule(question, board, mark.line))
    else:
        yield from map(_belief, mark.among)
        if mark.slip:
            yield Thought("slip", "", f"a slip: {mark.slip}")


def _elsewhere(judgement: Judgement) -> Iterator[Thought]:
    if not judgement.elsewhere:
        yield Thought("method", judgement.method, METHODS[judgement.method].words)
    for words in judgement.elsewhere:
        name = next((name for name in METHODS if words == method_elsewhere(name)), "")
        if name:
            yield Thought("method", name, METHODS[name].words)
        else:
            yield Thought("convention", "", words)


def _belief(name: str) -> Thought:
    belief = BELIEFS[name]
    return Thought("belief", name, belief.says, EVIDENCE[belief.evidence])


def _rule(question: Question, board: dict[str, str], rule: str) -> str:
    """Return the right rule of a line in words; for an answer, the method in a few."""
    if rule == ANSWER:
        method = METHODS.get(question.course.method)
        return (
            method.words
            if method and question.operation.name in {"add", "subtract"}
            else METHOD_WORDS["rules"]
        )
    return next((line.detail for line in lines_on(question, board) if line.rule == rule), "")
