"""The atlas: for every trait and every class of a format, one small decision diagram.

A diagram is made once, by running the rules on every integer at once, and kept on disk. What a request
asks is then a few operations on small diagrams.
"""

from __future__ import annotations

import gc
import json
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import TypeAlias

from chalkpoint.finding import cache
from chalkpoint.finding.classes import OpenClass, ShiftClass, classes_of
from chalkpoint.finding.diagram import NO, Edge, Table, TooLargeError
from chalkpoint.finding.forest import Forest, harvest
from chalkpoint.finding.request import Term
from chalkpoint.finding.trait import Trait, compare
from chalkpoint.numbers.symbolic import as_bit, as_row, integer
from chalkpoint.working.course import Course

__all__ = ["Atlas", "Sheet", "Watch", "atlas_for"]

Watch: TypeAlias = Callable[[int, int], None]  # told how many classes are done, and of how many

MOST_NODES = 250_000  # nodes one trait may make in one class; past it the trait does not fit
FRESH_AFTER = 100_000  # nodes after which the next trait begins a new table
DOES_NOT_FIT = b"does not fit"


@dataclass(frozen=True)
class Sheet:
    """One stored thing: a trait by its value, or one comparison of a trait too wide for that.

    bound  the comparison and the value, or None where the value itself is stored
    """

    trait: Trait
    bound: tuple[str, Fraction] | None = None

    @property
    def name(self) -> str:
        """What the sheet is kept under."""
        return self.trait.name if self.bound is None else f"{self.trait.name} {self.bound[0]} {self.bound[1]}"

    def roots(self, opened: OpenClass) -> list[Edge]:
        """Return the diagrams of this sheet in one class: of each bit of the value, or of the condition."""
        if self.trait.reach is None:
            return self._seen(opened.table, opened.case)
        whole: Edge = NO
        reach = self.trait.reach(opened.course.float_format, self.bound[1] if self.bound else Fraction(0))
        for here, case in opened.cases(reach):
            (edge,) = self._seen(opened.table, case)
            whole = opened.table.either(whole, opened.table.both(here, edge))
        return [whole]

    def _seen(self, table: Table, case: object) -> list[Edge]:
        if self.bound is not None:
            return [as_bit(table, self.trait.meets(case, *self.bound))]
        assert self.trait.look is not None  # noqa: S101 - what has no value is stored by comparison
        seen = self.trait.look(case)
        return [as_bit(table, seen)] if self.trait.kind == "yes or no" else as_row(table, seen)

    def meets(self, table: Table, roots: list[Edge], comparison: str, value: Fraction) -> Edge:
        """Return where the trait compares as asked, from this sheet's diagrams in *table*."""
        if self.bound is not None:
            return roots[0]
        if self.trait.kind == "yes or no":
            return roots[0] ^ ((value == 1) != (comparison == "="))
        return as_bit(table, compare(integer(table, list(roots)), comparison, value))


@contextmanager
def _no_collections() -> Iterator[None]:
    """Keep the collector away while tables grow: they hold millions of things and no rubbish."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


class Legal:
    """The sheet of the questions themselves: both exponents in range."""

    name = "questions"

    def roots(self, opened: OpenClass) -> list[Edge]:
        """Return the diagram of the class's questions."""
        return [opened.legal]


LEGAL = Legal()


def sheets_of(term: Term) -> list[Sheet]:
    """Return the sheets *term* is answered from, one for each of its bounds."""
    by_bound = term.trait.wide or term.trait.holds is not None
    return [Sheet(term.trait, bound if by_bound else None) for bound in term.bounds]


class Atlas:
    """The diagrams of one operation under one course, made as they are asked for.

    >>> from chalkpoint.finding.registry import trait_named
    >>> from chalkpoint.finding.request import parse_term
    >>> atlas = atlas_for("subtract", Course(format="4+3"))
    >>> atlas.does_not_fit(parse_term("lost-ones >= 2", lambda name: trait_named(name, "subtract")))
    False
    """

    def __init__(self, operation: str, course: Course) -> None:
        self.operation = operation
        self.course = course
        self.classes: tuple[ShiftClass, ...] = classes_of(course.float_format)
        self._forests: dict[str, list[Forest] | None] = {}

    def _what(self, sheet: Sheet | Legal) -> str:
        """Return what a sheet depends on besides the rules: everything of the course that they ask."""
        course = self.course
        asked = [self.operation, course.format, course.method, course.accepts, course.operands]
        return json.dumps([*asked, course.underflow, course.zero, course.exponent, sheet.name])

    @property
    def _name(self) -> str:
        return f"{self.operation}-{self.course.format}"

    def does_not_fit(self, term: Term, watch: Watch | None = None) -> bool:
        """Tell whether a diagram of *term* would outgrow what is allowed."""
        self.prepare(sheets_of(term), watch)
        return any(self._forests[sheet.name] is None for sheet in sheets_of(term))

    def prepare(self, sheets: Sequence[Sheet | Legal], watch: Watch | None = None) -> None:
        """Bring *sheets* from the cache, and make those it lacks."""
        missing: dict[str, Sheet | Legal] = {}
        for sheet in sheets:
            if sheet.name not in self._forests and not self._recall(sheet):
                missing[sheet.name] = sheet
        if missing:
            self._make(list(missing.values()), watch)

    def _recall(self, sheet: Sheet | Legal) -> bool:
        content = cache.recall(self._name, self._what(sheet))
        if content is None:
            return False
        if content == DOES_NOT_FIT:
            self._forests[sheet.name] = None
            return True
        at, forests = 0, []
        for _ in self.classes:
            forest, at = Forest.from_bytes(content, at)
            forests.append(forest)
        self._forests[sheet.name] = forests
        return True

    def _make(self, sheets: list[Sheet | Legal], watch: Watch | None) -> None:
        width = self.course.float_format.mantissa_bits
        made: dict[str, list[Forest] | None] = {
            sheet.name: None if isinstance(sheet, Sheet) and width > sheet.trait.widest else []
            for sheet in sheets
        }
        with _no_collections():
            self._fill(made, sheets, watch)
        for sheet in sheets:
            forests = made[sheet.name]
            content = DOES_NOT_FIT if forests is None else b"".join(map(Forest.to_bytes, forests))
            cache.keep(self._name, self._what(sheet), content)
        self._forests.update(made)

    def _fill(
        self, made: dict[str, list[Forest] | None], sheets: list[Sheet | Legal], watch: Watch | None
    ) -> None:
        for number, shift in enumerate(self.classes):
            opened: OpenClass | None = None
            for sheet in sheets:
                forests = made[sheet.name]
                if forests is None:
                    continue
                if opened is None or len(opened.table.level) > FRESH_AFTER:
                    if opened:
                        opened.table.forget()
                    opened = shift.open(self.operation, self.course, FRESH_AFTER + MOST_NODES)
                try:
                    forests.append(harvest(opened.table, sheet.roots(opened)))
                except TooLargeError:
                    opened.table.forget()
                    made[sheet.name] = opened = None
            if opened:
                opened.table.forget()
            if watch:
                watch(number + 1, len(self.classes))

    def plant(self, number: int, terms: Sequence[Term]) -> tuple[Table, Edge, list[Edge]]:
        """Return a table for class *number* with its questions' diagram and one diagram a term."""
        table = Table(len(self.classes[number].bits))
        (legal,) = self._forest(LEGAL, number).plant(table)
        edges = []
        for term in terms:
            met = [
                sheet.meets(table, self._forest(sheet, number).plant(table), *bound)
                for sheet, bound in zip(sheets_of(term), term.bounds, strict=True)
            ]
            edges.append(table.all(met) ^ term.negated)
        return table, legal, edges

    def rows(self, number: int, table: Table, trait: Trait) -> list[Edge]:
        """Return the diagrams of a trait's value in class *number*, planted in *table*."""
        return self._forest(Sheet(trait), number).plant(table)

    def _forest(self, sheet: Sheet | Legal, number: int) -> Forest:
        self.prepare([sheet])
        forests = self._forests[sheet.name]
        assert forests is not None  # noqa: S101 - what does not fit is never planted
        return forests[number]


@lru_cache(maxsize=8)
def atlas_for(operation: str, course: Course) -> Atlas:
    """Return the atlas of *operation* under *course*, the same object each time."""
    return Atlas(operation, course)
