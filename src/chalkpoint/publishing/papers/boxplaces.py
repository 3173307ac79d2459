"""The place of everything that a pupil writes on, for whoever reads filled pages: part of papers.json."""

from __future__ import annotations

from collections.abc import Iterator

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.publishing.papers.flow import TICK, Placed
from chalkpoint.publishing.papers.landmarks import landmarks_of, number_grid
from chalkpoint.publishing.papers.measures import LEFT, Sheet, sheet_for
from chalkpoint.publishing.papers.metrics import MM_PER_PT
from chalkpoint.publishing.papers.printing import sides_of
from chalkpoint.setting.papers import SetPaper, SetPapers

__all__ = ["COLUMNS", "box_places", "with_boxes"]

#: What a row of the table holds: lengths in mm from the top left corner of the page, bits from 1 at a field's left.
#: The kind says what is written there: "bit" of a line, "carry", "lead" (a sign bit in the extra place), "tray" (a bit
#: that fell off), "tick" (or cross), or "free" (words and decimals).
COLUMNS = ("page", "question", "line", "field", "bit", "x", "y", "width", "height", "kind")

ASCENT, DESCENT = 6.0, 1.5  # mm above and below a ruled line that handwriting takes

Place = tuple[int, int, str, str, int, float, float, float, float, str]


def with_boxes(papers: SetPapers) -> JsonObject:
    """Return the papers as chalkpoint.papers/1, each with the places of its boxes."""
    table = papers.to_dict()
    table["boxes"] = {"columns": list(COLUMNS), "unit": "mm"}
    table["sheet"] = landmarks_of(sheet_for(papers.blueprint.printing))
    for entry, paper in zip(table["papers"], papers, strict=True):
        entry["boxes"] = list(box_places(papers, paper))
    return table


def box_places(papers: SetPapers, paper: SetPaper) -> Iterator[Place]:
    """Yield the place of everything that a pupil writes on, as in COLUMNS, side by side and row by row."""
    sheet = sheet_for(papers.blueprint.printing)
    for side in sides_of(papers, paper, sheet):
        if sheet.scan:
            yield from _number(side.number)
        for placed in side.placed:
            match placed.block.kind:
                case "row" if _is_empty(placed.block.data):
                    yield from _row(side.number, placed, sheet)
                case "line":
                    yield from _blanks(side.number, placed)
                case "ruled":
                    x, y, wide = LEFT, placed.y + 8 - ASCENT, sheet.width
                    place = side.number, placed.question, placed.block.line, "ruled", 1
                    yield *place, x, _mm(y), _mm(wide), ASCENT + DESCENT, "free"


def _number(page: int) -> Iterator[Place]:
    """Yield the boxes for the two digits of a pupil's number, which stands for the name: bit 1 is digit 0."""
    for row in number_grid()["rows"]:
        for digit, x in enumerate(row["xs"]):
            yield page, 0, "pupil", row["name"], digit + 1, _mm(x), _mm(row["y"]), TICK, TICK, "tick"


def _is_empty(data: JsonObject) -> bool:
    """Tell whether a row is one to write in: a faded question has rows that are filled in."""
    return data["kind"] == "boxes" and not any(
        digit.strip() for run in data["runs"] for digit in run["digits"]
    )


def _row(page: int, placed: Placed, sheet: Sheet) -> Iterator[Place]:
    data, line = placed.block.data, placed.block.line
    top, height = placed.y + data.get("use_height", 0.0), data["box"]

    def boxes(
        field: str, first: int, count: int, x: float, y: float, high: float, kind: str
    ) -> Iterator[Place]:
        pitch = sheet.box if kind == "tray" else sheet.pitch
        for at in range(count):
            place = _mm(x + at * pitch), _mm(y), _mm(sheet.box), _mm(high)
            yield page, placed.question, line, field, first + at + 1, *place, kind

    for (field, first), run in zip(placed.block.fields, data["runs"], strict=True):
        count = len(run["digits"])
        if run["carries"]:
            y, high = top + run["y"] - data["above"], data["above"] - data["carry_gap"]
            yield from boxes("carries", first, count, run["x"], y, high, "carry")
        yield from boxes(field, first, count, run["x"], top + run["y"], height, "bit")
    if data["lead"]:
        yield from boxes("lead", 0, 1, sheet.first_box - sheet.pitch, top + data["above"], height, "lead")
    if data["tray"] is not None:
        tray = data["tray"]
        yield from boxes("tray", 0, len(tray["digits"]), tray["x"], top + tray["y"], height, "tray")
    for tick in data["ticks"]:
        place = _mm(tick["x"]), _mm(placed.y + tick["y"]), TICK, TICK
        yield page, placed.question, line, tick["line"], 1, *place, "tick"


def _blanks(page: int, placed: Placed) -> Iterator[Place]:
    """Yield the blanks of a line of words: each the n-th of its line, as high as handwriting is."""
    data = placed.block.data
    counts: dict[str, int] = {}
    for row, line in enumerate(data["lines"]):
        base = placed.y + data["above"] + row * data["pitch"] + 0.98 * data["size"] * MM_PER_PT
        for blank in (one for one in line if one["blank"]):
            name = blank["line"]
            counts[name] = counts.get(name, 0) + 1
            place = _mm(blank["x"]), _mm(base - ASCENT), _mm(blank["width"]), ASCENT + DESCENT
            yield page, placed.question, name, "blank", counts[name], *place, "free"


def _mm(length: float) -> float:
    return round(length, 2)
