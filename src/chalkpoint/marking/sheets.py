"""Sheets: what a line of each operation shows, so that something written can be held against it.

A sheet knows a question's pages. ``shows`` tells whether what is written is the line that leads from
one page to the next; ``adopt`` puts what is written on the page, so that the following lines are
judged from it.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import Protocol

from chalkpoint.marking.patterns import Reading
from chalkpoint.working.beliefs.belief import FLOAT, Belief
from chalkpoint.working.beliefs.catalogue import beliefs_for
from chalkpoint.working.methods import Line, Method
from chalkpoint.working.page import AnyPage
from chalkpoint.working.question import Question

__all__ = ["ANSWER", "EXPONENT", "Sheet", "Written"]

ANSWER = Line("answer", ())
EXPONENT = Line("exponent", ())

Written = Mapping[str, tuple[Reading, ...]]


class Sheet(Protocol):
    """What the walk asks of an operation."""

    question: Question
    start: AnyPage

    @property
    def context(self) -> object:
        """What rules are handed beside the page: the format, or the course."""

    def lines(self, base: Method, written: Written | None = None) -> tuple[Line, ...]:
        """Return the lines a pupil may write under *base*, in order: *written* may tell where the answer is."""

    def shows(self, line: str, before: AnyPage, after: AnyPage, entries: tuple[Reading, ...]) -> bool:
        """Tell whether *entries* are what *line* writes in going from *before* to *after*."""

    def adopt(self, line: str, before: AnyPage, after: AnyPage, entries: tuple[Reading, ...]) -> AnyPage:
        """Return *after* with what is written in the place of what should have been."""

    def says(self, line: str, before: AnyPage, after: AnyPage) -> str:
        """Return what *line* writes in going from *before* to *after*."""

    def had(self, line: str, before: AnyPage) -> str:
        """Return what the page had before *line*."""

    def inputs(self, before: AnyPage) -> list[str]:
        """Return the rows a pupil might copy instead of working on them."""

    def altered(self) -> list[tuple[str, AnyPage]]:
        """Return (what was miscopied, the page it leads to) for each small slip in copying the question."""

    def goes_on(self, page: AnyPage) -> bool:
        """Tell whether right rules can go on from *page*."""


class Believing:
    """The faulty methods of an operation, made once for each right method.

    values  whether an operand is given as a value: some beliefs show only where such a one is stored
    past    whether an operand is past the range: alone, only a belief shows then that takes it all the same
    """

    def __init__(
        self, operation: str, family: str = FLOAT, *, values: bool = True, past: bool = False
    ) -> None:
        self.operation = operation
        self.family = family
        self.values = values
        self.past = past
        self.made: dict[int, tuple[tuple[str, Method], ...]] = {}

    def methods(self, base: Method) -> tuple[tuple[str, Method], ...]:
        """Return (belief, its method) for every belief that acts in *base*."""
        if id(base) not in self.made:
            self.made[id(base)] = tuple(
                (belief.id, method)
                for belief in self.beliefs
                if not self.past or self.takes_what_is_past(belief)
                for method in self.held(belief, base)
            )
        return self.made[id(base)]

    def held(self, belief: Belief, base: Method) -> tuple[Method, ...]:
        """Return *base* as the holder of *belief* works it: nothing where it does not act."""
        method = belief.method_for(self.operation, base, self.family, past_range=self.past)
        return () if method is None else (method,)

    @cached_property
    def beliefs(self) -> tuple[Belief, ...]:
        """The beliefs that act here with rules of working (a claim is not one)."""
        found = beliefs_for(self.operation, self.family, past_range=self.past)
        return tuple(belief for belief in found if self.values or not belief.of_values)

    def takes_what_is_past(self, belief: Belief) -> bool:
        """Tell whether *belief* takes an operand past the range for one in it."""
        place = belief.place_for(self.operation, self.family, past_range=True)
        return place is not None and place.past_range
