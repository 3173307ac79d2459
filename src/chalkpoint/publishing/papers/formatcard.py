"""The card of a format printed once on a paper: what must be known, and an empty rail with its place values."""

from __future__ import annotations

from typing import NamedTuple

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.families import FLOATING, SIZES, WHOLE
from chalkpoint.numbers.named import AnyFormat
from chalkpoint.publishing.papers.fields import edges_in, point_in
from chalkpoint.publishing.papers.measures import Sheet
from chalkpoint.publishing.papers.metrics import Setting, width_of, wrap
from chalkpoint.publishing.parts import Cell, Weight
from chalkpoint.publishing.plan import top_code
from chalkpoint.publishing.typst.rows import pieces
from chalkpoint.publishing.weights import place_values
from chalkpoint.setting.cards import card_sentences, format_name, named_fields
from chalkpoint.setting.papers import SetPaper
from chalkpoint.working.course import Course
from chalkpoint.working.question import Question
from chalkpoint.working.wording.words_papers import BOXES, HEADING

__all__ = ["cards_of", "courses_of"]

CARD_U, CARD_WIDTH, CARD_GAP = 6.0, 84.0, 0.75  # mm, mm, u
WEIGHT_SIZE, LEAST_BETWEEN = 6.5, 1.0  # pt, as in paper.typ; mm between two place values

Data = JsonObject


class Field(NamedTuple):
    """A field on the format card; *x* in boxes."""

    name: str
    bits: int
    x: float
    point: int | None
    edges: tuple[bool, ...]


def cards_of(paper: SetPaper, sheet: Sheet) -> list[Data]:
    """Return the card of each format that the questions of *paper* are in."""
    formats = {course.format: course for item in paper.questions for course in courses_of(item.question)}
    return [_card(one, sheet) for one in formats.values()]


def courses_of(question: Question) -> tuple[Course, ...]:
    """Return the courses whose formats *question* needs a card of; none where the format is the answer."""
    if question.operation.name == "choose-format":
        return ()
    return (question.course,) if question.target is None else (question.course, question.target)


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
    weights: list[Data] = []
    for field, (found, _) in weighed:
        for number, (at, weight) in enumerate(found):
            one = {
                "x": field.x + at + 0.5,
                "top": weight.top,
                "bottom": weight.bottom,
                "power": weight.power,
            }
            touches = bool(weights) and _touch(weights[-1], one, u)
            if touches and not number:  # what a field's first place counts is told sooner than another's last
                weights.pop()
            if not touches or not number:
                weights.append(one)
    below = {"kind": "weights", "label": "", "label_at": 0.0, "weights": weights, "gap": 0, "wall": None}
    said = "; ".join(f"{field.bits} of the {field.name}{words}" for field, (_, words) in weighed)
    said_title = HEADING.format(format=format_name(fmt))
    picture_width = width * u
    setting = sheet.type(9)
    beside = sheet.width - picture_width - 6.0
    things = pieces(" ".join(card_sentences(course)))
    heading = sheet.type(10.5, bold=True)
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
        "alt": BOXES["rail"].format(said=said),
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


def _touch(one: Data, other: Data, u: float) -> bool:
    """Tell whether the values under two places touch.

    u  the width of a box, in mm

    >>> one, other = ({"x": x, "top": top, "bottom": "", "power": ""} for x, top in ((23.5, "1"), (24.75, "-128")))
    >>> _touch(one, other, 2.5), _touch(one, other, 6.0)
    (True, False)
    """
    setting = Setting(WEIGHT_SIZE)
    halves = sum(
        max(
            width_of(value["top"], setting) + width_of(value["power"], setting, "power"),
            width_of(value["bottom"], setting),
        )
        for value in (one, other)
    )
    return bool((other["x"] - one["x"]) * u < halves / 2 + LEAST_BETWEEN)


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
