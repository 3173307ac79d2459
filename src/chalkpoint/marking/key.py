"""A key: which courses reproduce a list of worked answers, and which question would decide between them.

A printed key, or a colleague's sheet, says by its answers which conventions it was made under. Courses
are grown item by item: the choices an item touches for the first time are added, and what does not
reproduce its answer is dropped. A choice that no answer depends on is left open and said to be open.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from chalkpoint.marking.courses import VALUES, Asker, Choices, Item, formats_of
from chalkpoint.marking.deciding import deciding_question
from chalkpoint.numbers.formats import parse_format

__all__ = ["Item", "KeyReading", "read_key"]


@dataclass
class KeyReading:
    """What a key says of the course it was made under.

    courses      every course that reproduces the items kept, open choices left out
    open         choices that no answer depends on
    unexplained  items that no course at all reproduces
    apart        items left out because they do not go with the others
    deciding     a question on which the courses left give different answers, or ""
    answers      its answers, each with the numbers (from 0) of the courses that give it
    """

    items: list[Item]
    courses: list[dict[str, str]]
    open: tuple[str, ...]
    unexplained: list[Item]
    apart: list[Item]
    deciding: str = ""
    answers: dict[str, list[int]] = field(default_factory=dict)


def read_key(items: Iterable[Item], *, format: str | None = None, seed: int = 1) -> KeyReading:
    """Return every course that reproduces *items*, what none explains, and the question that would decide.

    format  the format, where it is known; else it is read off the patterns

    >>> reading = read_key([Item("subtract 01101000 0011, 01011011 0000", "01011100 0011")])
    >>> {course["method"] for course in reading.courses} >= {"negate-then-align", "exact-then-truncate"}
    True
    >>> "align-then-negate" in {course["method"] for course in reading.courses}
    False
    """
    items = list(items)
    formats = [str(parse_format(format))] if format else list(formats_of(items))
    asker = Asker(formats)
    unexplained = [item for item in items if not asker.reproducing(item)]
    kept = [item for item in items if item not in unexplained]
    kept, found, apart = _join_most(kept, asker)
    touched = _touched(kept)
    left, opened = _without_open(found, touched, asker)
    courses = [dict(choices) for choices in left]
    reading = KeyReading(items, courses, opened, unexplained, apart)
    if len(left) > 1:
        reading.deciding, reading.answers = deciding_question(items, left, opened, asker, seed=seed)
    return reading


def _touched(items: list[Item]) -> tuple[str, ...]:
    touched = {name for item in items for name in item.touches}
    return tuple(name for name in VALUES if name in touched)


def _join(items: list[Item], asker: Asker) -> set[Choices]:
    """Return the choices under which every item comes out, over all that the items touch."""
    found: set[Choices] = {()}
    seen: tuple[str, ...] = ()
    for item in items:
        new = tuple(name for name in VALUES if name in item.touches and name not in seen)
        grown = set()
        fine = asker.reproducing(item)
        order = item.touches
        for before in found:
            for more in asker.combinations(new):
                chosen = dict(before + more)
                if tuple((name, chosen[name]) for name in order) in fine:
                    grown.add(before + more)
        found, seen = grown, (*seen, *new)
        if not found:
            break
    return {_in_order(choices) for choices in found}


def _in_order(choices: Choices) -> Choices:
    chosen = dict(choices)
    return tuple((name, chosen[name]) for name in VALUES if name in chosen)


def _join_most(items: list[Item], asker: Asker) -> tuple[list[Item], set[Choices], list[Item]]:
    """Return the items that go together, their courses, and the fewest left out so that they do."""
    found = _join(items, asker) if items else set()
    if found or not items:
        return items, found, []
    for out in items:
        rest = [item for item in items if item is not out]
        if rest and (found := _join(rest, asker)):
            return rest, found, [out]
    kept: list[Item] = []
    for item in items:
        if _join([*kept, item], asker):
            kept.append(item)
    return kept, _join(kept, asker), [item for item in items if item not in kept]


def _without_open(
    found: set[Choices], touched: tuple[str, ...], asker: Asker
) -> tuple[list[Choices], tuple[str, ...]]:
    """Return the courses without the choices on which nothing depends, and those choices."""
    opened = tuple(name for name in VALUES if name not in touched)
    for name in touched:
        values = asker.values[name]
        rest = {tuple(pair for pair in choices if pair[0] != name) for choices in found}
        if len(values) > 1 and len(rest) * len(values) == len(found):
            found, opened = rest, (*opened, name)
    order = {name: number for number, name in enumerate(VALUES)}
    ranked = {(name, value): at for name, values in asker.values.items() for at, value in enumerate(values)}
    left = sorted(found, key=lambda choices: [ranked[pair] for pair in choices])
    return left, tuple(sorted(opened, key=order.__getitem__))
