"""Methods: a method is a list of lines, a line is written by rules, and a rule fills a named slot.

The seven methods for adding and subtracting differ in a few slots only. A faulty method is one of
them with a rule replaced.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.working import floating
from chalkpoint.working.floating import Rule
from chalkpoint.working.page import Page

__all__ = ["DEFAULT_METHOD", "METHODS", "Line", "Method", "Trail", "method_for"]


class Line(NamedTuple):
    """A line of working: its name, and the slots whose rules write it, in order.

    optional  left out of the working where its rules change nothing
    """

    name: str
    slots: tuple[str, ...]
    optional: bool = False


class Trail(NamedTuple):
    """One line as it was written: the page before it and the page after it."""

    line: Line
    before: Page
    after: Page


@dataclass(frozen=True, eq=False)
class Method:
    """A named list of lines with a rule for every slot.

    >>> method_for("subtract").rules["align"].__name__
    'align'
    """

    name: str
    words: str
    lines: tuple[Line, ...]
    rules: dict[str, Rule]

    def __post_init__(self) -> None:
        written = tuple((line, tuple(self.rules[slot] for slot in line.slots)) for line in self.lines)
        object.__setattr__(self, "_written", written)

    def replace(self, **rules: Rule) -> Method:
        """Return this method with the rules of some slots replaced."""
        return Method(self.name, self.words, self.lines, self.rules | rules)

    def trail(self, page: Page, fmt: FloatFormat) -> list[Trail]:
        """Write every line on *page*, on any carrier, and keep each."""
        trail = []
        for line, rules in self._written:  # type: ignore[attr-defined]
            before = page
            for rule in rules:
                page = rule(page, fmt)
            trail.append(Trail(line, before, page))
        return trail

    def finish(self, page: Page, fmt: FloatFormat) -> Page:
        """Return the last page alone."""
        for _, rules in self._written:  # type: ignore[attr-defined]
            for rule in rules:
                page = rule(page, fmt)
        return page


READY = Line("ready", ("operands",), optional=True)
KEEP = Line("keep", ("zero", "places"))
ALIGN = Line("align", ("zero", "places", "align"))
SPARE = Line("spare", ("spare",))
NEGATE = Line("negate", ("negate",))
ADD = Line("add", ("add", "carry"))
REPAIR = Line("repair", ("repair",), optional=True)
NORMALISE = Line("normalise", ("normalise",), optional=True)
CUT = Line("cut", ("cut",))
RANGE = Line("range", ("range",))

USUAL: dict[str, Rule] = {
    "operands": floating.normalise_operands,
    "zero": floating.compare,
    "align": floating.align,
    "negate": floating.negate,
    "add": floating.add,
    "carry": floating.judge_overflow,
    "repair": floating.repair,
    "normalise": floating.normalise,
    "range": floating.judge_range,
}
