"""Steps: the lines a method wrote down, and the digits that were lost on them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from chalkpoint.working.page import AnyPage
from chalkpoint.working.written import Row, Written

__all__ = ["Loss", "Step"]


@dataclass(frozen=True, slots=True)
class Loss:
    """Digits that fell off, and what they were worth.

    step   number of the step that lost them
    rule   that step's rule
    bits   the digits, highest first
    worth  what losing them did: the part of (exact answer - result) that they account for

    >>> Loss(2, "align", "01", Fraction(1, 8)).bits
    '01'
    """

    step: int
    rule: str
    bits: str
    worth: Fraction


class Step:
    """One line of working: *rule* turned the page *before* into the page *after*.

    What is written on the board for it is made when it is first asked for.
    """

    __slots__ = ("_writer", "_written", "after", "before", "earlier", "number", "rule")

    def __init__(
        self,
        number: int,
        rule: str,
        before: AnyPage,
        after: AnyPage,
        writer: Callable[[Step], Written],
        earlier: Step | None = None,
    ) -> None:
        self.number = number
        self.rule = rule
        self.before = before
        self.after = after
        self._writer = writer
        self._written: Written | None = None
        self.earlier = earlier

    def by_itself(self) -> Step:
        """Return the step without what earlier ones left in the tray, which then need not be written."""
        return Step(self.number, self.rule, self.before, self.after, self._writer)

    def __repr__(self) -> str:
        return f"<step {self.number}, {self.says}>"

    @property
    def written(self) -> Written:
        """The step as written on the board."""
        if self._written is None:
            self._written = self._with_tray(self._writer(self))
        return self._written

    def _with_tray(self, written: Written) -> Written:
        """Return *written* with what the steps before left in the tray still beside its rows."""
        held = self.earlier.tray if self.earlier else ""
        if not held:
            return written
        return replace(
            written, rows=tuple(row._replace(held=held) if row.bits else row for row in written.rows)
        )

    @property
    def tray(self) -> str:
        """The digits in the tray after this step: those it lost, before those lost earlier."""
        fallen = [row.lost + row.held for row in self.rows if row.lost_value and row.lost]
        return max(fallen, key=len, default=self.earlier.tray if self.earlier else "")

    @property
    def title(self) -> str:
        """The step's name on the board, such as "Match the exponents"."""
        return self.written.words.title

    @property
    def detail(self) -> str:
        """What is done and why, in one to three sentences."""
        return self.written.words.detail

    @property
    def says(self) -> str:
        """The board sentence: title and detail."""
        return f"{self.title}: {self.detail}"

    @property
    def spoken(self) -> str:
        """The words for narration."""
        return self.written.words.spoken

    @property
    def facts(self) -> Mapping[str, object]:
        """What the step came to, by name: how far digits moved, what fell off, which columns carried ..."""
        return self.written.facts

    @property
    def rows(self) -> tuple[Row, ...]:
        """The rows of bits."""
        return self.written.rows
