"""The check on the page: the answer and the exact one on a number line, the tray's bits laid into the gap."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from chalkpoint.publishing.film.items import Chunk, NumberLine, Walls, Words
from chalkpoint.publishing.film.lettering import WIDTH, fitting, text_width
from chalkpoint.publishing.film.shortening import shortened
from chalkpoint.publishing.film.wordpages import wrapped
from chalkpoint.publishing.parts import Left, Rail, Ruler
from chalkpoint.teaching.storyboard import Moment
from chalkpoint.working.steps import Loss

if TYPE_CHECKING:
    from chalkpoint.publishing.film.page import Page

__all__ = ["draw_check"]

LINE = (300.0, 1320.0)  # where the number line begins, and how long it is
STAGES = ("line", "exact", "gap", "tray", "")
FLOOR = 74.0  # px, height of the tray's bits on its floor
BOTTOM = 944.0
BITE = 58.0  # and on the number line


def draw_check(page: Page, moment: Moment, bottom: float) -> None:
    """Draw the check of *page*'s working below *bottom*, as far as the *moment*'s stage, or its sum."""
    check, stage = page.scene.check, moment.stage
    if moment.aside:
        text = shortened(moment.aside)
        size = fitting(text, (WIDTH - 200) / 1.1, 72, 30)
        y = (bottom + BOTTOM) / 2
        page.put("sum", Words(runs=((text, "bold"),), x=WIDTH / 2, y=y, size=size, anchor="middle"))
        return
    far = STAGES.index(stage) if stage in STAGES else len(STAGES) - 1
    if check.ruler is None:
        _in_words(page, bottom, whole=stage == "")
        return
    line = min(812.0, max(bottom + 250, 760))
    floor = min(line - 130, bottom + 40 + FLOOR)
    _number_line(page, check.ruler, line, far)
    _tray(page, bottom, floor)
    losses = [loss for loss in (page.view.working.losses if page.view.working else ()) if loss.worth]
    digits = list(zip(check.left, losses, strict=False))
    if far >= STAGES.index("tray") and digits and _accounts(page, losses):
        _pieces(page, check.ruler, digits, (line, floor), home=stage == "")
    elif stage == "":
        text = shortened(". ".join((check.verdict, *check.reasons[:1])).removesuffix("."))
        lines = list(wrapped(text, 36, (WIDTH - 200) / 1.1))[:2]
        for at, part in enumerate(lines):
            y = line - 24 - 46 * (len(lines) - at)
            words = Words(runs=((part, "change"),), x=WIDTH / 2, y=y, size=36, anchor="middle")
            page.put(f"verdict{at}", words)


def _in_words(page: Page, bottom: float, *, whole: bool) -> None:
    """Write the check line by line where there is no gap to draw."""
    check, y = page.scene.check, bottom + 70
    names = page.view.working.question.names if page.view.working else ()
    lines = [line for line in check.lines if line[0] not in names]  # operands are shown above already
    room = max(1, len(lines) + 2)
    each = min(64.0, (930 - y) / room)
    for at, (label, text) in enumerate(lines):
        size = fitting(text, WIDTH - 520, min(38.0, 0.62 * each), 18)
        page.put(f"check{at}.label", Words(runs=((label, "soft"),), x=400, y=y, size=size, anchor="end"))
        page.put(f"check{at}", Words(runs=((text, ""),), x=440, y=y, size=size))
        y += each
    if whole:
        text = ". ".join((check.verdict, *check.reasons[:1])).removesuffix(".")
        for at, line in enumerate(list(wrapped(text, 40, WIDTH - 520))[:2]):
            page.put(f"verdict{at}", Words(runs=((line, "change"),), x=440, y=y + 24 + 52 * at, size=40))


def _at(ruler: Ruler, place: Fraction | int) -> float:
    start, long = LINE
    return start + long * float(Fraction(place) / ruler.steps)


def _number_line(page: Page, ruler: Ruler, y: float, far: int) -> None:
    exact, worked = _at(ruler, ruler.exact), _at(ruler, ruler.worked)
    (exact_name, exact_value), (_, worked_value) = ((name, shortened(value)) for name, value in ruler.labels)
    marks = [_mark(worked, exact, "our answer", worked_value, (exact_value, worked_value), bold=True)]
    if far >= STAGES.index("exact"):
        marks.append(_mark(exact, worked, exact_name, exact_value, (exact_value, worked_value), bold=False))
    line = NumberLine(
        x=LINE[0] - 60,
        w=LINE[1] + 120,
        y=y,
        ticks=tuple(_at(ruler, tick.at) for tick in ruler.ticks),
        marks=tuple(marks),
        scale=ruler.scale,
    )
    page.put("line", line)
    if far == STAGES.index("gap") or (far > STAGES.index("gap") and not page.scene.check.left):
        gap = page.view.working.check.error if page.view.working else None
        if gap is not None:
            middle, text = (exact + worked) / 2, shortened(page.gap_words(abs(gap)))
            page.put("gap.bar", Chunk(digits="", x=min(exact, worked), y=y - 22, w=abs(exact - worked), h=16))
            page.put("gap", Words(runs=((text, "change"),), x=middle, y=y - 40, size=40, anchor="middle"))


def _mark(
    x: float, other: float, name: str, value: str, values: tuple[str, str], *, bold: bool
) -> tuple[float, str, str, str, bool]:
    """Return a mark on the line; the words of two that are near each other lean away."""
    wide = max(text_width(each, 38, bold=True) for each in (*values, "our answer"))
    anchor = "middle" if abs(x - other) > 1.15 * wide else "end" if x < other else "start"
    return x, anchor, name, value, bold


def _tray(page: Page, bottom: float, floor: float) -> None:
    for at, (x, top, width) in enumerate(page.walls):
        page.put(f"walls{at}", Walls(x=x, y=top, w=width, h=floor - top, floor=True))


def _accounts(page: Page, losses: list[Loss]) -> bool:
    """Tell whether the lost bits are the whole error, all on one side."""
    error = page.view.working.check.error if page.view.working else None
    rails = [item for block in page.scene.blocks for item in block.items if isinstance(item, Rail)]
    if any(rail.rounded_up for rail in rails):
        return False
    return (
        bool(losses)
        and len({loss.worth > 0 for loss in losses}) == 1
        and sum(loss.worth for loss in losses) == error
    )


def _pieces(
    page: Page, ruler: Ruler, digits: list[tuple[Left, Loss]], heights: tuple[float, float], *, home: bool
) -> None:
    """Draw what the tray holds: on its floor, or *home* on the number line, as long as it is worth."""
    line, floor = heights
    start = min(ruler.exact, ruler.worked)
    whole = abs(ruler.exact - ruler.worked)
    total = sum(abs(loss.worth) for _, loss in digits)
    for at, (left, loss) in enumerate(digits):
        text = "".join(cell.digit for cell in left.cells)
        long = whole * abs(loss.worth) / total
        if home:
            x, w = _at(ruler, start), _at(ruler, start + long) - _at(ruler, start)
            piece = Chunk(digits=text, x=x, y=line - BITE, w=w, h=BITE)
        else:
            x = page.x(left.cells[0].column)
            high = FLOOR - 6
            piece = Chunk(digits=text, x=x, y=floor - high - at * (high + 4), w=page.u * len(text), h=high)
        page.put(f"piece{at}", piece)
        start += long
