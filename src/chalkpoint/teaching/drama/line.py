"""What is said of a step, line by line, and what the board shows meanwhile."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from chalkpoint.teaching.estimating import told_apart
from chalkpoint.teaching.narrator import Narrator
from chalkpoint.teaching.storyboard import USUAL, Cells, Moment
from chalkpoint.working.steps import Step
from chalkpoint.working.working import Working

__all__ = ["ALL", "Line", "Telling", "Told", "nothing_of"]


ALL = -2000, 2000  # the columns of every cell of a row, its fields beside the digits included


@dataclass(frozen=True, slots=True)
class Line:
    """One thing said, or asked and left to the class for some *seconds*.

    moment  the part of the picture shown meanwhile
    weight  how much it matters
    """

    text: str
    moment: Moment | None = None
    weight: int = USUAL
    seconds: int = 0


@dataclass(frozen=True, slots=True)
class Told:
    """A step told.

    opening  said before any new row is written
    doing    said while rows are written, each by its moment; the last leaves everything in view
    """

    opening: list[Line]
    doing: list[Line]


@dataclass(frozen=True, slots=True)
class Telling:
    """One step of a working on its way into words."""

    working: Working
    step: Step
    narrator: Narrator

    @classmethod
    def of(cls, working: Working, index: int) -> Telling:
        """Return what tells step *index* of *working*."""
        question = working.question
        return cls(working, working.steps[index], Narrator(question.names, question.course.point))

    @property
    def facts(self) -> Mapping[str, object]:
        """The facts of the step."""
        return self.step.facts

    def line(
        self,
        words: str,
        moment: Moment | None = None,
        weight: int = USUAL,
        *,
        seconds: int = 0,
        **more: object,
    ) -> Line:
        """Return a sentence of the catalogue, filled in with the step's facts and with *more*."""
        return Line(self.narrator.words(words, **{**self.facts, **more}), moment, weight, seconds)

    def apart(self, one: Fraction | None, other: Fraction | None) -> tuple[str, str]:
        """Return two values as they are said when the one is held against the other."""
        return told_apart(one or Fraction(0), other or Fraction(0), self.narrator.point)


def nothing_of(row: int) -> Cells:
    """Return no cells of *row*: it keeps its place and is empty still."""
    return Cells(row, 1, 0)
