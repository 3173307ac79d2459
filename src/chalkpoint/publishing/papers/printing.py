"""Papers as data for `paper.typ`: what stands on each page, and the typst source of it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, lru_cache
from importlib.resources import files
from io import BytesIO
from typing import Any, NamedTuple

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.errors import missing_extra
from chalkpoint.numbers.families import FLOATING, SIZES, WHOLE
from chalkpoint.numbers.named import AnyFormat
from chalkpoint.publishing.papers.fields import edges_in, point_in
from chalkpoint.publishing.papers.flow import Block, Side, box_row, flow, headings_of, inline, text_block
from chalkpoint.publishing.papers.lines import LINES_A_POINT
from chalkpoint.publishing.papers.measures import LEFT, Sheet, sheet_for
from chalkpoint.publishing.papers.metrics import width_of, wrap
from chalkpoint.publishing.papers.rows import (
    boxes_for,
    has_carries,
    label_of,
    lines_of,
    rows_of,
    spare_for,
    words_of,
)
from chalkpoint.publishing.parts import Cell, Weight
from chalkpoint.publishing.plan import top_code
from chalkpoint.publishing.typst.literals import literal
from chalkpoint.publishing.typst.rows import MEASURES, pieces
from chalkpoint.publishing.weights import place_values
from chalkpoint.setting.cards import card_sentences, format_in_words, named_fields
from chalkpoint.setting.papers import Item, SetPaper, SetPapers
from chalkpoint.working.course import Course
from chalkpoint.working.question import Question

__all__ = ["AFTER_BOXES", "papers_source", "placed", "qr_svg", "sheet_data", "sides_of", "template"]

CARD_U, CARD_WIDTH, CARD_GAP = 6.0, 84.0, 0.75  # mm, mm, u
LINES_FIRST = ("encode", "multiply", "divide", "convert")  # what is written before the answer
KEPT = 1000  # variants whose data is kept for their second printing
ROOM_A_LINE = 8.5  # mm of working for each line that has no row of its own
WITH_ROOM = {
    "decode": 2,
    "encode": 2,
    "error": 3,
    "multiply": 3,
    "divide": 4,
    "convert": 2,
    "sum": 1,
    "choose-format": 3,
}
NEXT_HEAD = 29.0  # mm, what stands above the questions of the sides after the first
AFTER_BOXES = 2.5  # mm
USE = 5.4  # mm, the line over a spare row
HAND = 3.2  # mm, a digit written by hand
LONG_BLANK, SHORT_BLANK = 60.0, 20.0  # mm

Data = JsonObject


class Field(NamedTuple):
    """A field on the format card; *x* in boxes."""

    name: str
    bits: int
    x: float
    point: int | None
    edges: tuple[bool, ...]


@cache
def template(name: str) -> str:
    """Return one of this room's typst templates."""
    return (files("chalkpoint.publishing.papers") / name).read_text(encoding="utf-8")


def papers_source(papers: SetPapers, chosen: Sequence[SetPaper]) -> str:
    """Return the typst source of *chosen* variants, each from an odd page; it follows the library of `compiling`."""
    sheet = sheet_for(papers.blueprint.printing)
    data = f"({' '.join(f'{_paper_literal(papers, paper)},' for paper in chosen)})"
    title = (
        papers.blueprint.title
        if len(chosen) != 1
        else f"{papers.blueprint.title}, variant {chosen[0].variant}"
    )
    called = f"#all-variants({literal(sheet_data(sheet))}, {literal(MEASURES)}, {literal(title)}, {data})"
    return f"{template('paper.typ')}\n{called}\n"


@lru_cache(maxsize=KEPT)
def _paper_literal(papers: SetPapers, paper: SetPaper) -> str:
    """Return a variant's data as typst writes it; kept, since it is printed twice."""
    return literal(_paper(papers, paper, sheet_for(papers.blueprint.printing)))


def sheet_data(sheet: Sheet) -> Data:
    """Return the sheet as the templates know it; lengths in mm."""
    return {
        "paper": sheet.paper,
        "width": sheet.page[0],
        "height": sheet.page[1],
        "left": LEFT,
        "right": sheet.right,
        "first": sheet.first_box,
        "box": sheet.box,
        "row": sheet.height,
        "scale": sheet.scale,
        "wide": sheet.wide,
        "tint": sheet.tint,
    }


def sides_of(papers: SetPapers, paper: SetPaper, sheet: Sheet) -> list[Side]:
    """Return the sides that a variant takes, each with what stands on it.

    Blanks are as wide as the widest number of the class needs, so that their widths tell nothing of a variant.
    """
    parts: list[tuple[int, list[Block], float]] = [
        (0, [Block("card", card["height"], card, card["alt"])], 0.0) for card in _cards(paper, sheet)
    ]
    parts += [
        (item.number, _blocks(item, sheet, _widths(papers, item.number)), _spare_height(item, sheet))
        for item in paper.questions
    ]
    top = _about_at(sheet) + _about(papers, paper, sheet, 2).height
    return flow(parts, top, NEXT_HEAD * _root(sheet), sheet.bottom)


def _about_at(sheet: Sheet) -> float:
    return 36 + 10 * sheet.scale


def _paper(papers: SetPapers, paper: SetPaper, sheet: Sheet) -> Data:
    course = papers.blueprint.course.name
    sides = sides_of(papers, paper, sheet)
    last = len(sides)
    totals = {item.number: item.scheme.total for item in paper.questions}
    said = f"{papers.blueprint.title}, variant {paper.variant}"
    return {
        "title": papers.blueprint.title,
        "variant": paper.variant,
        "code": paper.code,
        "marks": paper.marks,
        "about": _about(papers, paper, sheet, last).data,
        "title_size": 17 * _root(sheet),
        "sides": [
            {
                "code": qr_svg(f"{paper.code}/{side.number}"),
                "number": side.number,
                "head": f"{course + '. ' if course else ''}{said}, side {side.number} of {last}."
                + (" The place values are on side 1." if sheet.scale == 1 else ""),
                "marks": sum(totals.get(number, 0) for number in side.questions),
                "last": side.number == last,
                "blocks": placed(side),
            }
            for side in sides
        ],
    }


def _about(papers: SetPapers, paper: SetPaper, sheet: Sheet, sides: int) -> Block:
    """Return the sentences under the title."""
    course = papers.blueprint.course.name
    count = len(paper.questions)
    said = (
        f"{course + ', variant' if course else 'Variant'} {paper.variant}. {number_word(count).capitalize()} "
    )
    said += f"question{'' if count == 1 else 's'} on {number_word(sides)} side{'' if sides == 1 else 's'}, "
    said += f"{paper.marks} marks. "
    said += "Write one bit in each box. Show every line."
    if any(item.kind == "work" and "align" in boxes_for(item) for item in paper.questions):
        said = f"{said[:-1]}: each is marked from the line you wrote above it."
    lines = wrap([(said, "")], sheet.type(9), sheet.width - 44 * _root(sheet))
    setting = sheet.type(9)
    data = {
        "lines": lines,
        "size": setting.size,
        "leading": setting.line,
        "bold": False,
        "number": "",
        "right": "",
        "soft": False,
    }
    return Block("text", len(lines) * setting.line, data, said)


NUMBERS = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)


def number_word(number: int) -> str:
    """Return a small number as a word.

    >>> number_word(4), number_word(30)
    ('four', '30')
    """
    return NUMBERS[number] if number < len(NUMBERS) else str(number)


def _root(sheet: Sheet) -> float:
    """Return the scale of what has little room: heads and feet."""
    return float(sheet.scale**0.5)


def placed(side: Side) -> list[Data]:
    """Return the blocks of a side; neighbouring rows of boxes become one picture with its words."""
    found: list[Data] = []
    for one in side.placed:
        block = one.block
        drawn = {"y": one.y, "kind": block.kind, "data": block.data}
        if block.kind not in {"row", "names"}:
            found.append(drawn)
        elif found and found[-1]["kind"] == "rows" and found[-1]["question"] == one.question:
            found[-1]["rows"].append(drawn)
            found[-1]["alt"] = f"{found[-1]['alt']} {block.words}".strip()
        else:
            found.append(
                {"y": one.y, "kind": "rows", "rows": [drawn], "alt": block.words, "question": one.question}
            )
    return found


def _cards(paper: SetPaper, sheet: Sheet) -> list[Data]:
    formats = {course.format: course for item in paper.questions for course in courses_of(item.question)}
    return [_card(one, sheet) for one in formats.values()]


# === Questions ===


def _widths(papers: SetPapers, number: int) -> dict[str, list[float]]:
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


def _blocks(item: Item, sheet: Sheet, widths: dict[str, list[float]]) -> list[Block]:
    """Return the pieces that a question is made of, in the order they stand."""
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
    first = operation in LINES_FIRST or lines_lead(item.question)
    room = WITH_ROOM.get(operation, 0) if item.kind == "work" else 0
    spare = spare_for(item)
    trays = any(row["lost"] is not None for row in rows)
    heads = (
        [headings_of(rows[0]["format"], sheet, tray=trays, marks=any(row["mark"] for row in written))]
        if rows
        else []
    )
    blocks += (heads if given else []) + _given(given, sheet)
    if room:
        height = room * ROOM_A_LINE * sheet.scale
        blocks.append(Block("room", height + 1.0, {"height": height, "size": 9 * sheet.scale}))
    if first:
        blocks += [*lines, Block("gap", 3.0, {})] if lines else []
    before = rows[0]["format"] if rows else None
    blocks += [] if given else heads
    for row in written:
        if row["format"] != before:
            blocks.append(headings_of(row["format"], sheet, tray=False, marks=False))
            before = row["format"]
        blocks.append(
            box_row(
                row, sheet, words=words_of(row), below=AFTER_BOXES, carries=has_carries(item, row["name"])
            )
        )
    if not first:
        blocks += lines
    if operation == "explain":
        blocks += [Block("ruled", 8.5, {})] * (LINES_A_POINT * item.scheme.total)
    if spare:
        row, names = spare
        use = [label_of(item, name, item.question.format).split(",")[0] for name in names]
        spare_row = box_row(row | {"label": ""}, sheet, words=f"spare {words_of(row)}", below=1.0)
        blocks.append(
            Block(
                "row",
                USE * sheet.scale + spare_row.height,
                spare_row.data | {"use": use, "use_height": USE * sheet.scale},
                spare_row.words,
            )
        )
    return blocks


def _spare_height(item: Item, sheet: Sheet) -> float:
    spare = spare_for(item)
    return 0.0 if spare is None else USE * sheet.scale + box_row(spare[0], sheet, words="", below=1.0).height


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
        (_parts(words, unit, widths.get(rule, [20.0])[0]), mark) for rule, words, mark in lines_of(item)
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


def _parts(words: str, unit: str, wide: float) -> list[tuple[str, Any]]:
    """Return words and blanks in turn."""
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
        parts.append(("blank", max(wide, LONG_BLANK) if name == "long" else short))
        if name == "unit" and unit:
            parts.append(("words", f"\u00a0{unit}"))
    return parts


def courses_of(question: Question) -> tuple[Course, ...]:
    """Return the courses whose formats *question* needs a card of; none where the format is the answer."""
    if question.operation.name == "choose-format":
        return ()
    return (question.course,) if question.target is None else (question.course, question.target)


@cache
def qr_svg(text: str) -> str:
    """Return a QR code of *text* as an SVG drawing, without the quiet zone that the page leaves round it.

    Raises EntryError when the print extra is not installed.
    """
    try:
        import segno
    except ImportError as reason:
        raise missing_extra("a paper's code", "segno", "print") from reason
    kept = BytesIO()
    segno.make(text, error="m", micro=False).save(
        kept, kind="svg", border=0, xmldecl=False, svgns=True, nl=False
    )
    return kept.getvalue().decode()


def _card(course: Course, sheet: Sheet) -> Data:
    """Return the format card: what must be known, and an empty rail with its place values."""
    fmt = course.number_format
    fields, at = [], 0.0
    for name, bits in named_fields(fmt):
        fields.append(Field(name, bits, at, point_in(fmt, name), edges_in(fmt, name, bits)))
        at += bits + CARD_GAP
    width = at - CARD_GAP
    u = min(CARD_U, CARD_WIDTH / width)
    points = [field.x + field.point for field in fields if field.point is not None]
    weighed = [(field, _weights(field, fmt)) for field in fields]
    rail = {
        "kind": "rail",
        "label": "",
        "label_at": 0.0,
        "soft": False,
        "operator": "",
        "cells": [
            _empty(field.x + at, at, field.bits, inner=field.edges[at])
            for field in fields
            for at in range(field.bits)
        ],
        "point": points[0] if points else None,
        "exponent": [],
        "exponent_text": "",
        "exponent_at": 0.0,
        "exponent_width": 0,
        "value": [],
        "value_at": width,
        "lost_words": "",
        "gap": 0,
        "wall": None,
    }
    weights = [
        {"x": field.x + at + 0.5, "top": weight.top, "bottom": weight.bottom, "power": weight.power}
        for field, (found, _) in weighed
        for at, weight in found
    ]
    below = {"kind": "weights", "label": "", "label_at": 0.0, "weights": weights, "gap": 0, "wall": None}
    said = "; ".join(f"{field.bits} of the {field.name}{words}" for field, (_, words) in weighed)
    title = format_in_words(fmt).removeprefix("the ")
    picture_width = width * u
    setting = sheet.type(9)
    beside = sheet.width - picture_width - 6.0
    things = pieces(" ".join(card_sentences(course)))
    heading = sheet.type(10.5, bold=True)
    said_title = f"How numbers are written here: {title}"
    beside_title = width_of(said_title, heading) + picture_width + 4 <= sheet.width
    rail_at = 1.5 if beside_title and beside > 60 else heading.line
    rail_height = rail_at + 17.0 - heading.line - 0.5
    narrow = wrap(things, setting, beside if beside > 60 else sheet.width)
    whole = -int(-rail_height // setting.line)  # lines that stand beside the rail
    if beside <= 60:
        lines, above = narrow, rail_height
    else:
        rest = [piece for line in narrow[whole:] for piece in (*line, (" ", ""))]
        lines, above = narrow[:whole] + wrap(rest, setting, sheet.width), 0.0
    height = (
        2.6 + heading.line + 0.5 + above + max(len(lines) * setting.line, 0 if above else rail_height) + 2.6
    )
    return {
        "title": said_title,
        "rail_at": rail_at,
        "heading": heading.size,
        "heading_line": heading.line,
        "lines": lines,
        "size": setting.size,
        "leading": setting.line,
        "above": above,
        "u": u,
        "width": width,
        "height": height,
        "rows": [rail, below],
        "alt": f"A rail of boxes: {said}.",
    }


def _weights(field: Field, fmt: AnyFormat) -> tuple[list[tuple[int, Weight]], str]:
    """Return the place values of a field, each with its box, and the same in words."""
    if field.name == "sign":
        return [], ""
    if field.name == "exponent" and fmt.family != WHOLE:
        values = place_values([Cell(0, "")], fmt.exponent.weights(), label="")
        return [(weight.column, weight) for weight in values.exponent], ""
    first = {"fraction": 1}.get(field.name, 0)
    if fmt.family == WHOLE:
        first = 1 - (fmt.bits - fmt.places)
    elif fmt.family == SIZES and fmt.point_first:
        first = 1
    if field.name == "its low bits" or (fmt.family == FLOATING and fmt.implied):
        return [], ""
    top = "sign and magnitude" if fmt.family == SIZES and field.name == "mantissa" else top_code(fmt)
    values = place_values([Cell(first + at, "") for at in range(field.bits)], (), label="", top=top)
    found = [(weight.column - first, weight) for weight in values.weights]
    return found, f", {values.words}"


def _empty(x: float, at: int, count: int, *, inner: bool) -> Data:
    return {
        "x": x,
        "digit": "",
        "kind": "kept",
        "changed": False,
        "copied": False,
        "edge": inner or at == count - 1,
        "start": at == 0,
        "wall": False,
    }


def lines_lead(question: Question) -> bool:
    """Tell whether the lines of working stand before the boxes of the answer."""
    if question.format.family == SIZES and question.operation.name in {"add", "subtract"}:
        return True
    return question.format.family == FLOATING and not question.format.plain
