"""What a lesson is: parts in order, each with its workings already worked."""

from __future__ import annotations

from dataclasses import dataclass

from chalkpoint.working.course import Course
from chalkpoint.working.working import Working

__all__ = ["KINDS", "Choice", "Lesson", "Part"]

#: The kinds of part, and what a class does in each.
KINDS: dict[str, str] = {
    "explain": "listen",
    "worked": "follow a question worked in full",
    "try": "work it in a pause, then compare",
    "faded": "fill the steps left blank",
    "mistake": "find the one wrong step",
    "hinge": "choose one of four answers",
    "next": "say what comes next, one of four rows",
    "split": "see where the commonest wrong working parts from the right one",
    "summary": "look back",
}


@dataclass(frozen=True, slots=True)
class Choice:
    """One of four answers.

    letter  "A" to "D"
    answer  bits or a word
    belief  the belief whose answer it is; "" for the right one
    says    that belief in one sentence, as a pupil would put it
    """

    letter: str
    answer: str
    belief: str = ""
    says: str = ""

    @property
    def right(self) -> bool:
        """Whether it is the right answer."""
        return not self.belief


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part of a lesson.

    kind      one of KINDS
    title     its heading
    says      sentences said and shown, one after the other
    working   its question worked, or None
    wrong     for a mistake or a split screen: the same question by a faulty method
    belief    that method's belief
    choices   for a hinge or for what comes next: four answers
    blanks    for a faded example: the rules whose rows are left blank; for what comes next: the one asked for
    pause     seconds to think or write; None for the usual length
    parallels more questions of the same kind, worked, for "another one"
    """

    kind: str
    title: str
    says: tuple[str, ...] = ()
    working: Working | None = None
    wrong: Working | None = None
    belief: str = ""
    choices: tuple[Choice, ...] = ()
    blanks: tuple[str, ...] = ()
    pause: int | None = None
    parallels: tuple[Working, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """Parts in order, under one course.

    pace  words a minute of ordinary sentences
    """

    title: str
    course: Course
    parts: tuple[Part, ...]
    pace: int = 130

    @property
    def workings(self) -> tuple[Working, ...]:
        """The workings of its parts, in order."""
        return tuple(part.working for part in self.parts if part.working)
