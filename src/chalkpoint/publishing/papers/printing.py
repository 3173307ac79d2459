"""Papers as data for `paper.typ`: what stands on each page, and the typst source of it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, lru_cache
from importlib.resources import files
from io import BytesIO
from typing import Any

from chalkpoint.numbers.errors import missing_extra
from chalkpoint.numbers.fixed import FixedFormat
from chalkpoint.numbers.formats import FloatFormat
from chalkpoint.numbers.signed import SignMagnitudeFormat
from chalkpoint.publishing.layout import CELL_HEIGHT
from chalkpoint.publishing.papers.fields import Field, point_in
from chalkpoint.publishing.papers.lines import LINES_A_POINT
from chalkpoint.publishing.papers.measures import Sheet, sheet_for
from chalkpoint.publishing.papers.rows import lines_of, rows_apart, rows_of
from chalkpoint.publishing.parts import Cell, Weight
from chalkpoint.publishing.plan import top_code
from chalkpoint.publishing.typst.literals import literal
from chalkpoint.publishing.typst.rows import MEASURES, pieces
from chalkpoint.publishing.weights import place_values
from chalkpoint.setting.cards import format_card, format_in_words, named_fields
from chalkpoint.setting.papers import Item, Paper, Papers
from chalkpoint.working.course import Course
from chalkpoint.working.question import Question

__all__ = ["papers_source", "template"]

CARD_U, CARD_WIDTH, CARD_GAP = 6.0, 88.0, 0.85  # mm, mm, u
LINES_FIRST = ("encode", "multiply", "divide", "convert")  # what is written before the answer
KEPT = 1000  # variants whose data is kept for their second printing
ROOM_A_LINE = 7.0  # mm of working for each line that has no row of its own
WITH_ROOM = {"decode": 2, "encode": 2, "error": 3, "normalise": 1, "negate": 1, "multiply": 3, "divide": 4}
WITH_ROOM |= {"convert": 2, "sum": 2, "choose-format": 3}
TRAY_HINT = (
    "Show each line. Bits that pass the last place go in the hatched boxes; you may not need them all."
)

Data = dict[str, Any]


@cache
def template(name: str) -> str:
    """Return one of this room's typst templates."""
    return (files("chalkpoint.publishing.papers") / name).read_text(encoding="utf-8")


def papers_source(papers: Papers, chosen: Sequence[Paper]) -> str:
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
def _paper_literal(papers: Papers, paper: Paper) -> str:
    """Return a variant's data as typst writes it; kept, since it is printed twice."""
    return literal(_paper(papers, paper, sheet_for(papers.blueprint.printing)))


def sheet_data(sheet: Sheet) -> Data:
    """Return the sheet as the templates know it."""
    return {
        "paper": sheet.paper,
        "width": sheet.width,
        "scale": sheet.scale,
        "wide": sheet.wide,
        "tint": sheet.tint,
        "name": 82.0,
    }


def _paper(papers: Papers, paper: Paper, sheet: Sheet) -> Data:
    course = papers.blueprint.course.name
    head = f"{course}. {papers.blueprint.title}" if course else papers.blueprint.title
    count = len(paper.items)
    questions = "1 question" if count == 1 else f"{count} questions"
    formats = {course.format: course for item in paper.items for course in courses_of(item.question)}
    return {
        "title": papers.blueprint.title,
        "tag": str(paper.variant),
        "head": head,
        "variant": paper.variant,
        "code": paper.code,
        "codes": [qr_svg(f"{paper.code}/{page}") for page in range(1, count + 2)],
        "about": f"{course + '. ' if course else ''}Variant {paper.variant}, code {paper.code}. "
        f"{questions}, {paper.marks} marks.",
        "foot": f"{paper.marks} marks",
        "cards": [_card(one, sheet) for one in formats.values()],
        "questions": [_question(item, sheet) for item in paper.items],
    }


def courses_of(question: Question) -> tuple[Course, ...]:
    """Return the courses whose formats *question* needs a card of; none where the format is the answer."""
    if question.operation.name == "choose-format":
        return ()
    return (question.course,) if question.target is None else (question.course, question.target)


@cache
def qr_svg(text: str) -> str:
    """Return a QR code of *text* as an SVG drawing, with its quiet zone.

    Raises EntryError when the print extra is not installed.
    """
    try:
        import segno
    except ImportError as reason:
        raise missing_extra("a paper's code", "segno", "print") from reason
    kept = BytesIO()
    segno.make(text, error="m", micro=False).save(
        kept, kind="svg", border=2, xmldecl=False, svgns=True, nl=False
    )
    return kept.getvalue().decode()


def _card(course: Course, sheet: Sheet) -> Data:
    """Return the format card: what must be known, and an empty rail with its place values."""
    fmt = course.number_format
    fields, at = [], 0.0
    for name, bits in named_fields(fmt):
        fields.append(Field(name, bits, at, 0, point_in(fmt, name)))
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
    return {
        "title": title[0].upper() + title[1:],
        "things": list(format_card(course)),
        "u": u,
        "width": width,
        "height": CELL_HEIGHT,
        "rows": [rail, below],
        "alt": f"A rail of boxes: {said}.",
    }


def _weights(field: Field, fmt: Any) -> tuple[list[tuple[int, Weight]], str]:
    """Return the place values of a field, each with its box, and the same in words."""
    if field.name == "sign":
        return [], ""
    if field.name == "exponent":
        values = place_values([Cell(0, "")], fmt.exponent.weights(), label="")
        return [(weight.column, weight) for weight in values.exponent], ""
    first = {"fraction": 1}.get(field.name, 0)
    if isinstance(fmt, FixedFormat):
        first = 1 - (fmt.bits - fmt.places)
    elif isinstance(fmt, SignMagnitudeFormat) and fmt.point_first:
        first = 1
    if field.name == "its low bits" or (isinstance(fmt, FloatFormat) and fmt.implied):
        return [], ""
    top = (
        "sign and magnitude"
        if isinstance(fmt, SignMagnitudeFormat) and field.name == "mantissa"
        else top_code(fmt)
    )
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


def _question(item: Item, sheet: Sheet) -> Data:
    operation = item.question.operation.name
    lines_first = operation in LINES_FIRST or lines_lead(item.question)
    before, picture = rows_apart(item, sheet) if lines_first else (None, rows_of(item, sheet))
    hinted = any(row["lost"] is not None and row["kind"] == "boxes" for row in picture["rows"])
    room = WITH_ROOM.get(operation, 0) + sum(
        step.rule in {"repair", "normalise"} for step in item.working.steps
    )
    return {
        "number": item.number,
        "level": item.level,
        "words": pieces(item.words),
        "notes": list(item.notes),
        "hint": TRAY_HINT if hinted else "",
        "marks": f"{item.scheme.total} mark{'' if item.scheme.total == 1 else 's'}",
        "before": before if before and before["rows"] else None,
        "picture": picture,
        "lines": lines_of(item),
        "lines_first": lines_first,
        "room": room * ROOM_A_LINE * sheet.scale if item.kind == "work" else 0,
        "ruled": LINES_A_POINT * item.scheme.total if operation == "explain" else 0,
    }


def lines_lead(question: Question) -> bool:
    """Tell whether the lines of working stand before the boxes of the answer."""
    if isinstance(question.format, SignMagnitudeFormat) and question.operation.name in {"add", "subtract"}:
        return True
    return isinstance(question.format, FloatFormat) and not question.format.plain
