"""Steps: the lines a method wrote down, and the digits that were lost on them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from chalkpoint.working.written import Row, Written

__all__ = ["Loss", "Step"]


@dataclass(frozen=True, slots=True)
class Loss:
    """Digits that fell off, and what they were worth.

    step   number of the step that lost them
    rule   that step's rule
    bits   the digits, highest first
    worth  what losing them did: the part of (exact answer - result) that they account for
    """

    step: int
    rule: str
    bits: str
    worth: Fraction


class Step:
    """One line of working: *rule* turned the page *before* into the page *after*.

    What is written on the board for it is made when it is first asked for.
    """

    __slots__ = ("_writer", "_written", "after", "before", "number", "rule")

    def __init__(
        self, number: int, rule: str, before: Any, after: Any, writer: Callable[[Step], Written]
    ) -> None:
        self.number = number
        self.rule = rule
        self.before = before
        self.after = after
        self._writer = writer
        self._written: Written | None = None

    def __repr__(self) -> str:
        return f"<step {self.number}, {self.says}>"

    @property
    def written(self) -> Written:
        """The step as it stands on the board."""
        if self._written is None:
            self._written = self._writer(self)
        return self._written

    @property
    def title(self) -> str:
        """The step's name on the board, such as "Match the exponents"."""
        return self.written.title

    @property
    def detail(self) -> str:
        """What is done and why, in one to three sentences."""
        return self.written.detail

    @property
    def says(self) -> str:
        """The board sentence: title and detail."""
        return self.written.says

    @property
    def spoken(self) -> str:
        """The words for narration."""
        return self.written.spoken

    @property
    def rows(self) -> tuple[Row, ...]:
        """The rows of bits."""
        return self.written.rows
