"""A point of a scheme, marked: what is earned, why, and what is left to the teacher.

Sources of the rules: method, accuracy and independent marks, follow-through and dependence as in the
mark-scheme glossaries of mathematics awarding bodies; what is done with doubtful cases is this
project's own: they earn nothing yet and are flagged for the teacher, with the marks either ruling gives.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from chalkpoint.marking.manners import Answer
from chalkpoint.marking.reading import read_place, values_in
from chalkpoint.marking.walk import LineMark
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.setting.schemes import Mark
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.question import Question

__all__ = ["Given", "PointMark", "earned", "reason", "unread"]

GIVEN = {"right", "follow-through", "implied"}


@dataclass(frozen=True, slots=True)
class PointMark:
    """One point of a scheme, marked.

    point        the point
    marks        what is given
    status       right, follow-through, recovered, misconception, copied, off, implied or absent
    why          the reason in words
    for_teacher  whether a person should decide
    written      what the pupil wrote there
    among        beliefs whose rule gives exactly that
    was          the marks before a teacher's decision, or None where there was none
    could        the marks it has if the teacher rules for the pupil; None where nothing is to be decided
    group        what is to be decided, in words that are the same for every pupil it is alike for; or ""
    """

    point: Mark
    marks: int
    status: str
    why: str
    for_teacher: bool = False
    written: str = ""
    among: tuple[str, ...] = ()
    was: int | None = None
    could: int | None = None
    group: str = ""

    @property
    def most(self) -> int:
        """The marks it has if everything is ruled for the pupil."""
        return max(self.marks, self.could) if self.for_teacher and self.could is not None else self.marks

    def waits(self, group: str, why: str, *, could: int | None = None) -> PointMark:
        """Return the point without marks, left to the teacher, who may give it *could* (all of them)."""
        could = self.point.marks if could is None else could
        return replace(self, marks=0, why=why, for_teacher=True, could=could, group=group)

    def not_read(self, written: str = "", *, could: int | None = None) -> PointMark:
        """Return the point left to the teacher, since what is *written*, there or as the answer, cannot be read."""
        written = written or self.written
        why = f"\u201c{written}\u201d cannot be read; {self.point.expects} was expected."
        return replace(self, written=written).waits("cannot be read", why, could=could)

    def to_dict(self) -> JsonObject:
        """Return the entry of chalkpoint.marks/1."""
        entry: JsonObject = {
            "rule": self.point.rule,
            "marks": self.marks,
            "of": self.point.marks,
            "status": self.status,
            "why": self.why,
            "for_teacher": self.for_teacher,
        }
        if self.point.part:
            entry["part"] = self.point.part
        if self.was is not None:
            entry["was"] = self.was
        if self.for_teacher:
            entry["could"] = self.most
        if self.group:
            entry["group"] = self.group
        return entry


@dataclass(frozen=True)
class Given:
    """What a pupil wrote to one question.

    text    by line, as it was written
    answer  what stands in the answer's place, read
    """

    text: Mapping[str, str]
    answer: Answer

    @property
    def alone(self) -> bool:
        """Whether no line of working is written."""
        return set(self.text) <= {"answer", "decimal"}


def earned(point: Mark, status: str, mark: LineMark) -> PointMark:
    """Return what a status earns at a point."""
    made = PointMark(point, point.marks, status, reason(status, mark), written=mark.written, among=mark.among)
    if status == "follow-through" and not point.follows and point.kind != "M":
        return replace(made, marks=0, why=f"{made.why} This mark is for the right value only.")
    if status == "recovered" and point.kind != "M":
        return made.waits("right, but not from the line above", made.why)
    if status == "off" and mark.slip and point.kind == "M":
        return made.waits(f"a slip: {mark.slip}", made.why)
    return made if status in GIVEN or status == "recovered" else replace(made, marks=0)


def reason(status: str, mark: LineMark) -> str:
    """Return in words why a line has its status."""
    names = " or ".join(f"\u201c{BELIEFS[name].says}\u201d ({name})" for name in mark.among[:3])
    slip = f" A slip would give it: {mark.slip}." if mark.slip else ""
    return {
        "right": "Right.",
        "follow-through": f"Right from the line before it; {mark.expects} would be right.",
        "recovered": "Right, but it does not follow from the line above.",
        "misconception": f"Just what this gives: {names}. From the line before, {mark.own} was expected.",
        "copied": f"The row above, copied; {mark.own} was expected.",
        "off": f"{mark.own} was expected.{slip}",
    }[status]


def unread(question: Question, mark: PointMark) -> PointMark:
    """Return *mark*, left to the teacher where something is written that cannot be read."""
    blank = not any(sign.isalnum() for sign in mark.written)  # a dash or a question mark is as good as one
    if blank or mark.marks or mark.for_teacher or _can_be_read(question, mark):
        return mark
    return mark.not_read()


def _can_be_read(question: Question, mark: PointMark) -> bool:
    if mark.point.rule == "decimal":
        return bool(values_in(mark.written, question.course.point))
    return any(reading.says_something for reading in read_place(question, mark.point.rule, mark.written))
