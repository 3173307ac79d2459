"""A stack read from its pictures: page after page, each place with its reading; nothing is known of what is right."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import numpy.typing as npt

from chalkpoint.scanning.boxes import PER_MM
from chalkpoint.scanning.pages import Flat, Trouble, flat_page
from chalkpoint.scanning.pictures import Source
from chalkpoint.scanning.places import Box
from chalkpoint.scanning.printed import Printed
from chalkpoint.scanning.pupils import number_on, tell_apart
from chalkpoint.scanning.reader import Reader, Reading, the_reader
from chalkpoint.scanning.stack import BLANK, MARRED, TICKED, WRITTEN, Page, Place, Stack

__all__ = ["Keep", "read_again", "read_stack"]

#: Ink added to a box to tick: less is none, more is a tick or a cross; between them the teacher looks.
NO_TICK, TICK = 0.02, 0.07
NO_WRITING = 0.004  # ink added to a place for words: less looks like none

Grey = npt.NDArray[np.uint8]
#: Takes the number of a page and the page laid flat, its name masked; there is nothing else to keep.
Keep = Callable[[int, Grey], None]
Watch = Callable[[int, int], None]
Moved = npt.NDArray[np.float64]


def read_stack(
    sources: Sequence[Source],
    printed: Printed,
    *,
    title: str = "",
    keep: Keep | None = None,
    watch: Watch | None = None,
    in_order: bool = False,
    before: Stack | None = None,
    named: str = "",
) -> Stack:
    """Return everything that is read from the pictures of a stack.

    keep      is handed each page that was laid flat, its name masked
    watch     is called with pictures done and pictures in all; to stop, it raises
    in_order  whether the teacher says that each pupil's sides lie together, in order
    before    what was read already, to which these pages are added
    named     the side, as the teacher names it, of pages whose codes cannot be read
    """
    reader = the_reader()
    stack = before or Stack(title)
    stack.in_order = stack.in_order or in_order
    stack.sides = {paper: printed.written_on(paper) for paper in printed.variants}
    stack.variants = printed.variants
    for done, source in enumerate(sources, start=1):
        page = Page(len(stack.pages) + 1, str(source), named=named)
        stack.pages.append(page)
        _read_page(stack, page, source, printed, reader, keep)
        if watch:
            watch(done, len(sources))
    tell_apart(stack)
    return stack


def read_again(stack: Stack, source: Source, number: int, printed: Printed, keep: Keep | None = None) -> None:
    """Read one page again, as the teacher named it."""
    for place in stack.on(number):
        del stack.places[place.id]
    page = stack.page(number)
    page.code, page.trouble = "", ""
    _read_page(stack, page, source, printed, the_reader(), keep)
    tell_apart(stack)


def _read_page(
    stack: Stack, page: Page, source: Source, printed: Printed, reader: Reader, keep: Keep | None
) -> None:
    picture = source.picture()
    if picture is None:
        page.trouble = "no picture that can be opened; take it again"
        return
    found = flat_page(picture, printed, page.named)
    if isinstance(found, Trouble):
        page.trouble, page.code = found.what, found.code
        return
    page.code = found.code
    high, wide = found.picture.shape
    page.width, page.height = wide / PER_MM, high / PER_MM
    if keep:
        keep(page.number, found.picture)
    for place in _places(page.number, found, printed.boxes[found.code], reader):
        stack.places[place.id] = place
    page.pupil = number_on(stack.on(page.number))


def _places(page: int, flat: Flat, boxes: Sequence[Box], reader: Reader) -> list[Place]:
    read = {
        at: reading._replace(sure=reading.sure and fits)
        for at, fits, reading in zip(flat.boxes, flat.fits, reader.read(flat.crops, flat.tone), strict=True)
    }
    for at, ink in flat.added.items():
        read[at] = _ticked(ink) if boxes[at].kind == "tick" else _written(ink)
    return [_place(page, at, boxes[at], read[at], flat.moved[at]) for at in sorted(read)]


def _ticked(ink: float) -> Reading:
    if ink <= NO_TICK:
        return Reading(BLANK, ink / NO_TICK / 2, sure=True)
    return Reading(TICKED, 0.0, sure=True) if ink >= TICK else Reading(MARRED, 0.5, sure=False)


def _written(ink: float) -> Reading:
    return (
        Reading(BLANK, ink / NO_WRITING, sure=False)
        if ink < NO_WRITING
        else Reading(WRITTEN, 1.0, sure=False)
    )


def _place(page: int, at: int, box: Box, read: Reading, moved: Moved) -> Place:
    return Place(
        page, at, box.question, box.line, box.field, box.bit, box.kind,
        round(box.x + float(moved[0]), 2), round(box.y + float(moved[1]), 2), box.width, box.height,
        read.reading, round(read.doubt, 7), read.sure, guess=read.guess,
    )  # fmt: skip
