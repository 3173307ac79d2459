"""Many methods side by side: those that share their lines, and most of their rules, run at once.

Methods are numbered, and a set of them is an integer with one bit a method. Each rule is run once on
each page that stands at its place, so that methods go on as one for as long as they leave the same
page. The questions are taken one by one, or many together in lanes.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from fractions import Fraction
from typing import TypeAlias

from chalkpoint.numbers.carriers import Truth
from chalkpoint.numbers.lanes import Lanes
from chalkpoint.numbers.symbolic import Condition, Integer
from chalkpoint.working.methods import Line, Method, Rule
from chalkpoint.working.page import AnyPage

__all__ = [
    "Slots",
    "Standing",
    "all_written_alike",
    "key_of_page",
    "run_each",
    "run_in_lanes",
    "slots_of_methods",
]

Slots: TypeAlias = tuple[tuple[tuple[Rule, int], ...], ...]
"""Slot by slot, the rules that stand there and the methods that use each."""

Standing: TypeAlias = list[tuple[AnyPage, int]]  # pages, each with the methods that lead to it


def slots_of_methods(methods: Mapping[int, Method], lines: Iterable[Line]) -> Slots:
    """Return the slots of *lines* for *methods*, which all have them, by their numbers."""
    columns = []
    for line in lines:
        for slot in line.slots:
            users: dict[Rule | None, int] = defaultdict(int)
            for number, method in methods.items():
                users[method.rules.get(slot)] |= 1 << number
            if set(users) != {None}:
                columns.append(tuple((rule or _leave, mask) for rule, mask in users.items()))
    return tuple(columns)


def _leave(page: AnyPage, context: object) -> AnyPage:
    return page


def run_each(slots: Slots, standing: Standing, context: object) -> Standing:
    """Return the pages left after every slot for one question, each with the methods that lead to it."""
    return _run(slots, standing, context, _key_of_one)


def run_in_lanes(slots: Slots, standing: Standing, context: object) -> Standing:
    """Return the pages left after every slot for questions in lanes, each with the methods that lead to it.

    Methods go on as one where they leave the same page on every question.
    """
    return _run(slots, standing, context, key_of_page)


def _run(
    slots: Slots, standing: Standing, context: object, key_of: Callable[[AnyPage], Hashable]
) -> Standing:
    for rules in slots:
        if len(rules) == len(standing) == 1:  # nothing that could be told apart
            ((before, mask),), ((rule, _),) = standing, rules
            standing = [(rule(before, context), mask)]
            continue
        after: dict[Hashable, tuple[AnyPage, int]] = {}
        for before, mask in standing:
            untouched = None  # the key of the page itself, which many rules leave as it is
            for rule, users in rules:
                if both := mask & users:
                    page = rule(before, context)
                    key = untouched if page is before else None
                    if key is None:
                        key = key_of(page)
                    if page is before:
                        untouched = key
                    after[key] = page, both | (after[key][1] if key in after else 0)
        standing = list(after.values())
    return standing


def _key_of_one(page: AnyPage) -> Hashable:
    """Return what two pages of one question share just where they are alike; a fraction's own hash is slow."""
    if not isinstance(page, tuple):
        key: Hashable = page
        return key
    return tuple([part.as_integer_ratio() if type(part) is Fraction else part for part in page])


def key_of_page(page: Sequence[object]) -> tuple[object, ...]:
    """Return what two pages in lanes share just where they are alike on every question."""
    return tuple(
        [
            part
            if type(part) is int
            else tuple(part.row)
            if isinstance(part, Integer)
            else (part.bit,)
            if isinstance(part, Condition)
            else part
            for part in page
        ]
    )


def all_written_alike(lanes: Lanes, one: Sequence[object], other: Sequence[object]) -> int:
    """Return the questions on which two pages in lanes are alike, as a mask."""
    alike: Truth = True
    for left, right in zip(one, other, strict=True):
        if left is right or (
            isinstance(left, Integer) and isinstance(right, Integer) and left.row == right.row
        ):
            continue  # most of a page is as it was
        alike = alike & (left == right)
        if alike is False:
            break
    return lanes.mask(alike)
