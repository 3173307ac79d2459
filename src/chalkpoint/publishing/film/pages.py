"""The pictures of a lesson: each view at a moment as one page, all on the same columns."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from chalkpoint.publishing.film.choices import draw_choices
from chalkpoint.publishing.film.done import rails_of, unchanged
from chalkpoint.publishing.film.items import Ledge, Words
from chalkpoint.publishing.film.measures import Measures
from chalkpoint.publishing.film.page import BOTTOM, LEDGE, TOP, Page
from chalkpoint.publishing.film.picture import Picture
from chalkpoint.publishing.film.wordpages import draw_question, draw_words
from chalkpoint.publishing.frames import Framer
from chalkpoint.teaching.storyboard import Moment, View
from chalkpoint.working.wording import words_lessons
from chalkpoint.working.working import Working

__all__ = ["Pages"]


class Pages:
    """Makes the pictures of all workings of one lesson."""

    def __init__(self, workings: Iterable[Working]) -> None:
        kept = list(workings)
        self._framer = Framer(kept)
        self._kept = {id(working): number for number, working in enumerate(kept)}
        scenes = [self._framer.scene_of(working) for working in kept]
        self.measures = Measures.of(scenes)

    def picture(self, view: View, moment: Moment | None = None, *, ledge: bool = True) -> Picture:
        """Return what is drawn on the page in *view* at *moment*."""
        picture = Picture()
        if ledge:
            picture.items["ledge"] = Ledge(y=LEDGE)
        match view.kind:
            case "question":
                draw_question(picture, view, whole=moment is None)
            case "step" | "check" if view.working:
                scene = self._framer.scene_of(view.working)
                prefix = f"{self._kept.get(id(view.working), 0)}:"
                page = Page(picture, scene, view, self.measures, prefix)
                page.draw(moment or Moment())
            case "split" if view.working and view.beside:
                self._split(picture, view)
            case "choices" if view.working:
                draw_choices(
                    Page(picture, self._framer.scene_of(view.working), view, self.measures, ""),
                    moment or Moment(),
                )
            case _:
                draw_words(picture, view)
        return picture

    def _split(self, picture: Picture, view: View) -> None:
        """Draw one step of two workings, the right one above; where they differ, the digits are marked."""
        upper, lower = (one for one in (view.working, view.beside) if one)
        both = [
            list(rails_of(self._framer.scene_of(one).blocks[view.step]).values()) for one in (upper, lower)
        ]
        page = Page(picture, self._framer.scene_of(upper), view, self.measures, "")
        page.top()
        page.headings()
        rows = max(1, sum(map(len, both)))
        tall = min(104.0, 1.5 * page.u + 12, (BOTTOM - TOP - 150) / (1.2 * rows))
        y = TOP + 50
        for side, rails in enumerate(both):
            other = [cell.digit for rail in both[1 - side] for cell in (*rail.cells, *rail.exponent)]
            name = Words(
                runs=((words_lessons.SIDES[side], "change" if side else "bold"),), x=60, y=y, size=36
            )
            picture.items[f"side{side}"] = name
            y += 16
            mine = iter(range(10_000))
            for at, rail in enumerate(rails):
                row = page.row(replace(unchanged(rail), operator=rail.operator), y, tall, tall=True)
                apart = [other[k] != c.digit if (k := next(mine)) < len(other) else True for c in row.cells]
                cells = tuple(
                    replace(cell, style="marked") if differs else cell
                    for cell, differs in zip(row.cells, apart, strict=True)
                )
                picture.items[f"split:{view.step}:{side}:{at}"] = replace(row, cells=cells)
                y += 1.2 * tall
            y += 56
