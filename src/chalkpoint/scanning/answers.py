"""What goes to marking: the rows that a teacher would have typed, of pupils whose papers are whole and settled."""

from __future__ import annotations

from collections.abc import Iterator

from chalkpoint.scanning.lines import SPARE, written_in
from chalkpoint.scanning.pupils import matters_of
from chalkpoint.scanning.review import waits
from chalkpoint.scanning.stack import Stack

__all__ = ["HEADS", "answer_rows", "left_out", "line_places"]

HEADS = ("student", "variant", "question", "line", "written")
Row = tuple[str, int, int, str, str]


def left_out(stack: Stack) -> set[str]:
    """Return the pupils who get no marks, because a side of theirs is missing or there twice."""
    return {matter.pupil for matter in matters_of(stack) if matter.pupil}


def answer_rows(stack: Stack) -> Iterator[Row]:
    """Yield what each pupil wrote, a row a line; nothing while anything waits for the teacher.

    A line written again on the spare line counts in place of the first.
    """
    if waits(stack):
        return
    missing = left_out(stack)
    for (pupil, variant), lines in _lines(stack).items():
        if pupil in missing:
            continue
        for (question, line), text in lines.items():
            if text:
                yield pupil, variant, question, line, text
        if not any(lines.values()):
            yield pupil, variant, 1, "answer", ""


def _lines(stack: Stack) -> dict[tuple[str, int], dict[tuple[int, str], str]]:
    found: dict[tuple[str, int], dict[tuple[int, str], str]] = {}
    rows = sorted(stack.rows().items(), key=lambda one: (one[1][0].page, one[1][0].line == SPARE))
    for name, row in rows:
        page = stack.page(row[0].page)
        line, text = written_in(stack, name, row)
        if page.pupil:
            lines = found.setdefault((page.pupil, stack.variants[page.paper]), {})
            if text or row[0].line != SPARE:
                lines[row[0].question, line] = text
    return found


def line_places(stack: Stack) -> dict[tuple[str, int, str], tuple[int, tuple[float, float, float, float]]]:
    """Return where each line of working is: by pupil, question and line the page, and the place in mm."""
    found = {}
    for name, row in stack.rows().items():
        line, _ = written_in(stack, name, row)
        pupil = stack.page(row[0].page).pupil
        left, top = min(place.x for place in row), min(place.y for place in row)
        right, bottom = (
            max(place.x + place.width for place in row),
            max(place.y + place.height for place in row),
        )
        key = pupil, row[0].question, line
        if row[0].line != SPARE or written_in(stack, name, row)[1]:
            found[key] = row[0].page, (left - 2, top - 4, right - left + 4, bottom - top + 6)
    return found
