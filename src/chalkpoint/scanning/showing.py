"""How places are shown: a piece of the page's own picture, what it is called, and its line."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from chalkpoint.scanning.review import Sheet
from chalkpoint.scanning.stack import Page, Place, Stack

__all__ = ["Shown", "crop_svg", "shown_in"]

Extent = tuple[float, float, float, float]
#: Says where the picture of a page is, by the page's number.
Address = Callable[[int], str]


@dataclass(frozen=True, slots=True)
class Shown:
    """A place or a line as it is shown.

    id        its name in a file of readings
    where     what it is called: whose, which question, which line, which box
    page      the number of its page
    box, line  "x y width height" of the box and of its whole line, in mm
    start     what it is taken for unless the teacher says otherwise
    asks, offers  the question about a line, and its answers
    """

    id: str
    where: str
    page: int
    box: str
    line: str
    start: str = ""
    asks: str = ""
    offers: tuple[str, ...] = ()


def shown_in(sheet: Sheet, stack: Stack) -> list[Shown]:
    """Return everything on a sheet as it is shown."""
    rows = stack.rows()
    if sheet.kind == "rule":
        return [_line(stack, rows[one.row], one.asks, one.offers, one.row) for one in sheet.rulings]
    return [_place(stack, place, rows[place.row], sheet.start) for place in sheet.places]


def _line(stack: Stack, row: list[Place], asks: str, offers: tuple[str, ...], name: str) -> Shown:
    extent = _text(_around(row, 3.0))
    return Shown(name, _called(stack, row[0], ""), row[0].page, extent, extent, "", asks, offers)


def _place(stack: Stack, place: Place, row: list[Place], start: str) -> Shown:
    box = {"free": "", "tick": f", {place.field}"}.get(place.kind, f", {place.field} box {place.bit}")
    near = place.height * 0.3 if place.kind != "free" else 1.0
    return Shown(
        place.id,
        _called(stack, place, box),
        place.page,
        _text(_around([place], near)),
        _text(_around(row, 3.0)),
        start,
    )


def _called(stack: Stack, place: Place, box: str) -> str:
    whose = stack.page(place.page).pupil or f"page {place.page}"
    return f"{whose}, question {place.question}, {place.line}{box}"


def _around(places: Iterable[Place], margin: float) -> Extent:
    boxes = list(places)
    left, top = min(one.x for one in boxes) - margin, min(one.y for one in boxes) - margin
    right = max(one.x + one.width for one in boxes) + margin
    bottom = max(one.y + one.height for one in boxes) + margin
    return left, top, right - left, bottom - top


def _text(extent: Extent) -> str:
    return " ".join(f"{one:.1f}" for one in extent)


def crop_svg(extent: str, picture: str, page: Page, scale: float) -> str:
    """Return a piece of a page as an SVG: *extent* in mm, of the *picture* of the whole page, *scale* px to the mm."""
    _, _, wide, high = (float(one) for one in extent.split())
    return (
        f'<svg viewBox="{extent}" width="{wide * scale:.0f}" height="{high * scale:.0f}" aria-hidden="true">'
        f'<image href="{picture}" width="{page.width:g}" height="{page.height:g}"/></svg>'
    )
