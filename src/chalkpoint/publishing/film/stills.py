"""Every state of the page as a picture file, for programs that take pictures."""

from __future__ import annotations

from collections.abc import Iterator

from chalkpoint.publishing.film.page import Pages
from chalkpoint.publishing.film.pen import Canvas
from chalkpoint.publishing.film.picture import Picture
from chalkpoint.teaching.storyboard import Storyboard

__all__ = ["pngs", "states"]


def states(told: Storyboard) -> Iterator[tuple[int, Picture]]:
    """Yield each state of the page that differs from the one before, with the ms at which it comes."""
    pages = Pages({id(s.view.working): s.view.working for s in told.shots if s.view.working}.values())
    before = Picture()
    for start, shot, cue in told.timed_shots():
        picture = pages.picture(shot.view, cue.moment)
        if picture.items != before.items:
            yield start, picture
        before = picture


def pngs(told: Storyboard, *, look: str = "light") -> Iterator[bytes]:
    """Yield each state as a PNG picture of 1920 by 1080."""
    for _, picture in states(told):
        canvas = Canvas(look)
        for item in picture.items.values():
            item.draw(canvas)
        yield canvas.png()
