"""What a request selects from the atlas: counted exactly, numbered, drawn, ranked and tabled."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from functools import cached_property
from itertools import accumulate, product

from chalkpoint.finding.atlas import LEGAL, Atlas, Watch, sheets_of
from chalkpoint.finding.diagram import NO
from chalkpoint.finding.ranking import Ranked
from chalkpoint.finding.request import Term
from chalkpoint.finding.simplest import simplest_models
from chalkpoint.numbers.formats import Pattern

__all__ = ["Selection"]


class Selection:
    """The questions of an atlas that meet every term of a request.

    >>> from chalkpoint.finding.atlas import atlas_for
    >>> from chalkpoint.working.course import Course
    >>> Selection(atlas_for("add", Course(format="4+3")), ()).count == (8 * 8) ** 2
    True
    """

    def __init__(self, atlas: Atlas, terms: Sequence[Term], watch: Watch | None = None) -> None:
        self.atlas = atlas
        self.terms = tuple(terms)
        self.watch = watch

    @cached_property
    def ranked(self) -> list[Ranked]:
        """The selected questions of each class, counted."""
        self.atlas.prepare([LEGAL, *(sheet for term in self.terms for sheet in sheets_of(term))], self.watch)
        ranked = []
        for number in range(len(self.atlas.classes)):
            table, legal, edges = self.atlas.plant(number, self.terms)
            ranked.append(Ranked(table, table.all([legal, *edges])))
        return ranked

    @cached_property
    def ends(self) -> list[int]:
        """For each class, how many questions it and the classes before it hold."""
        return list(accumulate(part.count for part in self.ranked))

    @property
    def count(self) -> int:
        """How many questions are selected."""
        return self.ends[-1]

    @property
    def is_empty(self) -> bool:
        """Whether nothing is selected; known as soon as one class holds something."""
        if "ends" in self.__dict__:
            return self.count == 0
        self.atlas.prepare([LEGAL, *(sheet for term in self.terms for sheet in sheets_of(term))], self.watch)
        for number in range(len(self.atlas.classes)):
            table, legal, edges = self.atlas.plant(number, self.terms)
            if table.all([legal, *edges]) != NO:
                return False
        return True

    def pair(self, number: int) -> tuple[Pattern, Pattern]:
        """Return the operands of the question with this number, from 0."""
        return self.pairs([number])[0]

    def pairs(self, numbers: Sequence[int]) -> list[tuple[Pattern, Pattern]]:
        """Return the operands of several questions by their numbers, in the order given."""
        found = []
        for number in numbers:
            at = bisect_right(self.ends, number)
            part, shift = self.ranked[at], self.atlas.classes[at]
            start = self.ends[at] - part.count
            found.append(shift.patterns(part.model(number - start)))
        return found

    def number_of(self, first: Pattern, second: Pattern) -> int:
        """Return the number of a question that is selected."""
        apart = first.exponent - second.exponent
        at = next(number for number, shift in enumerate(self.atlas.classes) if shift.holds(apart))
        part = self.ranked[at]
        return self.ends[at] - part.count + part.rank(self.atlas.classes[at].model(first, second))

    def simplest(self, most: int) -> list[tuple[int, tuple[Pattern, Pattern]]]:
        """Return the *most* simplest questions as (number, operands), simplest first."""
        parts = list(zip(self.atlas.classes, self.ranked, strict=True))
        return [
            (number, self.atlas.classes[at].patterns(model))
            for number, at, model in simplest_models(parts, most)
        ]

    def table(self, columns: Sequence[Sequence[Term]]) -> dict[tuple[str, ...], int]:
        """Return how many selected questions meet each combination of one term a column; none is left out."""
        self.atlas.prepare([sheet for column in columns for term in column for sheet in sheets_of(term)])
        counts = {tuple(term.text for term in terms): 0 for terms in product(*columns)}
        every = [term for column in columns for term in column]
        for number in range(len(self.atlas.classes)):
            table, legal, edges = self.atlas.plant(number, [*self.terms, *every])
            here = table.all([legal, *edges[: len(self.terms)]])
            met = dict(zip((term.text for term in every), edges[len(self.terms) :], strict=True))
            if here == NO:
                continue
            for terms in counts:
                edge = table.all([here, *(met[text] for text in terms)])
                if edge != NO:
                    counts[terms] += Ranked(table, edge).count
        return counts
