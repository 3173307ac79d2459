"""Papers as data for `paper.typ`: what stands on each page, and the typst source of it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, lru_cache
from importlib.resources import files
from io import BytesIO
from typing import Any

from chalkpoint.numbers.errors import EntryError
from chalkpoint.publishing.layout import CELL_HEIGHT, edge_after
from chalkpoint.publishing.papers.measures import Sheet, sheet_for
from chalkpoint.publishing.papers.rows import lines_of, rows_of
from chalkpoint.publishing.parts import Cell
from chalkpoint.publishing.typst.literals import literal
from chalkpoint.publishing.typst.rows import MEASURES, pieces
from chalkpoint.publishing.weights import place_values
from chalkpoint.setting.instructions import format_card
from chalkpoint.setting.papers import Item, Paper, Papers
from chalkpoint.working.question import Question

__all__ = ["papers_source", "template"]

CARD_U, CARD_WIDTH, CARD_GAP = 6.0, 88.0, 0.85  # mm, mm, u
LINES_FIRST = ("encode", "multiply", "divide")  # what is written before the answer
KEPT = 1000  # variants whose data is kept for their second printing
ROOM_A_LINE = 7.0  # mm of working for each line that has no row of its own
WITH_ROOM = {"decode": 2, "encode": 2, "error": 3, "normalise": 1, "negate": 1, "multiply": 3, "divide": 4}
TRAY_HINT = (
    "Show each line. Bits that pass the last place go in the hatched boxes; you may not need them all."
)

Data = dict[str, Any]


@cache
def template(name: str) -> str:
    """Return one of this room's typst templates."""
    return (files("chalkpoint.publishing.papers") / name).read_text(encoding="utf-8")


def papers_source(papers: Papers, chosen: Sequence[Paper]) -> str:
    """Return the typst source of *chosen* variants, each from an odd page; it follows `compiling.library()`."""
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
    formats = {str(item.question.format): item.question for item in paper.items}
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
        "cards": [_card(question) for question in formats.values()],
        "questions": [_question(item, sheet) for item in paper.items],
    }


@cache
def qr_svg(text: str) -> str:
    """Return a QR code of *text* as an SVG drawing, with its quiet zone.

    Raises EntryError when the print extra is not installed.
    """
    try:
        import segno
    except ImportError as reason:
        raise EntryError(
            "papers need segno for their codes, which is not installed; run: pip install 'chalkpoint[print]'"
        ) from reason
    kept = BytesIO()
    segno.make(text, error="m", micro=False).save(
        kept, kind="svg", border=2, xmldecl=False, svgns=True, nl=False
    )
    return kept.getvalue().decode()


def _card(question: Question) -> Data:
    """Return the format card: the seven things, and an empty rail with its place values."""
    fmt = question.format
    columns = [Cell(column, "") for column in range(fmt.mantissa_bits)]
    width = fmt.mantissa_bits + CARD_GAP + fmt.exponent_bits
    u = min(CARD_U, CARD_WIDTH / width)
    mantissa_at, exponent_at = 0.0, fmt.mantissa_bits + CARD_GAP
    if fmt.exponent_first:
        mantissa_at, exponent_at = fmt.exponent_bits + CARD_GAP, 0.0
    values = place_values(columns, fmt.exponent.weights(), label="")
    weights = [
        {
            "x": mantissa_at + weight.column + 0.5,
            "top": weight.top,
            "bottom": weight.bottom,
            "power": weight.power,
        }
        for weight in values.weights
    ] + [
        {
            "x": exponent_at + weight.column + 0.5,
            "top": weight.top,
            "bottom": weight.bottom,
            "power": weight.power,
        }
        for weight in values.exponent
    ]
    rail = {
        "kind": "rail",
        "label": "",
        "label_at": 0.0,
        "soft": False,
        "plus": None,
        "cells": [
            _empty(mantissa_at + at, at, fmt.mantissa_bits, inner=edge_after(at, 0))
            for at in range(fmt.mantissa_bits)
        ],
        "point": mantissa_at + 1,
        "exponent": [
            _empty(exponent_at + at, at, fmt.exponent_bits, inner=False) for at in range(fmt.exponent_bits)
        ],
        "exponent_text": "",
        "exponent_at": exponent_at,
        "exponent_width": fmt.exponent_bits,
        "value": [],
        "value_at": width,
        "lost_words": "",
        "gap": 0,
        "wall": None,
    }
    below = {"kind": "weights", "label": "", "label_at": 0.0, "weights": weights, "gap": 0, "wall": None}
    return {
        "title": f"Format {fmt}",
        "things": list(format_card(question)),
        "u": u,
        "width": width,
        "height": CELL_HEIGHT,
        "rows": [rail, below],
        "alt": f"A rail of {fmt.mantissa_bits} mantissa bits, the binary point after the first, {values.words}; "
        f"and one of {fmt.exponent_bits} exponent bits.",
    }


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
    picture = rows_of(item, sheet)
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
        "picture": picture,
        "lines": lines_of(item),
        "lines_first": operation in LINES_FIRST,
        "room": room * ROOM_A_LINE * sheet.scale if item.kind == "work" else 0,
    }
