"""Converting between formats: the pattern is read in one, and its value stored in the other."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from chalkpoint.numbers.families import SIZES
from chalkpoint.numbers.named import value_or_none
from chalkpoint.working.check import check_special
from chalkpoint.working.question import OPERATIONS, Question
from chalkpoint.working.steps import Loss, Step
from chalkpoint.working.wording.converting import special_words
from chalkpoint.working.working import Working
from chalkpoint.working.written import Written

__all__ = ["convert"]


def convert(question: Question, work_question: Callable[[Question], Working]) -> Working:
    """Return the working that reads a pattern and stores its value in the target's format.

    work_question  works the reading and the storing

    >>> from chalkpoint.working.work import work
    >>> work("convert", "0.1010000 0011", "6+4").check.exact
    Fraction(5, 1)
    """
    (pattern,) = question.patterns
    reading = work_question(
        Question(OPERATIONS["decode"], question.course, question.format, (pattern,), given=question.given)
    )
    value = value_or_none(question.format, pattern)
    if value is None:
        return _special(question, reading)
    return _stored(question, reading, value, work_question)


def _stored(
    question: Question, reading: Working, value: Fraction, work_question: Callable[[Question], Working]
) -> Working:
    target = question.target or question.course
    storing = work_question(Question(OPERATIONS["encode"], target, target.number_format, value=value))
    offset = len(reading.steps)
    steps = [*reading.steps, *(_follow(step, offset) for step in storing.steps)]

    def losses(working: Working) -> tuple[Loss, ...]:
        """Return what the storing lost."""
        return tuple(loss_at(loss, offset) for loss in storing.losses)

    return Working(
        question, storing.method, tuple(steps), storing.outcome, storing.pattern, storing.check, losses
    )


def loss_at(loss: Loss, offset: int) -> Loss:
    """Return *loss* counted in a longer working."""
    return Loss(loss.step + offset, loss.rule, loss.bits, loss.worth)


def _follow(step: Step, offset: int) -> Step:
    """Return *step* behind *offset* others, its name told apart from theirs."""

    def write(_: Step) -> Written:
        return step.written

    return Step(step.number + offset, f"store-{step.rule}", step.before, step.after, write)


def _special(question: Question, reading: Working) -> Working:
    """Return the working of an infinity or no number: the target's own pattern for it, or a word."""
    target = question.target or question.course
    (pattern,) = question.patterns
    word, fmt = question.size_format.kind(pattern), target.number_format
    answer = None
    if fmt.family == SIZES:
        answer = fmt.infinity if word == "infinity" else fmt.nan
    if answer is not None:
        answer = answer._replace(sign=pattern.sign)
    step = Step(len(reading.steps) + 1, "store-special", pattern, answer, special_words(fmt, word))
    exact = "minus infinity" if word == "infinity" and pattern.sign else word
    checked = check_special(exact, answer, target)
    return Working(question, "", (*reading.steps, step), word, answer, checked)
