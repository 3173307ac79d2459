"""Working a question by what is declared of its operation: one runner for them all."""

from __future__ import annotations

from chalkpoint.working.check import Check, check, check_special
from chalkpoint.working.losing import no_losses
from chalkpoint.working.methods import Method
from chalkpoint.working.operations.declaration import Declaration, Ending
from chalkpoint.working.operations.declared import composed, declared
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Step
from chalkpoint.working.working import Working

__all__ = ["work_by", "work_question"]


def work_question(question: Question) -> Working:
    """Return *question* worked by its course's method.

    Raises EntryError where the operation is not worked in the question's format, or has no answer there.
    """
    made_of = composed(question.operation.name)
    return work_by(question) if made_of is None else made_of.work(question, work_question)


def work_by(question: Question, method: Method | None = None) -> Working:
    """Return *question* worked line by line by *method*, which may be faulty; by the course's own by default."""
    declaration = declared(question.operation.name, question.format)
    declaration.refuse(question)
    chosen = declaration.suit(method or declaration.method(question.course, ""), question)
    trail = chosen.trail(declaration.begin(question), declaration.context(question))
    last = trail[-1].after
    ending = declaration.end(last, question)
    write = declaration.writer(question, chosen)
    steps: list[Step] = []
    for entry in trail:
        unchanged = entry.line.optional and entry.after == entry.before
        if not unchanged and declaration.written(entry, last, question):
            steps.append(Step(len(steps) + 1, *declaration.shown(entry, question), write))
    faulty = chosen.right is not None  # lost bits account for the error of right rules only
    return Working(
        question,
        declaration.called(chosen, question.course),
        tuple(steps),
        ending.outcome,
        ending.pattern,
        _checked(declaration, question, ending),
        no_losses if faulty else declaration.losses,
        dict(ending.extremes),
        faulty=faulty,
    )


def _checked(declaration: Declaration, question: Question, ending: Ending) -> Check:
    course = declaration.judged_under(question)
    exact = declaration.exact(question)
    if isinstance(exact, str):
        return check_special(exact, ending.pattern, course)
    return check(exact, ending.outcome, ending.pattern, course)
