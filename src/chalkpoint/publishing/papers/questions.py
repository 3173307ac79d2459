"""The pieces that a question is made of on paper, in their order: words, rows of boxes, ruled lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Any

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.families import FLOATING, SIZES, WHOLE
from chalkpoint.publishing.papers.flow import TICK, Block, box_row, headings_of, inline, text_block, ticks
from chalkpoint.publishing.papers.lines import LINES_A_POINT, outgrows_boxes
from chalkpoint.publishing.papers.measures import Sheet
from chalkpoint.publishing.papers.metrics import width_of
from chalkpoint.publishing.papers.rows import (
    has_carries,
    label_of,
    lines_of,
    rows_of,
    spare_for,
    words_of,
)
from chalkpoint.publishing.typst.rows import pieces
from chalkpoint.setting.papers import Item, SetPapers
from chalkpoint.working.wording.words_papers import BOXES

__all__ = [
    "AFTER_LINES",
    "after_boxes",
    "blocks_of",
    "line_heights",
    "lines_first",
    "lines_of_room",
    "spare_height",
    "widths_of",
]

LINES_FIRST = ("encode", "multiply", "divide", "convert")  # what is written before the answer
ROOM_A_LINE = 8.5  # mm of working for each line that has no row of its own
WITH_ROOM = {
    "decode": 2,
    "encode": 2,
    "error": 3,
    "multiply": 3,
    "divide": 4,
    "convert": 2,
    "choose-format": 3,
}
AFTER_BOXES = 2.5  # mm
AFTER_LINES = Block("gap", 3.0, {})  # between the last line and the boxes of the answer
MORE_ROOM = 6.0  # mm that a step of more room adds to a row
USE = 5.4  # mm, the line over a spare row
HAND = 3.2  # mm, a digit written by hand
LONG_BLANK, SHORT_BLANK = 60.0, 20.0  # mm

Data = JsonObject


def after_boxes(item: Item) -> float:
    """Return the space below a row of boxes, in mm: more where the teacher gave the question more room."""
    return AFTER_BOXES + MORE_ROOM * item.room


def widths_of(papers: SetPapers, number: int) -> dict[str, list[float]]:
    """Return how wide the blanks of each line of a question are: for the longest number of the class, in mm."""
    return _all_widths(papers).get(number, {})


@lru_cache(maxsize=4)
def _all_widths(papers: SetPapers) -> dict[int, dict[str, list[float]]]:
    found: dict[int, dict[str, list[float]]] = {}
    for paper in papers:
        for item in paper.questions:
            kept = found.setdefault(item.number, {})
            for mark in item.scheme.marks:
                parts = [part for part in mark.says.replace("; ", " and ").split(" and ") if part]
                longest = max((len(part) for part in parts), default=0)
                wide = min(max(20.0, 5 * -(-HAND * longest // 5)), 110.0)
                kept[mark.rule] = [max(wide, *kept.get(mark.rule, [0.0]))]
    return found


def blocks_of(item: Item, sheet: Sheet, widths: dict[str, list[float]]) -> list[Block]:
    """Return the pieces that a question is made of, in their order."""
    blocks = []
    if item.level:
        blocks.append(text_block([(item.level, "")], sheet, 9.5, bold=True, below=1.0))
    blocks.append(text_block(pieces(item.words), sheet, 12, below=1.2, number=str(item.number)))
    blocks += [text_block([(note, "")], sheet, 10.5, below=1.0) for note in item.notes]
    operation = item.question.operation.name
    rows = rows_of(item)
    given = [row for row in rows if row["kind"] == "given"]
    written = rows[len(given) :]
    lines = _lines(item, sheet, widths)
    first = lines_first(item)
    room = lines_of_room(item)
    spare = spare_for(item, always=sheet.scan)
    trays = any(row["lost"] is not None for row in rows)
    heads = (
        [headings_of(rows[0]["format"], sheet, tray=trays, marks=any(row["mark"] for row in written))]
        if rows
        else []
    )
    blocks += (heads if given else []) + _given(given, sheet)
    if room:
        height = (room * ROOM_A_LINE + MORE_ROOM * item.room) * sheet.scale
        blocks.append(Block("room", height + 1.0, {"height": height, "size": 9 * sheet.scale}))
    if first:
        blocks += [*lines, AFTER_LINES] if lines else []
    before = rows[0]["format"] if rows else None
    blocks += [] if given else heads
    for row in written:
        if row["format"] != before:
            blocks.append(headings_of(row["format"], sheet, tray=False, marks=False))
            before = row["format"]
        blocks.append(
            box_row(
                row,
                sheet,
                words=words_of(row),
                below=after_boxes(item),
                carries=row["kind"] == "boxes" and has_carries(item, row["name"]),
            )
        )
    if not first:
        blocks += lines
    if operation == "explain":
        blocks += [Block("ruled", 8.5, {}, line="explain")] * (LINES_A_POINT * item.scheme.total + item.room)
    if spare:
        row, names = spare
        blocks.append(_spare(item, row, names, sheet))
    return blocks


def spare_height(item: Item, sheet: Sheet) -> float:
    """Return the height of a question's spare line, which it can do without; 0 where it has none."""
    spare = spare_for(item, always=sheet.scan)
    return 0.0 if spare is None else _spare(item, *spare, sheet).height


def _spare(item: Item, row: Data, names: Sequence[str], sheet: Sheet) -> Block:
    """Return the spare line: over its boxes, a box to tick for each line that it may stand for."""
    pitch, below = USE * sheet.scale, 2.4 if sheet.scan else 1.0
    use = [(name, label_of(item, name, row["format"], short=True)) for name in names]
    x = sheet.first_box + width_of(BOXES["spare"], sheet.type(9)) + 4
    to_tick = ticks(use, x, 0.45 * pitch - TICK / 2, sheet, pitch)
    over = pitch + to_tick[-1]["y"] - to_tick[0]["y"]
    block = box_row(row | {"label": ""}, sheet, words=f"spare {words_of(row)}", below=below)
    data = block.data | {
        "ticks": to_tick,
        "use_height": over,
        "use_words": BOXES["spare"],
        "use_at": 0.45 * pitch,
    }
    return replace(block, height=over + block.height, data=data, line="spare")


def _given(rows: list[Data], sheet: Sheet) -> list[Block]:
    return [
        box_row(
            row, sheet, words=words_of(row), given=True, below=0.6 if row is not rows[-1] else AFTER_BOXES
        )
        for row in rows
    ]


def _lines(item: Item, sheet: Sheet, widths: dict[str, list[float]]) -> list[Block]:
    """Return the ruled lines; those of a reading stand beside each other, each with its mark behind it."""
    unit = item.story.unit if item.story else ""
    entries = [
        (_parts(rule, words, unit, widths.get(rule, [20.0])[0]), mark) for rule, words, mark in lines_of(item)
    ]
    if item.question.operation.name != "decode" or not entries:
        return [inline(parts, sheet, mark=mark) for parts, mark in entries]
    together: list[tuple[str, Any]] = []
    for parts, mark in entries:
        glued = [(kind, what.replace(" ", "\u00a0") if kind == "words" else what) for kind, what in parts]
        if glued[-1] == ("words", "."):
            glued.pop()
        together += [*glued, ("words", f"\u00a0{mark} \u00a0\u00a0 ")]
    return [inline(together, sheet, mark="")]


def _parts(rule: str, words: str, unit: str, wide: float) -> list[tuple[str, Any]]:
    """Return words and the blanks of *rule* in turn."""
    parts: list[tuple[str, Any]] = []
    rest = words
    while rest:
        before, brace, after = rest.partition("{")
        if before:
            parts.append(("words", before))
        if not brace:
            break
        name, _, rest = after.partition("}")
        short = SHORT_BLANK if "{long}" in words else wide
        parts.append((rule, max(wide, LONG_BLANK) if name == "long" else short))
        if name == "unit" and unit:
            parts.append(("words", f"\u00a0{unit}"))
    return parts


def lines_of_room(item: Item) -> int:
    """Return how many lines of working have no row of their own: where terms are added, two for each addition."""
    question = item.question
    if item.kind != "work":
        return 0
    if question.operation.name == "sum":
        return 1 if question.format.family == WHOLE else 2 * (len(question.patterns) - 1)
    return WITH_ROOM.get(question.operation.name, 0)


def line_heights(item: Item, sheet: Sheet, widths: dict[str, list[float]]) -> dict[str, float]:
    """Return how high each ruled line is, by the mark it is for; nothing where they stand side by side."""
    blocks, named = _lines(item, sheet, widths), lines_of(item)
    if len(blocks) != len(named):
        return {}
    return {rule: block.height for (rule, _, _), block in zip(named, blocks, strict=True)}


def lines_first(item: Item) -> bool:
    """Tell whether the lines of working stand before the boxes of the answer."""
    question = item.question
    if question.operation.name in LINES_FIRST:
        return True
    if question.format.family == SIZES and question.operation.name in {"add", "subtract"}:
        return True
    return question.format.family == FLOATING and (not question.format.plain or outgrows_boxes(question))
