"""Answers in doubt: right but for their manner, left in binary, several at once, or not to be read."""

from __future__ import annotations

from dataclasses import replace

from chalkpoint.marking.answer import read_answer
from chalkpoint.marking.by_lines import marked_by_lines
from chalkpoint.marking.doubts import is_left_in_binary
from chalkpoint.marking.expressions import value_of
from chalkpoint.marking.judging import is_followed
from chalkpoint.marking.manners import MANNERS, Answer, is_own_value
from chalkpoint.marking.points import Given
from chalkpoint.marking.question_marks import QuestionMarks, either, ruled
from chalkpoint.marking.reading import read_place
from chalkpoint.marking.whole_answers import marked_by_answer
from chalkpoint.setting.answering import final_answer
from chalkpoint.setting.papers import Asked
from chalkpoint.working.question import Question
from chalkpoint.working.work import work_question

__all__ = ["by_manner", "if_read", "left_in_binary", "without_choice"]


def by_manner(asked: Asked, marked: QuestionMarks, given: Given) -> QuestionMarks:
    """Return *marked*, what is written in another manner than asked for left to the teacher."""
    course, manners = asked.question.course, given.answer.manners
    open_manners = [manner for manner in manners if manner not in course.takes]
    if not open_manners or is_own_value(asked.question, given.answer):
        return marked
    if "value without its pattern" in open_manners and asked.question.operation.name != "error":
        if _shows_bits(asked.question, given):
            return marked
        text = {line: one for line, one in given.text.items() if line != "answer"}
        text["decimal"] = given.text.get("decimal", "") or given.text["answer"]
        strict, group = _marked_as(asked, Given(text, Answer())), open_manners[-1]
        return either(
            marked, strict, group, f"Right but for its manner: {group}", refused=group in course.refuses
        )
    lost = {part for manner in open_manners for part in MANNERS[manner]}
    group = " and ".join(open_manners)
    points = tuple(
        ruled(asked, point, group) if point.rule == "answer" and point.part in {"", *lost} else point
        for point in marked.points
    )
    return replace(marked, points=points)


def _shows_bits(question: Question, given: Given) -> bool:
    """Tell whether some line of working shows a row of bits, which a value as the answer may then replace."""
    lines = ((line, text) for line, text in given.text.items() if line not in {"answer", "decimal"})
    return any(row.bare for line, text in lines for row in read_place(question, line, text))


def left_in_binary(asked: Asked, marked: QuestionMarks, given: Given) -> QuestionMarks:
    """Return *marked*, where a value was left in binary: what it implies of the way there is the teacher's."""
    work = [point for point in asked.points if point.rule == "answer"]
    value = value_of(work[0].expects, asked.question.course.point) if work else None
    if asked.question.operation.name != "decode" or value is None or marked.marks or not given.alone:
        return marked
    if not is_left_in_binary(given.text.get("answer", ""), value):
        return marked
    why = f"The answer was left in binary; {work[0].expects} was expected."
    points = (
        point if point.rule == "answer" else point.waits("left in binary", why) for point in marked.points
    )
    return replace(marked, points=tuple(points))


def without_choice(asked: Asked, marked: QuestionMarks, given: Given) -> QuestionMarks:
    """Return the marks of several answers: strictly none is chosen, leniently the best of them."""
    text = {line: one for line, one in given.text.items() if line != "answer"}
    strict = _marked_as(asked, Given(text, Answer()))
    each = [
        _marked_as(asked, Given({**text, "answer": one}, read_answer(asked.question, one)))
        for one in given.answer.several
    ]
    lenient, several = max((marked, *each), key=lambda one: one.most), given.answer.several
    return either(
        lenient,
        strict,
        "several answers",
        f"{len(several)} answers are written: {', '.join(several)}",
        chosen=False,
    )


def if_read(asked: Asked, marked: QuestionMarks, given: Given) -> QuestionMarks:
    """Return *marked*, where an answer cannot be read: what it would imply, were it right, is the teacher's too."""
    right = final_answer(work_question(asked.question)).split("; ")[0]
    text = {**given.text, "answer": right}
    lenient = _marked_as(asked, Given(text, read_answer(asked.question, right)))
    points = (
        less.not_read(given.text["answer"], could=more.most)
        if more.most > less.most and not less.given
        else less
        for less, more in zip(marked.points, lenient.points, strict=True)
    )
    return replace(marked, points=tuple(points))


def _marked_as(asked: Asked, given: Given) -> QuestionMarks:
    if not given.text:
        points = tuple(point.marked(0, "absent", "Nothing else is written.") for point in asked.points)
        return QuestionMarks(asked, points)
    return marked_by_lines(asked, given) if is_followed(asked.question) else marked_by_answer(asked, given)
