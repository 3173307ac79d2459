"""Four answers to choose from, in the columns of the question's own rows, which are above them."""

from __future__ import annotations

import re

from chalkpoint.publishing.film.items import Words
from chalkpoint.publishing.film.lettering import WIDTH, fitting
from chalkpoint.publishing.film.measures import heights
from chalkpoint.publishing.film.page import BOTTOM, Page
from chalkpoint.publishing.film.row import Cell, Row
from chalkpoint.publishing.film.rows import EXPONENT
from chalkpoint.publishing.film.wordpages import draw_title
from chalkpoint.teaching.lesson import Choice
from chalkpoint.teaching.storyboard import Moment

__all__ = ["draw_choices"]

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
