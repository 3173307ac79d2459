"""The four extreme values of a format, each judged by itself."""

from __future__ import annotations

from collections.abc import Mapping

from chalkpoint.marking.answer import Answer
from chalkpoint.marking.reading import Reading, is_pattern
from chalkpoint.marking.slips import slip_between
from chalkpoint.marking.walk import LineMark
from chalkpoint.numbers.formats import Pattern
from chalkpoint.working.beliefs.catalogue import beliefs_for
from chalkpoint.working.extremes import RANGING
from chalkpoint.working.question import Question

__all__ = ["judge_extremes"]


def judge_extremes(question: Question, answers: Mapping[str, Answer]) -> tuple[LineMark, ...]:
    """Return each extreme judged, from the *answers* by name."""
    right = RANGING.finish({}, question.format)
    names = [line.name for line in RANGING.lines]
    return tuple(_mark(question, name, answers.get(name, Answer()), right[name]) for name in names)


def _mark(question: Question, name: str, answer: Answer, right: Pattern) -> LineMark:
    fmt = question.format
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
    fmt = question.format
    if is_pattern(entry, pattern, fmt):
        return True
    return entry.value is not None and not entry.exponent and entry.value == fmt.value(pattern)
