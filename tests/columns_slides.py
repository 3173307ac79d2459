"""Rows of slides read back from the file: a group of shapes a row, a box of words a digit."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any, NamedTuple

from pptx.shapes.group import GroupShape
from pptx.slide import Slide

from chalkpoint.publishing.film.lettering import text_width
from columns import Box, Mark
from columns_weights import Weight, weight_of

__all__ = ["Group", "groups", "slide_boxes", "slide_marks", "slide_weights"]

PX = 6350  # EMU
ROWS = {"rail", "carries", "held", "tray"}


class Group(NamedTuple):
    """A row of a slide: its kind, and its words as (text, x of the middle, top)."""

    kind: str
    words: list[tuple[str, float, float]]


def groups(slide: Slide) -> Iterator[Group]:
    """Yield the rows of *slide*, top to bottom as they are drawn."""
    for shape in slide.shapes:
        if isinstance(shape, GroupShape):
            yield Group(shape.name.split()[0], list(_centred(shape.shapes)))


def _centred(shapes: Any) -> Iterator[tuple[str, float, float]]:
    """Yield the words that stand around the middle of their box, which labels do not."""
    for shape in shapes:
        if shape.has_text_frame and shape.text_frame.text.strip():
            (paragraph, *_) = shape.text_frame.paragraphs
            if paragraph.alignment == 2:  # centred
                text = "^".join(run.text for run in paragraph.runs)
                yield text, (shape.left + shape.width / 2) / PX, shape.top / PX


def slide_marks(slide: Slide) -> list[list[Mark]]:
    """Return the digits of each row of *slide*."""
    return [
        [
            Mark(text, x)
            for text, x, _ in sorted(row.words, key=lambda one: one[1])
            if set(text) <= set("0123456789\u2212\u2026") and text != "\u2212"
        ]
        for row in groups(slide)
        if row.kind in ROWS
    ]


def slide_weights(slide: Slide) -> list[Weight]:
    """Return the place values of *slide*."""
    weights = []
    for row in groups(slide):
        if row.kind != "weights":
            continue
        tops = min(y for _, _, y in row.words)
        for text, x, y in row.words:
            if y > tops + 1:
                continue
            bottom = next((low for low, at, under in row.words if under > tops + 1 and abs(at - x) < 1), "")
            plain, _, power = text.partition("^")
            weights.append(Weight(weight_of(plain, bottom, power), x))
    return weights


def slide_boxes(slide: Slide) -> list[Box]:
    """Return where each text stands, those within rows too, by the widths of a common sans-serif type; y down."""
    groups = [shape for shape in slide.shapes if isinstance(shape, GroupShape)]
    shapes: list[Any] = [shape for shape in slide.shapes if shape not in groups]
    shapes += [shape for group in groups for shape in group.shapes]
    return [_box(shape) for shape in shapes if shape.has_text_frame and shape.text_frame.text.strip()]


def _box(shape: Any) -> Box:
    x, y, width, height = (side / PX for side in (shape.left, shape.top, shape.width, shape.height))
    frame = shape.text_frame
    size = 2 * max(run.font.size.pt for one in frame.paragraphs for run in one.runs)  # px
    lengths = [text_width(line, size) for line in frame.text.split("\n")]
    lines = sum(max(1, math.ceil(length / width)) for length in lengths)
    wide, high = min(max(lengths), width), lines * size * 1.15
    left = {2: x + (width - wide) / 2, 3: x + width - wide}.get(frame.paragraphs[0].alignment, x)
    top = y if frame.vertical_anchor == 1 else y + (height - high) / 2
    return Box(frame.text, left, top, left + wide, top + high, size)
