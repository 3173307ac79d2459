"""The four extreme values of a format, each judged by itself."""

from __future__ import annotations

from collections.abc import Mapping

from chalkpoint.marking.answer import Answer
from chalkpoint.marking.reading import Reading, is_pattern
from chalkpoint.marking.slips import slip_between
from chalkpoint.marking.walk import LineMark
from chalkpoint.numbers.families import FLOATING
from chalkpoint.numbers.formats import Pattern
from chalkpoint.numbers.named import AnyPattern
from chalkpoint.working.beliefs.catalogue import beliefs_for
from chalkpoint.working.extremes import RANGING
from chalkpoint.working.procedures import begin, right_method
from chalkpoint.working.question import Question

__all__ = ["extremes_of", "judge_extremes"]


def judge_extremes(question: Question, answers: Mapping[str, Answer]) -> tuple[LineMark, ...]:
    """Return each extreme judged, from the *answers* by name."""
    right = right_method("range", question.course).finish(begin(question), question.format)
    mark = _mark if question.format.family == FLOATING else _mark_in_family
    return tuple(
        mark(question, name, answers.get(name, Answer()), right[name]) for name in extremes_of(question)
    )


def extremes_of(question: Question) -> tuple[str, ...]:
    """Return the names of the extremes that the format has: no least negative one where it has no sign."""
    return tuple(line.name for line in right_method("range", question.course).lines)


def _mark_in_family(question: Question, name: str, answer: Answer, right: AnyPattern) -> LineMark:
    """Return an extreme judged in a family for which no belief about its range is told."""
    fmt = question.format
    expects = fmt.write(right)
    entry = answer.reading
    if entry is None:
        return LineMark(name, "", "absent", expects=expects)
    fine = answer.readable and not answer.several and answer.spelling == expects
    slip = "" if fine else slip_between(entry.bare, expects.replace(" ", ""))
    return LineMark(name, entry.text, "right" if fine else "off", expects=expects, own=expects, slip=slip)


def _mark(question: Question, name: str, answer: Answer, right: Pattern) -> LineMark:
    fmt = question.float_format
    expects = fmt.write(right, point=True)
    entry = answer.reading
    if entry is None:
        return LineMark(name, "", "absent", expects=expects)
    if _is(entry, right, question):
        return LineMark(name, entry.text, "right", expects=expects, own=expects)
    among = []
    for belief in beliefs_for("range"):
        method = belief.method_for("range", RANGING)
        if method is None or method.rules[name] is RANGING.rules[name]:
            continue
        pattern = method.rules[name]({}, fmt)[name]
        if _is(entry, pattern, question):
            among.append(belief.id)
    slip = "" if among else slip_between(entry.bare + entry.exponent, fmt.write(right).replace(" ", ""))
    status = "misconception" if among else "off"
    return LineMark(name, entry.text, status, expects=expects, own=expects, among=tuple(among), slip=slip)


def _is(entry: Reading, pattern: Pattern, question: Question) -> bool:
    fmt = question.float_format
    if is_pattern(entry, pattern, fmt):
        return True
    return entry.value is not None and not entry.exponent and entry.value == fmt.value(pattern)
