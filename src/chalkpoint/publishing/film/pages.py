"""The pictures of a lesson: each view at a moment as one page, all on the same columns."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from chalkpoint.publishing.film.done import rails_of, unchanged
from chalkpoint.publishing.film.items import Ledge, Words
from chalkpoint.publishing.film.lettering import WIDTH, fitting
from chalkpoint.publishing.film.measures import Measures, heights
from chalkpoint.publishing.film.page import BOTTOM, LEDGE, TOP, Page
from chalkpoint.publishing.film.picture import Picture
from chalkpoint.publishing.film.row import Cell, Row
from chalkpoint.publishing.film.rows import EXPONENT
from chalkpoint.publishing.film.wordpages import draw_question, draw_title, draw_words
from chalkpoint.publishing.frames import Framer
from chalkpoint.teaching.lesson import Choice
from chalkpoint.teaching.storyboard import Moment, View
from chalkpoint.working.wording import words_lessons
from chalkpoint.working.working import Working

__all__ = ["Pages", "draw_choices"]

BITS = re.compile(r"([01]+)(?:\.([01]+))? ([01]*)")
TALL, SAYS = 70.0, 34.0  # px, an answer and what was thought below it


def draw_choices(page: Page, moment: Moment) -> None:
    """Draw the question, its rows so far, and the answers, the right one marked once it is revealed.

    moment  its stage names the wrong answers whose thought has been told; "" for all
    """
    view = page.view
    y = draw_title(page.picture, view)
    size = fitting(view.detail, WIDTH - 220, 46, 26)
    page.put("asked", Words(runs=((view.detail, "soft"),), x=110, y=y - 10, size=size))
    needed = len(view.choices) * (TALL + SAYS + 10)
    high = heights(len(page.done), [], BOTTOM - needed - y, page.u, 0)
    bottom = page.folded(high, y + 24)
    each = (BOTTOM - bottom - 20) / max(1, len(view.choices))
    for at, choice in enumerate(view.choices):
        told = not moment.stage or choice.letter in moment.stage
        _draw(page, choice, bottom + 20 + each * at, min(TALL, each - SAYS - 6), told=told)


def _draw(page: Page, choice: Choice, y: float, h: float, *, told: bool) -> None:
    marked = page.view.revealed and choice.right
    row = _row(page, choice, y, h, marked=marked)
    name = f"choice{choice.letter}"
    if row is None:
        size = fitting(choice.answer, WIDTH - page.x(0) - 60, 56, 28)
        runs = ((f"{choice.letter}   ", "bold"), (choice.answer, "change" if marked else ""))
        page.put(name, Words(runs=runs, x=page.x(0) - 80, y=y + 0.7 * h, size=size))
    else:
        page.put(name, row)
    below = "right" if marked else choice.says if page.view.revealed and told else ""
    if below:
        size = fitting(below, WIDTH - page.x(0) - 60, 30, 20)
        said = Words(runs=((below, "change" if marked else "soft"),), x=page.x(0), y=y + h + 30, size=size)
        page.put(f"{name}.says", said)


def _row(page: Page, choice: Choice, y: float, h: float, *, marked: bool) -> Row | None:
    """Return an answer in bits as a row in the columns of the question's; None where it is a word."""
    found = BITS.fullmatch(choice.answer)
    fmt = page.view.working.question.format if page.view.working else None
    if not found or fmt is None:
        return None
    whole, part, exponent = found.groups()
    bits, places = whole + (part or ""), len(part) if part else fmt.places
    style = "changed" if marked else "kept"
    start, last = 1 - (len(bits) - places), places
    cells = [
        Cell(page.x(start + at), digit, style, start + at, start + at == last, at == 0)
        for at, digit in enumerate(bits)
    ]
    left = page.row_builder.exponent_at(first=page.exponent_first)
    cells += [
        Cell((left + at) * page.u, digit, style, EXPONENT + at, at == len(exponent) - 1, at == 0)
        for at, digit in enumerate(exponent)
    ]
    return Row(
        label=choice.letter,
        cells=tuple(cells),
        y=y,
        h=h,
        u=page.u,
        label_x=page.measures.label_x,
        point=page.x(1),
        words=f"{choice.letter}: {choice.answer}",
    )


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
