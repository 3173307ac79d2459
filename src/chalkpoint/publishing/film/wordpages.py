"""Pages of words: the question, sentences."""

from __future__ import annotations

from collections.abc import Iterator

from chalkpoint.publishing.film.items import WIDTH, Words, fitting, text_width
from chalkpoint.publishing.film.picture import Picture
from chalkpoint.teaching.storyboard import View

__all__ = ["draw_question", "draw_title", "draw_words", "wrapped"]

LEFT = 110.0
ROOM = WIDTH - 2 * LEFT


def wrapped(text: str, size: float, room: float) -> Iterator[str]:
    """Yield *text* in lines no wider than *room*."""
    line = ""
    for word in text.split(" "):
        longer = f"{line} {word}".strip()
        if line and text_width(longer, size) > room:
            yield line
            line = word
        else:
            line = longer
    yield line


def draw_question(picture: Picture, view: View, *, whole: bool) -> None:
    """State the question; below it, once it is *whole*, what to expect."""
    size = fitting(view.title, ROOM / 1.09, 100, 40)
    y = 450.0
    for at, line in enumerate(wrapped(view.title, size, ROOM)):
        words = Words(runs=((line, "bold"),), x=WIDTH / 2, y=y, size=size, anchor="middle")
        picture.items[f"asked{at}"] = words
        y += 1.3 * size
    for at, line in enumerate(view.lines if whole else ()):
        size = fitting(line, ROOM, 62, 30)
        words = Words(runs=((line, "change"),), x=WIDTH / 2, y=y + 60, size=size, anchor="middle")
        picture.items[f"expected{at}"] = words
        y += 1.5 * size


def draw_title(picture: Picture, view: View) -> float:
    """Write the title and return where it ends."""
    size, y = fitting(view.title, ROOM * 1.8, 60, 34), 130.0
    for at, line in enumerate(wrapped(view.title, size, ROOM)):
        picture.items[f"title{at}"] = Words(runs=((line, "bold"),), x=LEFT, y=y, size=size)
        y += 1.25 * size
    return y


def draw_words(picture: Picture, view: View) -> None:
    """Write the title and the lines said so far."""
    y = draw_title(picture, view) + 60
    size = 50.0
    while (
        size > 28 and sum(len(list(wrapped(line, size, ROOM))) for line in view.lines) * 1.5 * size > 900 - y
    ):
        size -= 4
    for at, text in enumerate(view.lines):
        for part, line in enumerate(wrapped(text, size, ROOM)):
            picture.items[f"line{at}.{part}"] = Words(runs=((line, ""),), x=LEFT, y=y, size=size)
            y += 1.35 * size
        y += 0.5 * size
