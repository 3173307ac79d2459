"""Rows of a film's frames and of a board read back: what a pen is asked to write, and the drawings of the page."""

from __future__ import annotations

import re
from collections.abc import Iterator
from xml.etree import ElementTree as ET

from chalkpoint.publishing.board import board
from chalkpoint.publishing.film.pages import Pages
from chalkpoint.publishing.film.picture import Picture
from chalkpoint.teaching.lesson import Lesson
from chalkpoint.teaching.parts import storyboard
from columns import Mark

__all__ = ["board_steps", "film_steps"]

DIGITS = set("0123456789\u2212\u2026")
DRAWING = re.compile(r'<svg viewBox="0 150 .*?</svg>', re.DOTALL)

Named = dict[str, list[Mark]]


class Reader:
    """A pen that keeps what is written around a middle, which labels are not."""

    def __init__(self) -> None:
        self.marks: list[Mark] = []

    def nothing(self, *_: object, **__: object) -> None:
        """Draw nothing."""

    box = hatch = wedge = stroke = nothing

    def text(
        self,
        at: tuple[float, float],
        text: str,
        size: float,
        colour: str = "ink",
        *,
        bold: bool = False,
        anchor: str = "start",
        a: float = 1,
    ) -> None:
        """Keep a digit."""
        if anchor == "middle" and is_digit(text):
            self.marks.append(Mark(text, at[0]))


def is_digit(text: str) -> bool:
    """Tell whether *text* is a digit of a row, or a whole exponent."""
    return bool(text) and set(text) <= DIGITS and text != "\u2212"


def named(name: str) -> str:
    """Return what a thing on a page is called without the number of its working."""
    return name.partition(":")[2]


def is_row(name: str) -> bool:
    """Tell whether a thing is a row of the step at work, a carry over it, or a row that is done and holds its tray."""
    return named(name).startswith(("row:", "carry", "done:")) and named(name) != "carry"


def in_picture(picture: Picture) -> Named:
    """Return the digits of each row in a frame, and each carry."""
    found: Named = {}
    for name, item in picture.items.items():
        if is_row(name):
            pen = Reader()
            item.draw(pen)
            if pen.marks:
                found[named(name)] = sorted(pen.marks, key=lambda mark: mark.x)
    return found


def film_steps(lesson: Lesson) -> Iterator[Named]:
    """Yield what the last frame of each step shows."""
    told = storyboard(lesson)
    pages = Pages(told.workings)
    last: dict[int, Named] = {}
    for shot in told.shots:
        if shot.view.kind == "step":
            moment = shot.cues[-1].moment if shot.cues else None
            last[shot.view.step] = in_picture(pages.picture(shot.view, moment))
    yield from (last[step] for step in sorted(last))


def board_steps(lesson: Lesson) -> list[Named]:
    """Return what each drawing of a board shows at last, row by row."""
    found = []
    for drawing in DRAWING.findall(board(lesson)):
        shown: Named = {}
        for group in ET.fromstring(drawing).iter("g"):  # noqa: S314 -- our own
            name = group.get("data-name", "")
            marks = [
                Mark(text.text or "", float(text.get("x", "0")))
                for text in group.iter("text")
                if text.get("text-anchor") == "middle" and is_digit(text.text or "")
            ]
            if is_row(name) and marks:
                shown[named(name)] = sorted(marks, key=lambda mark: mark.x)
        found.append(shown)
    return found
