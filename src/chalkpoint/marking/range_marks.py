"""Marks for a range: each extreme by itself, a field at a time."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from chalkpoint.marking.answer import read_answer
from chalkpoint.marking.expressions import value_of
from chalkpoint.marking.extremes import extremes_of, judge_extremes
from chalkpoint.marking.manners import MANNERS, Answer
from chalkpoint.marking.points import earned, unread
from chalkpoint.marking.question_marks import QuestionMarks, ruled
from chalkpoint.marking.rows import is_field
from chalkpoint.marking.walk import Account, LineMark
from chalkpoint.setting.marks import Mark
from chalkpoint.setting.papers import Asked
from chalkpoint.working.procedures import right_method
from chalkpoint.working.question import Question

__all__ = ["marked_by_extremes"]


def marked_by_extremes(asked: Asked, given: Mapping[str, str]) -> QuestionMarks:
    """Return the marks for the four extreme values, a field at a time."""
    question = asked.question
    notes, answers, names = [], {}, extremes_of(question)
    for name, text in given.items():
        line = names[0] if name == "answer" else name.replace("-", " ").replace("_", " ")
        if line not in names:
            notes.append(f"not marked: {name!r} is no extreme; they are {', '.join(names)}")
        elif line not in answers or name != "answer":
            answers[line] = read_answer(question, text, line)
    account, points = _extreme_marks(asked, answers)
    points = tuple(unread(question, _extreme_ruled(asked, mark, answers)) for mark in points)
    first = account.first_wrong
    return QuestionMarks(asked, points, first.line if first else "", "", "", account, tuple(notes))


def _extreme_marks(asked: Asked, answers: Mapping[str, Answer]) -> tuple[Account, tuple[Mark, ...]]:
    marks = judge_extremes(asked.question, answers)
    account = Account(right_method("range", asked.question.course), list(marks))
    return account, _extreme_points(asked, account, answers)


def _extreme_ruled(asked: Asked, mark: Mark, answers: Mapping[str, Answer]) -> Mark:
    """Return a field of an extreme, withheld where its manner or a second answer leaves it to the teacher."""
    answer = answers.get(mark.rule, Answer())
    if answer.several:
        each = ({mark.rule: read_answer(asked.question, one, mark.rule)} for one in answer.several)
        best = max(
            other.given for one in each for other in _extreme_marks(asked, one)[1] if other.name == mark.name
        )
        why = f"Several are written: {', '.join(answer.several)}."
        return replace(mark, status="off").waits("several answers", why, could=best) if best else mark
    if _asks_for_value(asked.question, mark):
        return mark
    manners = [manner for manner in answer.manners if manner not in asked.question.course.takes]
    lost = {part for manner in manners for part in MANNERS[manner]}
    return ruled(asked, mark, " and ".join(manners)) if mark.part in {"", *lost} and manners else mark


def _extreme_points(asked: Asked, account: Account, answers: Mapping[str, Answer]) -> tuple[Mark, ...]:
    """Return the points of the four extremes: each field is held against its own, whatever the other is."""
    by_line = {mark.line: mark for mark in account.marks}
    return tuple(
        _extreme(asked.question, point, by_line[point.rule], answers.get(point.rule, Answer()))
        for point in asked.points
    )


def _asks_for_value(question: Question, point: Mark) -> bool:
    """Tell whether a point of a range is for a value, as a scheme written by hand may have it, and not for bits."""
    digits = point.expects.replace(" ", "").replace(".", "")
    return not point.part and not (len(digits) == question.format.bits and set(digits) <= {"0", "1"})


def _extreme(question: Question, point: Mark, mark: LineMark, answer: Answer) -> Mark:
    entry = answer.reading
    if not mark.written or entry is None:
        return point.marked(0, "absent", f"Not written; {point.expects} was expected.", written=mark.written)
    if _asks_for_value(question, point):
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
