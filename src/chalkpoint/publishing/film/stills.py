"""Every state of the page as a picture file, for programs that take pictures."""

from __future__ import annotations

from collections.abc import Iterator

from chalkpoint.publishing.film.pages import Pages
from chalkpoint.publishing.film.pen import Canvas
from chalkpoint.publishing.film.picture import Picture
from chalkpoint.teaching.storyboard import Storyboard

__all__ = ["pngs", "said_over", "states"]


def states(told: Storyboard) -> Iterator[tuple[int, Picture]]:
    """Yield each state of the page that differs from the one before, with the ms at which it comes."""
    pages = Pages(told.workings)
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


def said_over(told: Storyboard) -> list[tuple[int, int]]:
    """Return of each state its first cue's number and how many cues are said while it is shown."""
    starts = {start for start, _ in states(told)}
    found: list[tuple[int, int]] = []
    for number, (start, _, _) in enumerate(told.timed_shots()):
        if start in starts or not found:
            found.append((number, 1))
            starts.discard(start)
        else:
            found[-1] = (found[-1][0], found[-1][1] + 1)
    return found
