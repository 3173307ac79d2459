"""What can be said of one pupil's answer to one question."""

from __future__ import annotations

from dataclasses import dataclass, field

from chalkpoint.marking.walk import FAULTS, LineMark
from chalkpoint.working.question import Question

__all__ = ["Judgement"]


@dataclass(frozen=True)
class Judgement:
    """What can be said of one pupil's answer to one question.

    question   the question
    method     name of the method under which it was judged
    right      whether the answer (or, without one, every line) is right
    verdict    "right", "right elsewhere" (under another method or convention), "follow-through" or "wrong"
    marks      the lines, in the method's order
    elsewhere  under what else the answer is right, in words
    among      beliefs whose own working gives exactly what is written, on the first line that one explains
    notes      what else was seen: a form not asked for, digits too many
    together   pairs of beliefs that give it where no belief and no slip does: less sure than one belief
    """

    question: Question
    method: str
    right: bool
    verdict: str
    marks: tuple[LineMark, ...]
    elsewhere: tuple[str, ...] = ()
    among: tuple[str, ...] = ()
    notes: tuple[str, ...] = field(default=())
    together: tuple[tuple[str, str], ...] = ()

    @property
    def first_wrong(self) -> LineMark | None:
        """The first line that went wrong, if any did."""
        return next((mark for mark in self.marks if mark.status in FAULTS), None)

    @property
    def explained(self) -> tuple[LineMark, ...]:
        """The wrong lines that a belief gives from the pupil's own line before."""
        return tuple(mark for mark in self.marks if mark.status in FAULTS and mark.among)

    def line(self, name: str) -> LineMark | None:
        """Return the mark of the line called *name*."""
        return next((mark for mark in self.marks if mark.line == name), None)
