"""The four extreme values of a format, each judged by itself."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from chalkpoint.marking.manners import Answer
from chalkpoint.marking.patterns import Reading
from chalkpoint.marking.rows import is_pattern
from chalkpoint.marking.slips import slip_between
from chalkpoint.marking.walk import LineMark
from chalkpoint.numbers.families import FLOATING
from chalkpoint.numbers.formats import Pattern
from chalkpoint.numbers.named import AnyPattern
from chalkpoint.working.beliefs.catalogue import beliefs_for
from chalkpoint.working.beliefs.families import family_of
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
    """Return an extreme judged in a family whose patterns are not a mantissa and an exponent."""
    fmt = question.format
    expects = fmt.write(right)
    entry = answer.reading
    if entry is None:
        return LineMark(name, "", "absent", expects=expects)
    one = answer.readable and not answer.several
    if one and answer.spelling == expects:
        return LineMark(name, entry.text, "right", expects=expects, own=expects)
    faulty = _faulty_ends(name, question) if one else {}
    among = tuple(belief for belief, pattern in faulty.items() if fmt.write(pattern) == answer.spelling)
    slip = "" if among else slip_between(entry.bare, expects.replace(" ", ""))
    status = "misconception" if among else "off"
    return LineMark(name, entry.text, status, expects=expects, own=expects, among=among, slip=slip)


def _faulty_ends(name: str, question: Question) -> dict[str, Any]:
    """Return what each belief that acts on the end called *name* writes there."""
    base, family = right_method("range", question.course), family_of(question.format)
    found: dict[str, Any] = {}
    for belief in beliefs_for("range", family):
        method = belief.method_for("range", base, family)
        if method is not None and method.rules[name] is not base.rules[name]:
            found[belief.id] = method.rules[name]({}, question.format)[name]
    return found


def _mark(question: Question, name: str, answer: Answer, right: Pattern) -> LineMark:
    fmt = question.float_format
    expects = fmt.write(right, point=True)
    entry = answer.reading
    if entry is None:
        return LineMark(name, "", "absent", expects=expects)
    if _is(entry, right, question):
        return LineMark(name, entry.text, "right", expects=expects, own=expects)
    faulty = _faulty_ends(name, question)
    among = [belief for belief, pattern in faulty.items() if _is(entry, pattern, question)]
    slip = "" if among else slip_between(entry.bare + entry.exponent, fmt.write(right).replace(" ", ""))
    status = "misconception" if among else "off"
    return LineMark(name, entry.text, status, expects=expects, own=expects, among=tuple(among), slip=slip)


def _is(entry: Reading, pattern: Pattern, question: Question) -> bool:
    fmt = question.float_format
    if is_pattern(entry, pattern, fmt):
        return True
    return entry.value is not None and not entry.exponent and entry.value == fmt.value(pattern)
