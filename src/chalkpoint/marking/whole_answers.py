"""Marking what has no lines that are judged one from another: an answer in words, and what a division by 0 comes to."""

from __future__ import annotations

from chalkpoint.marking.points import Given, unread
from chalkpoint.marking.question_marks import QuestionMarks
from chalkpoint.marking.walk import Account
from chalkpoint.setting.answering import final_answer
from chalkpoint.setting.marks import Mark
from chalkpoint.setting.papers import Asked
from chalkpoint.working.methods import Method
from chalkpoint.working.work import work_question

__all__ = ["marked_by_answer"]


def marked_by_answer(asked: Asked, given: Given) -> QuestionMarks:
    """Return the marks of a question whose lines are not judged one from another."""
    points = _points(asked, given)
    wrong = next((point.rule for point in points if point.rule == "answer" and point.status != "right"), "")
    return QuestionMarks(asked, points, wrong, account=Account(Method("", "", (), {})))


def _points(asked: Asked, given: Given) -> tuple[Mark, ...]:
    """Return every point of *asked* marked: the answer by itself, and whatever else is written left to the teacher."""
    if asked.question.operation.name == "explain":
        return tuple(_in_words(point, given) for point in asked.points)
    right = given.answer.readable and given.answer.spelling == final_answer(work_question(asked.question))
    return tuple(_marked(asked, point, given, right=right) for point in asked.points)


def _in_words(point: Mark, given: Given) -> Mark:
    text = given.text.get(point.rule, "") or given.text.get("answer", "")
    if not text:
        return point.marked(0, "absent", "Nothing is written.")
    made = point.marked(0, "off", "", written=text)
    return made.waits("in words", f"For the teacher to decide. It may say: {point.expects}")


def _marked(asked: Asked, point: Mark, given: Given, *, right: bool) -> Mark:
    text, why = given.text.get(point.rule, ""), f"{point.expects} was expected."
    if not text:
        return point.marked(0, "absent", why)
    if point.rule != "answer":
        return point.marked(0, "off", why, written=text).waits("a line that is not judged by itself", why)
    if right:
        return point.marked(point.marks, "right", "Right.", written=text)
    return unread(asked.question, point.marked(0, "off", why, written=text))
