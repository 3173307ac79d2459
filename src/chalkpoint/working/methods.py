"""Methods: a method is a list of lines, a line is written by rules, and a rule fills a named slot.

The seven methods for adding and subtracting differ in a few slots only. A faulty method is one of
them with a rule replaced.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from typing import Any, NamedTuple, TypeAlias

from chalkpoint.numbers.errors import EntryError, near_misses
from chalkpoint.working import floating
from chalkpoint.working.page import AnyPage
from chalkpoint.working.wording.words_pupils import METHOD_WORDS

__all__ = [
    "DEFAULT_METHOD",
    "METHODS",
    "NORMALISE",
    "RANGE",
    "READ",
    "REPAIR",
    "UNDERFLOWS",
    "Line",
    "Method",
    "Rule",
    "Trail",
    "judge_for",
    "keeps_every_place",
    "kept_rules",
    "method_for",
    "parse_method",
]


Rule: TypeAlias = Callable[[AnyPage, Any], AnyPage]
"""A rule turns the page before it into the page after it; each operation has a page of its own."""


class Line(NamedTuple):
    """A line of working: its name, and the slots whose rules write it, in order.

    A slot may be empty. Nothing is written for an *optional* line whose rules change nothing.

    >>> Line("negate", ("invert", "add_one")).optional
    False
    """

    name: str
    slots: tuple[str, ...]
    optional: bool = False


class Trail(NamedTuple):
    """One line as it was written: the page before it and the page after it."""

    line: Line
    before: AnyPage
    after: AnyPage


@dataclass(frozen=True, eq=False)
class Method:
    """A named list of lines with a rule for every slot.

    right  the method this one departs from, where rules of it were replaced by faulty ones
    says   by line, what stands beside it where a faulty rule wrote it

    >>> method_for("subtract").rules["align"].__name__
    'align'
    """

    name: str
    words: str
    lines: tuple[Line, ...]
    rules: dict[str, Rule]
    right: Method | None = None
    says: dict[str, str] = field(default_factory=dict)
    written: tuple[tuple[Line, tuple[Rule, ...]], ...] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        written = tuple(
            (line, tuple(self.rules[slot] for slot in line.slots if slot in self.rules))
            for line in self.lines
        )
        object.__setattr__(self, "written", written)

    def replace(self, **rules: Rule) -> Method:
        """Return this method with the rules of some slots replaced."""
        return replace(self, rules=self.rules | rules)

    def with_faults(self, rules: Mapping[str, Rule], says: Mapping[str, str]) -> Method:
        """Return this method with faulty *rules* in some slots, and what the lines they write say."""
        return replace(
            self, rules=self.rules | dict(rules), right=self.right or self, says=self.says | dict(says)
        )

    def apply(self, line: Line, page: AnyPage, context: object) -> AnyPage:
        """Write one line of this method on *page*."""
        for slot in line.slots:
            if slot in self.rules:
                page = self.rules[slot](page, context)
        return page

    def writes_alike(self, other: Method, line: Line) -> bool:
        """Tell whether *line* is written by the same rules as by *other*."""
        return all(self.rules.get(slot) is other.rules.get(slot) for slot in line.slots)

    def departs(self, line: Line, before: AnyPage, after: AnyPage, context: object) -> bool:
        """Tell whether a faulty rule wrote *line*: the right one would have left another page."""
        return self.right is not None and bool(self.right.apply(line, before, context) != after)

    def trail(self, page: AnyPage, context: object) -> list[Trail]:
        """Write every line on *page*, on any carrier, and keep each."""
        trail = []
        for line, rules in self.written:
            before = page
            for rule in rules:
                page = rule(page, context)
            trail.append(Trail(line, before, page))
        return trail

    def finish(self, page: AnyPage, context: object) -> AnyPage:
        """Return the last page alone."""
        for _, rules in self.written:
            for rule in rules:
                page = rule(page, context)
        return page


READ = Line("read", ("order", "past"))  # what a belief makes of operands past the range
READY = Line("ready", ("operands",), optional=True)
ALIGN = Line("align", ("zero", "places", "align"))
SPARE = Line("spare", ("spare",), optional=True)
NEGATE = Line("negate", ("negate",))
ADD = Line("add", ("add", "exponent", "carry"))
REPAIR = Line("repair", ("repair",), optional=True)
NORMALISE = Line("normalise", ("normalise",), optional=True)
CUT = Line("cut", ("cut",))
RANGE = Line("range", ("range",), optional=True)

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

DEFAULT_METHOD = "align-then-negate"
AFTER_ADDING = (ADD, REPAIR, NORMALISE, RANGE)
WITH_A_CUT = (ADD, REPAIR, NORMALISE, CUT, RANGE)


def _method(name: str, lines: tuple[Line, ...], **rules: Rule) -> Method:
    words = METHOD_WORDS.get(name, name.replace("-", " "))
    return Method(name, words, (READ, READY, *lines), USUAL | rules)


METHODS: dict[str, Method] = {
    method.name: method
    for method in (
        _method("align-then-negate", (ALIGN, NEGATE, *AFTER_ADDING)),
        _method("negate-then-align", (NEGATE, ALIGN, *AFTER_ADDING)),
        _method(
            "one-guard-bit",
            (ALIGN, NEGATE, *WITH_A_CUT),
            places=floating.keep_one_place,
            cut=floating.cut_to_width,
        ),
        _method(
            "exact-then-truncate",
            (ALIGN, NEGATE, *WITH_A_CUT),
            places=floating.keep_all_places,
            cut=floating.cut_to_width,
        ),
        _method(
            "exact-then-nearest",
            (ALIGN, NEGATE, *WITH_A_CUT),
            places=floating.keep_all_places,
            cut=floating.cut_to_nearest,
        ),
        _method(
            "size-and-sign",
            (ALIGN, NEGATE, *AFTER_ADDING),
            align=floating.align_size,
            repair=floating.repair_size,
            range_kept=floating.judge_range_kept_size,
        ),
        _method(
            "spare-place-first",
            (ALIGN, SPARE, NEGATE, *AFTER_ADDING),
            spare=floating.spare_place,
        ),
    )
}

UNDERFLOWS: dict[str, Rule] = {
    "word": floating.judge_range,
    "zero": floating.judge_range_to_zero,
    "un-normalised": floating.judge_range_kept,
}


def keeps_every_place(method: Method | None) -> bool:
    """Tell whether *method* keeps every place that a shift moves past the last, and a spare one behind them.

    >>> keeps_every_place(METHODS["exact-then-truncate"]), keeps_every_place(METHODS["one-guard-bit"])
    (True, False)
    """
    return method is not None and method.rules.get("places") is floating.keep_all_places


def parse_method(name: str) -> str:
    """Return *name* if it is a method; raise EntryError with near misses if not.

    >>> parse_method("align-then-negate")
    'align-then-negate'
    """
    if name not in METHODS:
        raise EntryError(f"{name!r} is not a method; {near_misses(name, METHODS)}")
    return name


@cache
def judge_for(underflow: str = "word", overflow: str = "word") -> Rule:
    """Return the rule that judges the range as a course has it.

    underflow  "word", "zero" or "un-normalised"
    overflow   "word" or "largest"

    >>> judge_for("zero").__name__
    'judge_range_to_zero'
    """
    judge = UNDERFLOWS[underflow]
    return floating.saturating(judge) if overflow == "largest" else judge


@cache
def method_for(
    operation: str,
    name: str = DEFAULT_METHOD,
    *,
    as_written: bool = False,
    underflow: str = "word",
    overflow: str = "word",
) -> Method:
    """Return the method called *name* as a course has it, for "add" or "subtract".

    as_written  operands are aligned as they stand, without being normalised first
    underflow   "word", "zero" or "un-normalised"
    overflow    "word" or "largest"

    >>> [line.name for line in method_for("add").lines]
    ['read', 'ready', 'align', 'add', 'repair', 'normalise', 'range']
    """
    method = METHODS[parse_method(name)]
    left_out = ({NEGATE} if operation == "add" else set()) | ({READY} if as_written else set())
    lines = tuple(line for line in method.lines if line not in left_out)
    rules = method.rules | {"range": judge_for(underflow, overflow)}
    if underflow == "un-normalised":
        rules |= kept_rules(method.rules, overflow)
    return Method(method.name, method.words, lines, rules)


def kept_rules(rules: Mapping[str, Rule], overflow: str) -> dict[str, Rule]:
    """Return the rules of a method that differ where a course leaves an underflow un-normalised.

    A method that cuts once stops normalising at the lowest exponent, so that it still cuts once. A method that
    cuts on the way cuts again, by its own rule ("range_kept", where it has one).

    >>> sorted(kept_rules(METHODS["one-guard-bit"].rules, "word"))
    ['cut', 'normalise', 'range']
    """
    judge = rules.get("range_kept", floating.judge_range_kept)
    kept = {"range": floating.saturating(judge) if overflow == "largest" else judge}
    if "cut" in rules:
        kept |= {"normalise": floating.normalise_to_lowest, "cut": floating.kept_at_lowest(rules["cut"])}
    return kept
