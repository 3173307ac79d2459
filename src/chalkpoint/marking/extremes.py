"""The four extreme values of a format, each judged by itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from chalkpoint.marking.expressions import value_of
from chalkpoint.marking.manners import Answer
from chalkpoint.marking.patterns import Reading
from chalkpoint.marking.points import earned
from chalkpoint.marking.rows import is_field, is_pattern
from chalkpoint.marking.slips import slip_between
from chalkpoint.marking.walk import Account, LineMark
from chalkpoint.numbers.families import FLOATING
from chalkpoint.numbers.formats import Pattern
from chalkpoint.numbers.named import AnyPattern
from chalkpoint.setting.marks import Mark
from chalkpoint.setting.papers import Asked
from chalkpoint.working.beliefs.catalogue import beliefs_for
from chalkpoint.working.beliefs.families import family_of
from chalkpoint.working.procedures import begin, right_method
from chalkpoint.working.question import Question

__all__ = ["asks_for_value", "extreme_points", "extremes_of", "judge_extremes"]


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


# === Their points ===


def extreme_points(asked: Asked, account: Account, answers: Mapping[str, Answer]) -> tuple[Mark, ...]:
    """Return the points of the four extremes: each field is held against its own, whatever the other is."""
    by_line = {mark.line: mark for mark in account.marks}
    return tuple(
        _extreme(asked.question, point, by_line[point.rule], answers.get(point.rule, Answer()))
        for point in asked.points
    )


def asks_for_value(question: Question, point: Mark) -> bool:
    """Tell whether a point of a range is for a value, as a scheme written by hand may have it, and not for bits."""
    digits = point.expects.replace(" ", "").replace(".", "")
    return not point.part and not (len(digits) == question.format.bits and set(digits) <= {"0", "1"})


def _extreme(question: Question, point: Mark, mark: LineMark, answer: Answer) -> Mark:
    entry = answer.reading
    if not mark.written or entry is None:
        return point.marked(0, "absent", f"Not written; {point.expects} was expected.", written=mark.written)
    if asks_for_value(question, point):
        return _extreme_value(question, point, mark, answer)
    if mark.status == "right" or (
        entry.bare and entry.exponent and is_field(entry, point.expects, point.part)
    ):
        return point.marked(point.marks, "right", "Right.", written=mark.written)
    return earned(point, mark.status, mark)


def _extreme_value(question: Question, point: Mark, mark: LineMark, answer: Answer) -> Mark:
    """Return the point of an extreme whose value is asked for: its right pattern alone is the teacher's."""
    right = point.marked(point.marks, "right", "Right.", written=mark.written)
    if value_of(point.expects, question.course.point) in answer.values:
        return right
    if mark.status == "right" and not answer.values:
        manner = "pattern without its value"
        why = f"Right but for its manner: {manner}; {point.expects} was expected."
        if manner in question.course.takes:
            return right
        held = replace(right, given=0, status="off", why=why)
        return held if manner in question.course.refuses else held.waits(manner, why)
    return replace(right, given=0, status="off", why=f"{point.expects} was expected.")
