"""A line of working from its boxes: what it says, and what about it only the teacher can rule."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from chalkpoint.scanning.stack import BLANK, MARRED, TICKED, Place, Stack

__all__ = ["BY_BOX", "CROSSED_OUT", "NOT_USED", "SPARE", "Ruling", "open_rulings", "withheld", "written_in"]

SPARE = "spare"
CROSSED_OUT, BY_BOX, NOT_USED = "crossed out", "box by box", "not used"
MOST_MARRED = 3  # boxes of one line past which it is asked about as a whole
TRAY = "tray"
EMPTY = frozenset({BLANK, "crossed"})


@dataclass(frozen=True, slots=True)
class Ruling:
    """A question about a whole line that only the teacher can answer.

    row     the line's name
    asks    the question
    offers  what may be answered
    """

    row: str
    asks: str
    offers: tuple[str, ...]


def _bits(row: Sequence[Place]) -> list[Place]:
    return [place for place in row if place.kind in {"bit", TRAY}]


def _ticks(row: Sequence[Place]) -> list[Place]:
    return [place for place in row if place.kind == "tick"]


def crossed_out(row: Sequence[Place]) -> bool:
    """Tell whether a line looks crossed out as a whole: at least half of what is written in it is marred."""
    marred = [place for place in _bits(row) if place.reading == MARRED]
    written = [place for place in _bits(row) if place.reading != BLANK]
    return len(marred) >= MOST_MARRED and 2 * len(marred) >= len(written)


def withheld(stack: Stack) -> set[str]:
    """Return the boxes of lines that are ruled on as a whole first, or were ruled to be crossed out."""
    return {
        place.id
        for name, row in stack.rows().items()
        if crossed_out(row) and stack.rulings.get(name) != BY_BOX
        for place in row
    }


def open_rulings(stack: Stack) -> list[Ruling]:
    """Return what must be ruled on whole lines, as far as their boxes are settled."""
    return [
        ruling
        for name, row in stack.rows().items()
        if name not in stack.rulings and (ruling := _ruling(name, row)) is not None
    ]


def _ruling(name: str, row: list[Place]) -> Ruling | None:
    if crossed_out(row):
        return Ruling(name, "Is this line crossed out?", (CROSSED_OUT, BY_BOX))
    if not all(place.settled for place in row if place.kind != "free"):
        return None
    written = any(place.value not in EMPTY for place in _bits(row))
    ticked = [place.field for place in _ticks(row) if place.value == TICKED]
    if row[0].line == SPARE:
        if (written or ticked) and (not written or len(ticked) != 1):
            lines = tuple(place.field for place in _ticks(row))
            return Ruling(name, "Which line does this spare line replace?", (*lines, NOT_USED))
    elif ticked and (written or len(ticked) > 1):
        return Ruling(name, "Which of these is the answer?", (*ticked, BY_BOX))
    return None


def written_in(stack: Stack, name: str, row: Sequence[Place]) -> tuple[str, str]:
    """Return (the line it is for, what is written), as an answer is typed; nothing written is "".

    A line ruled to be crossed out is empty. A box that cannot be read is "?", and so is a gap between two digits.
    """
    ruling = stack.rulings.get(name, "")
    free = [place.said for place in row if place.kind == "free" and place.said != BLANK]
    ticked = [place.field for place in _ticks(row) if place.value == TICKED]
    line = row[0].line
    if line == SPARE:
        line = ruling or (ticked[0] if len(ticked) == 1 else NOT_USED)
        return (line, "" if line == NOT_USED else _digits(row))
    if ruling == CROSSED_OUT:
        return line, ""
    if ticked and ruling != BY_BOX:
        return line, ruling or ticked[0]
    if any(free):
        return line, ", ".join(text for text in free if text)
    return line, _digits(row)


def _digits(row: Sequence[Place]) -> str:
    """Return the digits of a line, field by field; with the fields' names where they are not all there side by side."""
    fields: dict[str, list[Place]] = {}
    for place in _bits(row):
        fields.setdefault(place.field, []).append(place)
    lost = _run(fields.pop(TRAY, []))
    texts = {field: text for field, places in fields.items() if (text := _run(places))}
    if lost and texts:
        first = next(iter(texts))
        texts[first] = f"{texts[first]}|{lost}"
    heights = [place.y for place in _bits(row)] or [0.0]
    side_by_side = max(heights) - min(heights) < row[0].height / 2  # paper bends, so never quite level
    if len(fields) == 1 or (side_by_side and len(texts) == len(fields)):
        return " ".join(texts.values())
    return ", ".join(f"{field}: {text}" for field, text in texts.items())


def _run(places: Sequence[Place]) -> str:
    """Return the digits of one field: boxes left empty at either end are not written, one between digits is a "?"."""
    signs = ["" if place.value in EMPTY else place.value for place in places]
    while signs and not signs[-1]:
        signs.pop()
    while signs and not signs[0]:
        signs.pop(0)
    return "".join(sign if sign in {"0", "1"} else "?" for sign in signs)
