"""What a working is to those who write about it: the question, how it ended, and what was lost on the way."""

from __future__ import annotations

from typing import Protocol

from chalkpoint.numbers.named import AnyPattern
from chalkpoint.working.check import Check
from chalkpoint.working.question import Question
from chalkpoint.working.steps import Loss, Step

__all__ = ["Worked"]


class Worked(Protocol):
    """The part of a Working that its check is written from."""

    question: Question
    method: str
    steps: tuple[Step, ...]
    outcome: str
    pattern: AnyPattern
    faulty: bool

    @property
    def check(self) -> Check:
        """The exact answer laid beside the result."""

    @property
    def losses(self) -> tuple[Loss, ...]:
        """Every loss of digits, in the order made."""
