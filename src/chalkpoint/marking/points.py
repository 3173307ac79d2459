"""A point of a scheme, marked: what is earned, why, and what is left to the teacher.

Sources of the rules: method, accuracy and independent marks, follow-through and dependence as in the
mark-scheme glossaries of mathematics awarding bodies; what is done with doubtful cases is this
project's own: they earn nothing yet and are flagged for the teacher, with the marks either ruling gives.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from chalkpoint.marking.manners import Answer
from chalkpoint.marking.reading import read_place, values_in
from chalkpoint.marking.walk import LineMark
from chalkpoint.setting.marks import Mark
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.question import Question

__all__ = ["Given", "earned", "reason", "unread"]

LOST_SIGN = re.compile(r"\?[01.]|\^\s*\?|[;,]\s*\?+\s*$")  # a question mark in a digit's place
GIVEN = {"right", "follow-through", "implied"}


@dataclass(frozen=True)
class Given:
    """What a pupil wrote to one question.

    text    by line, as it was written
    answer  the answer, read
    """

    text: Mapping[str, str]
    answer: Answer

    @property
    def alone(self) -> bool:
        """Whether no line of working is written."""
        return set(self.text) <= {"answer", "decimal"}


def earned(point: Mark, status: str, mark: LineMark) -> Mark:
    """Return what a status earns at a point."""
    made = point.marked(point.marks, status, reason(status, mark), written=mark.written, among=mark.among)
    if status == "follow-through" and not point.follows and point.kind != "M":
        return replace(made, given=0, why=f"{made.why} This mark is for the right value only.")
    if status == "recovered" and point.kind != "M":
        return made.waits("right, but not from the line above", made.why)
    if status == "off" and mark.slip and point.kind == "M":
        return made.waits(f"a slip: {mark.slip}", made.why)
    return made if status in GIVEN or status == "recovered" else replace(made, given=0)


def reason(status: str, mark: LineMark) -> str:
    """Return in words why a line has its status."""
    names = " or ".join(f"\u201c{BELIEFS[name].says}\u201d ({name})" for name in mark.among[:3])
    slip = f" A slip would give it: {mark.slip}." if mark.slip else ""
    after = (
        "From the line before, " if mark.own != mark.expects else ""
    )  # a line of the pupil's own, gone astray
    return {
        "right": "Right.",
        "follow-through": f"Right from the line before it; {mark.expects} would be right.",
        "recovered": "Right, but it does not follow from the line above.",
        "misconception": f"Just what this gives: {names}. {after}{mark.own} was expected.",
        "copied": f"The row above, copied; {mark.own} was expected.",
        "off": f"{mark.own} was expected.{slip}",
    }[status]


def unread(question: Question, mark: Mark) -> Mark:
    """Return *mark*, left to the teacher where something is written that cannot be read."""
    blank = not any(sign.isalnum() for sign in mark.written)  # a dash or a question mark is as good as one
    if blank or mark.given or mark.for_teacher or _can_be_read(question, mark):
        return mark
    return mark.not_read()


def _can_be_read(question: Question, mark: Mark) -> bool:
    if mark.rule == "decimal":
        return bool(values_in(mark.written, question.course.point))
    if LOST_SIGN.search(mark.written):
        return False
    readings = read_place(question, mark.rule, mark.written)
    return bool(readings) and all(reading.says_something for reading in readings)
