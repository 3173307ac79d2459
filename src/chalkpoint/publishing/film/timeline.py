"""A lesson's cues as pictures a 25th of a second apart: which of them change, and what each shows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from chalkpoint.publishing.film.items import Bit, Countdown, Item
from chalkpoint.publishing.film.moving import Move, moves
from chalkpoint.publishing.film.pages import Pages
from chalkpoint.publishing.film.pen import Canvas
from chalkpoint.publishing.film.picture import Picture
from chalkpoint.teaching.storyboard import Storyboard

__all__ = ["RATE", "Stretch", "drawn", "stretches"]

RATE = 25  # pictures a second
FEWEST = 3000  # ms: a shorter pause needs no countdown
TICK = 25  # pictures between two states of a countdown


@dataclass(slots=True)
class Stretch:
    """One cue: its pictures *first* to *first* + *count*, what is still in it and what moves.

    asked  what a class thinks about while a countdown runs, or ""
    """

    first: int
    count: int
    picture: Picture
    still: dict[str, Item]
    moving: list[Move]
    asked: str = ""

    @property
    def busy(self) -> int:
        """About how many pictures of it change."""
        last = max((move.start + move.seconds for move in self.moving), default=0.0)
        return min(self.count, round(last * RATE) + 1) + (self.count // TICK if self.asked else 0)


def stretches(told: Storyboard, *, motion: bool = True) -> Iterator[Stretch]:
    """Yield a stretch for each cue of *told*; without *motion* every picture is at once as it will be."""
    pages = Pages(told.workings)
    before = Picture()
    for start, shot, cue in told.timed_shots():
        first, last = start * RATE // 1000, (start + cue.milliseconds) * RATE // 1000
        if last == first:
            continue
        picture = pages.picture(shot.view, cue.moment)
        moving, still = moves(before, picture, (last - first) / RATE) if motion else ([], picture.items)
        asked = cue.written if cue.silent and cue.milliseconds >= FEWEST else ""
        yield Stretch(first, last - first, picture, dict(still), moving, asked)
        before = picture


def drawn(stretch: Stretch, look: str) -> Iterator[tuple[int, Canvas]]:
    """Yield (number, picture) of each picture of *stretch* that differs from the one before, its first always."""
    draughts = _Draughts(stretch, look)
    for number in range(stretch.count):
        time = (number + 1) / RATE
        live = [m for m in stretch.moving if time - 1.5 / RATE < m.start + m.seconds and time > m.start]
        ticks = stretch.asked and number % TICK == 0
        if not (live or ticks or number == 0):
            continue
        canvas = draughts.at(time, {move.name for move in live})
        if stretch.asked:
            left = 1 - number / max(1, stretch.count - TICK)
            Countdown(text=stretch.asked, left=max(0.0, left)).draw(canvas)
        yield stretch.first + number, canvas


class _Draughts:
    """Draws the pictures of one stretch; what is still meanwhile is drawn once."""

    def __init__(self, stretch: Stretch, look: str) -> None:
        self.stretch = stretch
        self.look = look
        self.order = [*stretch.picture.items, *(move.name for move in stretch.moving if ">" in move.name)]
        self._base = Canvas(look)
        self._holds: tuple[tuple[str, int], ...] = ()

    def at(self, time: float, moving: set[str]) -> Canvas:
        """Return the picture at *time* s, when what is called one of *moving* moves."""
        shown = _at(self.stretch, time)
        names = [name for name in self.order if name in shown]
        if names and names[0] in moving:  # the pointer lies under everything, so all is drawn anew
            return self._drawn(Canvas(self.look), [shown[name] for name in names])
        still = [name for name in names if name not in moving]
        holds = tuple((name, id(shown[name])) for name in still)
        if holds != self._holds:
            self._base, self._holds = self._drawn(Canvas(self.look), [shown[name] for name in still]), holds
        return self._drawn(self._base.copy(), [shown[name] for name in names if name in moving])

    @staticmethod
    def _drawn(canvas: Canvas, items: list[Item]) -> Canvas:
        for item in items:
            item.draw(canvas)
        return canvas


def _at(stretch: Stretch, time: float) -> dict[str, Item]:
    """Return what is shown at *time* s of a stretch, by name."""
    shown = dict(stretch.still)
    for move in stretch.moving:
        item = move.at(time) if time > move.start or move.begin is not None else None
        flying = ">" in move.name
        if time < move.start and (flying or isinstance(move.end, Bit)):
            continue
        landed = move.name.rpartition(">")[0]
        if flying and landed in shown and _complete(stretch, landed, time):
            continue
        if move.begin is move.end and time < move.start:
            continue  # a row that waits for its digits
        if item is not None:
            shown[move.name] = item
    return shown


def _complete(stretch: Stretch, name: str, time: float) -> bool:
    """Tell whether all digits of a row have come, so that the row itself shows them."""
    return any(move.name == name and move.begin is move.end and time >= move.start for move in stretch.moving)
