"""Frames: what a class sees for each shot of a storyboard, on columns that never move through a lesson.

A frame is a scene's step with some rows not shown yet, or lines of text, a check, four answers. Slides, video
and board draw frames; none works anything out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from chalkpoint.publishing.parts import Check, Held, Item, Names, PlaceValues, Rail, Scene, Threads, Tray
from chalkpoint.publishing.scene import scene
from chalkpoint.teaching.lesson import Choice
from chalkpoint.teaching.storyboard import Shot, Storyboard, View
from chalkpoint.working.working import Working

MOST_ROWS, FIRST_ROWS, LAST_ROWS = 15, 8, 5  # of a step

__all__ = ["Frame", "Framer", "frames", "place_values_of", "together"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """The board during a shot.

    number    the step's number, or ""
    title     its heading
    detail    the sentence below
    lines     lines of text
    items     the items of a step, each with whether it is shown yet
    tray      the tray whose walls stand when the step ends
    decimals  the shown rows' values, in one line
    check     the check in decimal, on its own frame
    choices   four answers, and whether the right one is marked
    mark      a word over a working that is wrong on purpose
    strip     the names of the working's steps; *at* is the one shown
    asked     the question, and what to expect
    scene     the scene it is cut from, its columns common to the lesson
    """

    title: str
    number: str = ""
    detail: str = ""
    lines: tuple[str, ...] = ()
    items: tuple[tuple[Item, bool], ...] = ()
    tray: Tray | None = None
    decimals: str = ""
    check: Check | None = None
    choices: tuple[Choice, ...] = ()
    revealed: bool = False
    mark: str = ""
    strip: tuple[str, ...] = ()
    at: int = -1
    asked: str = ""
    scene: Scene | None = None

    @property
    def words(self) -> str:
        """The frame's picture for those who cannot see it: a sentence a row."""
        rows = [item.words for item, shown in self.items if shown and isinstance(item, Rail) and item.words]
        said = [row if row.endswith(".") else f"{row}." for row in rows]
        if self.check:
            said += [left.words for left in self.check.left]
            said += [self.check.ruler.words] if self.check.ruler else []
        return " ".join(said)


class Framer:
    """Makes frames of the shots of one storyboard."""

    def __init__(self, workings: Iterable[Working]) -> None:
        drawn = {id(working): (working, scene(working)) for working in workings}
        self._scenes = {key: one for key, (_, one) in drawn.items()}
        self._kept = [working for working, _ in drawn.values()]  # so that no id is used twice
        if self._scenes:
            every = self._scenes.values()
            first, last = min(one.first for one in every), max(one.last for one in every)
            before, after = max(one.before for one in every), max(one.after for one in every)
            sign = max(one.sign for one in every)
            self._scenes = {
                key: replace(one, first=first, last=last, before=before, after=after, sign=sign)
                for key, one in self._scenes.items()
            }

    def scene_of(self, working: Working) -> Scene:
        """Return the scene of one of the workings, on the lesson's columns."""
        return self._scenes[id(working)]

    def frame(self, view: View) -> Frame:
        """Return the frame of *view*."""
        drawn = self._scenes[id(view.working)] if view.working else None
        asked = f"{view.working.title}   {view.estimate}".strip() if view.working else ""
        whole = Frame(title=view.title, mark=view.mark, scene=drawn, asked=asked)
        match view.kind:
            case "step" if drawn:
                return self._step(whole, view, drawn)
            case "check" if drawn:
                check = drawn.check
                strip = _strip(view.working)
                return replace(
                    whole,
                    number=str(check.number),
                    detail=view.detail,
                    check=check,
                    strip=strip,
                    at=view.step,
                )
            case "split" if drawn and view.beside:
                both = (*drawn.blocks[view.step].items, *self.scene_of(view.beside).blocks[view.step].items)
                rows = tuple((replace(item, tray=None), True) for item in both if isinstance(item, Rail))
                return replace(whole, detail=view.detail, items=rows)
            case "choices":
                return replace(
                    whole, detail=view.detail, choices=view.choices, revealed=view.revealed, asked=""
                )
        return replace(whole, lines=view.lines)

    def _step(self, whole: Frame, view: View, drawn: Scene) -> Frame:
        block = drawn.blocks[view.step]
        items = tuple(_few(tuple(_shown(block.items, view.hidden, drawn))))
        return replace(
            whole,
            number=str(block.number),
            detail=view.detail,
            items=items,
            tray=block.tray,
            decimals=_decimals(item for item, shown in items if shown),
            strip=_strip(view.working),
            at=view.step,
        )


def frames(told: Storyboard) -> list[tuple[Shot, Frame]]:
    """Return each shot of *told* with its frame.

    >>> from chalkpoint.teaching.lessonfile import lesson_of
    >>> from chalkpoint.teaching.parts import storyboard
    >>> from chalkpoint.working.work import work
    >>> shown = frames(storyboard(lesson_of(work("add", "1.5", "2.5"))))
    >>> shown[1][1].title, shown[1][1].decimals
    ('Read', 'first 1.5, second 2.5')
    """
    framer = Framer(told.workings)
    return [(shot, framer.frame(shot.view)) for shot in told.shots]


def together(shown: Iterable[tuple[Shot, Frame]]) -> Iterator[tuple[list[Shot], Frame]]:
    """Yield the shots of one picture and its frame: a step's rows come together, unless a pause parts them."""
    held: list[Shot] = []
    last: Frame | None = None
    for shot, frame in shown:
        if last is not None and (not _same_step(held[-1], shot) or any(cue.silent for cue in held[-1].cues)):
            yield held, last
            held = []
        held.append(shot)
        last = frame
    if last is not None:
        yield held, last


def _same_step(one: Shot, other: Shot) -> bool:
    a, b = one.view, other.view
    same = (a.kind, a.title, a.step, a.revealed, a.mark) == (b.kind, b.title, b.step, b.revealed, b.mark)
    return same and one.part == other.part and a.working is b.working


def _strip(working: Working | None) -> tuple[str, ...]:
    return (*(step.rule for step in working.steps), "check") if working else ()


def _shown(items: tuple[Item, ...], hidden: frozenset[int], drawn: Scene) -> Iterator[tuple[Item, bool]]:
    """Yield *items* with whether each is shown: threads go with the row below, place values with that above.

    The last rail always has its place values, so that a class can read it from the back.
    """
    row, shown = -1, True
    for at, item in enumerate(items):
        if isinstance(item, PlaceValues | Names | Held):
            yield item, shown
            continue
        if isinstance(item, Threads):
            yield item, row + 1 not in hidden
            continue
        row += 1
        shown = row not in hidden
        yield item, shown
        if at == len(items) - 1 and isinstance(item, Rail):
            below = place_values_of(item, drawn)
            if below:
                yield replace(below, tray=item.tray), shown


def _few(items: tuple[tuple[Item, bool], ...]) -> Iterator[tuple[Item, bool]]:
    """Yield *items*; of more rows than a class can read, such as a long division's, the first and the last."""
    rails = [at for at, (item, _) in enumerate(items) if isinstance(item, Rail)]
    left_out = rails[FIRST_ROWS : len(rails) - LAST_ROWS] if len(rails) > MOST_ROWS else []
    for at, (item, shown) in enumerate(items):
        if left_out and at == left_out[0] and isinstance(item, Rail):
            names = tuple((cell.column, "\u2026") for cell in item.cells[1::8])
            yield Names(names=names, tray=item.tray), shown
        if not (left_out and left_out[0] <= at <= left_out[-1]):
            yield item, shown


def place_values_of(rail: Rail, drawn: Scene) -> PlaceValues | None:
    """Return the place values of *rail*'s columns, which stand somewhere in its scene."""
    columns = [cell.column for cell in rail.cells if cell.kind == "kept"]
    every = [item for block in drawn.blocks for item in block.items if isinstance(item, PlaceValues)]
    for weighed in every:
        same_side = weighed.exponent_first == rail.exponent_first
        if rail.exponent and same_side and weighed.weights and columns[:1] == [weighed.weights[0].column]:
            return weighed
    return None


def _decimals(items: Iterable[Item]) -> str:
    rails = [item for item in items if isinstance(item, Rail) and item.value]
    return ", ".join(
        f"{rail.label} {rail.value}" + (f" and {rail.lost_words}" if rail.worth else "") for rail in rails
    )
