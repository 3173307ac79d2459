"""Whose pages they are: by the number that the pupil crossed, by a paper of the pupil's own, or as the teacher says."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from chalkpoint.scanning.stack import BLANK, TICKED, Page, Place, Stack

__all__ = ["Matter", "matters_of", "number_on", "tell_apart"]

PUPIL = "pupil"
CLEAN = 0.25  # doubt of an empty box: with more, something is in it


def number_on(places: Sequence[Place]) -> str:
    """Return the number that is crossed on a page; "" where there is none, or any of its boxes is in doubt.

    Its rows are its digits, from the first; bit 1 is the digit 0. Crosses that are in doubt for being faint count
    where every row has one alone, in clean surroundings: so a faint pencil writes, and no speck does.
    """
    rows: dict[str, list[Place]] = defaultdict(list)
    for place in places:
        if place.line == PUPIL:
            rows[place.field].append(place)
    crosses = [place for row in rows.values() for place in row if place.value != BLANK]
    if [place.field for place in crosses] != list(rows) or len({place.value for place in crosses}) != 1:
        return ""
    empty = (place for row in rows.values() for place in row if place.value == BLANK)
    if crosses[0].value != TICKED and any(place.doubt > CLEAN for place in empty):
        return ""
    return "".join(str(place.bit - 1) for place in crosses)


def tell_apart(stack: Stack) -> None:
    """Say whose each page is, where that can be known without guessing."""
    grids = {place.page for place in stack.places.values() if place.line == PUPIL}
    if stack.in_order:
        _by_order(stack, grids)
        return
    met: dict[str, int] = defaultdict(int)
    for page in stack.used():
        met[page.code] += 1
    for page in stack.used():
        alone = all(met[code] <= 1 for code in stack.sides.get(page.paper, ()))
        if not page.pupil and page.number not in grids and alone:
            page.pupil = page.paper  # the paper was one pupil's alone, so its code is the pupil's


def _by_order(stack: Stack, grids: set[int]) -> None:
    """Number the pupils as their sides lie together: a script begins where a side does not follow the one before."""
    script, before = 0, Page(0, "")
    for page in stack.used():
        if page.paper != before.paper or page.side <= before.side:
            script += 1
        if not page.pupil and page.number not in grids:
            page.pupil = f"script {script}"
        before = page


@dataclass(frozen=True, slots=True)
class Matter:
    """Something about a page or a pupil that the teacher must settle.

    page   the number of the page; 0 for a side that is missing
    what   one sentence
    """

    page: int
    pupil: str
    what: str


def matters_of(stack: Stack) -> list[Matter]:
    """Return what must be said of pages: not read, nobody's, twice there, missing."""
    found = [
        Matter(page.number, page.pupil, page.trouble)
        for page in stack.pages
        if page.trouble and not page.dropped
    ]
    there: dict[tuple[str, str], list[Page]] = defaultdict(list)
    papers: dict[str, set[str]] = defaultdict(set)
    for page in stack.used():
        if page.code not in stack.sides.get(page.paper, ()):
            continue
        if not page.pupil:
            found.append(
                Matter(
                    page.number, "", f"whose the side {page.code} is cannot be known; write the pupil's code"
                )
            )
            continue
        there[page.pupil, page.code].append(page)
        papers[page.pupil].add(page.paper)
    for (pupil, code), pages in there.items():
        if len(pages) > 1:
            numbers = " and ".join(str(page.number) for page in pages)
            found += [
                Matter(
                    page.number,
                    pupil,
                    f"{pupil} has the side {code} on pages {numbers}; set aside all but one",
                )
                for page in pages
            ]
    for pupil, names in papers.items():
        if len(names) > 1:
            several = " and ".join(sorted(names))
            found += [
                Matter(page.number, pupil, f"{pupil} has pages of the papers {several}; write whose each is")
                for page in stack.used()
                if page.pupil == pupil
            ]
            continue
        (paper,) = names
        found += [
            Matter(0, pupil, f"the side {code} of {pupil} is missing; scan it, or {pupil} is left out")
            for code in stack.sides[paper]
            if (pupil, code) not in there
        ]
    return found
