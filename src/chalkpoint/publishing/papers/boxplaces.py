"""Where every box of a paper stands, for whoever reads scanned pages: written into papers.json."""

from __future__ import annotations

from collections.abc import Iterator

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.publishing.papers.flow import Placed
from chalkpoint.publishing.papers.measures import Sheet, sheet_for
from chalkpoint.publishing.papers.printing import sides_of
from chalkpoint.setting.papers import SetPaper, SetPapers

__all__ = ["COLUMNS", "box_places", "with_boxes"]

#: What a row of the table holds: lengths in mm from the top left corner of the page, bits from 1 at a field's left.
COLUMNS = ("page", "question", "line", "field", "bit", "x", "y", "width", "height")
TRAY, CARRIES = "tray", "carries"

Place = tuple[int, int, str, str, int, float, float, float, float]


def with_boxes(papers: SetPapers) -> JsonObject:
    """Return the papers as chalkpoint.papers/1, each with the places of its boxes."""
    table = papers.to_dict()
    table["boxes"] = {"columns": list(COLUMNS), "unit": "mm"}
    for entry, paper in zip(table["papers"], papers, strict=True):
        entry["boxes"] = list(box_places(papers, paper))
    return table


def box_places(papers: SetPapers, paper: SetPaper) -> Iterator[Place]:
    """Yield the place of every box that a pupil writes in, as in COLUMNS, side by side and row by row."""
    sheet = sheet_for(papers.blueprint.printing)
    for side in sides_of(papers, paper, sheet):
        for placed in side.placed:
            if placed.block.kind == "row" and _is_empty(placed.block.data):
                yield from _row(side.number, placed, sheet)


def _is_empty(data: JsonObject) -> bool:
    """Tell whether a row is one to write in: a faded question has rows that are filled in."""
    return data["kind"] == "boxes" and not any(
        digit.strip() for run in data["runs"] for digit in run["digits"]
    )


def _row(page: int, placed: Placed, sheet: Sheet) -> Iterator[Place]:
    data, line = placed.block.data, placed.block.line
    top, height = placed.y + data.get("use_height", 0.0), data["box"]

    def boxes(field: str, first: int, count: int, x: float, y: float, high: float) -> Iterator[Place]:
        for at in range(count):
            left, top_of = _mm(x + at * sheet.box), _mm(y)
            yield page, placed.question, line, field, first + at + 1, left, top_of, _mm(sheet.box), _mm(high)

    for (field, first), run in zip(placed.block.fields, data["runs"], strict=True):
        count = len(run["digits"])
        if run["carries"]:
            yield from boxes(CARRIES, first, count, run["x"], top + run["y"] - data["above"], data["above"])
        yield from boxes(field, first, count, run["x"], top + run["y"], height)
    if data["tray"] is not None:
        tray = data["tray"]
        yield from boxes(TRAY, 0, len(tray["digits"]), tray["x"], top + tray["y"], height)


def _mm(length: float) -> float:
    return round(length, 2)
