"""What a question gives to those who are to work it: each operand's name, and its pattern with the point."""

from __future__ import annotations

from chalkpoint.working.question import NAMES, Question

__all__ = ["operands_of"]


def operands_of(question: Question) -> list[tuple[str, str]]:
    """Return (name, pattern) of each operand that is a pattern; one operand needs no name.

    >>> from chalkpoint.working.course import Course
    >>> from chalkpoint.working.question import ask
    >>> operands_of(ask("subtract", "8.875", "3.6875", course=Course()))
    [('first', '0.1000111 0100'), ('second', '0.1110110 0010')]
    """
    names = (question.names or NAMES) if len(question.patterns) > 1 else ("",)
    patterns = [question.format.write(pattern, point=True) for pattern in question.patterns]
    return list(zip(names, patterns, strict=False))
