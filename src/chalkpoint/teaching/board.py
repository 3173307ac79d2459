"""The lines on a board, in order: right ones, and wrong ones pursued to see where they lead."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from functools import lru_cache

from chalkpoint.marking.lines_ahead import Onward, lines_on
from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.teaching.judged import FAULTS
from chalkpoint.working.course import Course
from chalkpoint.working.question import Question, ask_line

__all__ = ["Kept", "kept_to_dict", "left_to_write", "question_on", "written"]


@dataclass(frozen=True, slots=True)
class Kept:
    """A line on the board.

    rule     the line's name, or "answer"
    title    its heading
    written  the line as written
    kind     "right", or what it was judged to be (`Judged.kind`); in practice also "given" or "filled in"
    """

    rule: str
    title: str
    written: str
    kind: str = "right"

    @property
    def right(self) -> bool:
        """Whether it is no fault; what comes after one that is follows from it."""
        return self.kind not in FAULTS


def written(kept: Iterable[Kept]) -> dict[str, str]:
    """Return the lines on the board, by rule.

    >>> written([Kept("align", "Match the exponents", "00011101")])
    {'align': '00011101'}
    """
    return {line.rule: line.written for line in kept}


def kept_to_dict(line: Kept) -> JsonObject:
    """Return a line as JSON keys; ``Kept(**keys)`` reads it back.

    >>> line = Kept("align", "Match the exponents", "00011101")
    >>> Kept(**kept_to_dict(line)) == line
    True
    """
    return asdict(line)


@lru_cache(512)
def question_on(course: Course, line: str) -> Question:
    """Return the question written on one line, read once.

    >>> question_on(Course(), "add 1.5, 2.5").operands
    ['01100000 0001', '01010000 0010']
    """
    return ask_line(line, course=course)


def left_to_write(course: Course, line: str, kept: Iterable[Kept]) -> tuple[Onward, ...]:
    """Return the lines still to be written after those *kept*, each from the one before it.

    >>> line = Kept("align", "Match the exponents", "00011101")
    >>> [one.rule for one in left_to_write(Course(), "subtract 8.875, 3.6875", [line])]
    ['negate', 'add', 'normalise', 'answer']
    """
    return _left(course, line, tuple(written(kept).items()))


@lru_cache(2048)
def _left(course: Course, line: str, kept: tuple[tuple[str, str], ...]) -> tuple[Onward, ...]:
    return lines_on(question_on(course, line), dict(kept))
