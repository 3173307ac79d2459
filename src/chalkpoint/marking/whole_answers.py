"""Marking by final answers: formats, and operations, whose lines are not judged one from another.

What is written as the scheme has it is right, in whatever spelling; the rest of the working, which may
follow from an earlier slip, is left to the teacher with what was expected.
"""

from __future__ import annotations

from chalkpoint.marking.manners import Answer
from chalkpoint.marking.points import Given
from chalkpoint.marking.reading import values_in
from chalkpoint.marking.rows import same_line
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.named import value_or_none
from chalkpoint.setting.answering import answer_format, final_answer
from chalkpoint.setting.marks import Mark
from chalkpoint.setting.papers import Asked
from chalkpoint.working.question import Question
from chalkpoint.working.work import work_question

__all__ = ["by_final_answer"]


def by_final_answer(asked: Asked, given: Given) -> tuple[Mark, ...]:
    """Return every point of *asked* marked, from the answer and from lines that are just what is expected."""
    question = asked.question
    if question.operation.name == "explain":
        return tuple(_in_words(point, given) for point in asked.points)
    expected = final_answer(work_question(question)).split("; ")[0]
    right = given.answer.readable and given.answer.spelling == expected
    return tuple(_left(_marked(asked, point, given, right=right), given) for point in asked.points)


def _in_words(point: Mark, given: Given) -> Mark:
    text = given.text.get(point.rule, "") or given.text.get("answer", "")
    if not text:
        return point.marked(0, "absent", "Nothing is written.")
    made = point.marked(0, "off", "", written=text)
    return made.waits("in words", f"For the teacher to decide. It may say: {point.expects}")


def _marked(asked: Asked, point: Mark, given: Given, *, right: bool) -> Mark:
    text = given.text.get(point.rule, "")
    if point.rule == "answer":
        if right:
            return point.marked(point.marks, "right", "Right.", written=text)
        why = f"{point.expects} was expected."
        made = point.marked(0, "off" if text else "absent", why, written=text)
        return (
            made.waits("an answer that may follow from the lines above", why)
            if text and not given.alone
            else made
        )
    if text and same_line(point.rule, point.expects, text, asked.question.course.point):
        return point.marked(point.marks, "right", "Right.", written=text)
    if point.rule == "decimal" and text and _of_own_answer(asked.question, text, given.answer):
        return point.marked(
            point.marks, "follow-through", "Read rightly from their own answer.", written=text
        )
    if right and asked.alone >= asked.marks:
        return point.marked(point.marks, "implied", "Not judged; the answer is right.", written=text)
    why = f"{point.expects} was expected; this line is not judged by itself."
    made = point.marked(0, "off" if text else "absent", why, written=text)
    return made.waits("a line that is not judged by itself", why) if text else made


def _left(mark: Mark, given: Given) -> Mark:
    """Return *mark*, left to the teacher where the answer cannot be read."""
    if mark.rule != "answer" or mark.given or mark.for_teacher or not mark.written or given.answer.readable:
        return mark
    return mark.not_read()


def _of_own_answer(question: Question, text: str, answer: Answer) -> bool:
    """Tell whether *text* has the value of the pattern the pupil answered with."""
    fmt = answer_format(question)
    try:
        own = value_or_none(fmt, fmt.read(answer.spelling))
    except EntryError:
        return False
    return own is not None and own in values_in(text, question.course.point)
