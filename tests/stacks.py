"""A class of three on paper: filled in by the generator of `training/`, and taken by scanners and a phone."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt
from cameras import taken
from glyphs import made_glyphs
from pens import SCALE, a_pupil
from sheets import Filled, filled, paper_of

from chalkpoint.publishing.papers.folder import set_papers
from chalkpoint.scanning.folder import packed
from chalkpoint.scanning.places import Box
from chalkpoint.scanning.printed import Printed
from chalkpoint.setting.answering import final_answer
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.setting.papers import SetPapers
from chalkpoint.setting.points import written_row

BLUEPRINT = """
title = "Gauge readings"
[course]
name = "12 Heron"
format = "8+4"
[print]
scan = true
[[question]]
operation = "add"
[[question]]
operation = "subtract"
"""
#: Everything but what may not be read at all: those have tests of their own.
SHARES = (0.12, 0.79, 0.01, 0.02, 0.01, 0.02, 0.02, 0.01, 0.0, 0.0)
CAPTURES = ("scan 200", "photocopy", "phone 3")
LOST = "tray"
SEED = 26
#: What a teacher says of a box, by its truth.
TRUTH = {0: "0", 1: "1", 2: "blank"}

__all__ = ["BLUEPRINT", "LOST", "SEED", "TRUTH", "Class", "a_class", "blank", "torn"]

Written = dict[tuple[int, str], dict[str, str]]


@dataclass(frozen=True, slots=True)
class Class:
    """The class: its papers in *folder*, the stack, what each wrote by paper, and the truth of every box by side."""

    folder: Path
    papers: SetPapers
    printed: Printed
    stack: list[Path]
    wrote: dict[str, Written]
    truth: dict[str, Filled]


def lines_of(papers: SetPapers, variant: int, slips: np.random.Generator) -> Written:
    """Return what a pupil writes: the working, with a bit of some lines wrong."""
    found: Written = {}
    for item in papers.variants[variant].questions:
        for line in ("align", "negate", "add", "answer"):
            row = written_row(item.working, line)
            bits, _, exponent = final_answer(item.working).partition(" ")
            if row is not None:
                bits, exponent = row.bits, row.exponent_bits or ""
            elif line != "answer" or not exponent:
                continue
            if slips.random() < 0.3:
                at = slips.integers(len(bits))
                bits = bits[:at] + str(1 - int(bits[at])) + bits[at + 1 :]
            fields = {"mantissa": bits, "exponent": exponent}
            lost = (row.lost or "") if row and line == "align" else ""
            found[item.number, line] = fields | ({LOST: lost} if lost else {})
    return found


def bit_of(wrote: Written, box: Box, number: int) -> int | None:
    """Return what the pupil with this number writes in a box."""
    if box.line == "pupil":
        return int(f"{number:02}"[box.field == "units"] == str(box.bit - 1))
    text = wrote.get((box.question, box.line), {}).get(box.field, "")
    sign = text[box.bit - 1 : box.bit]
    return int(sign) if sign in {"0", "1"} else None


def a_class(folder: Path) -> Class:
    """Return the class, its pages in no order and turned."""
    papers = set_papers(parse_blueprint(BLUEPRINT), variants=3, seed=SEED, out=folder / "set")
    printed = Printed.beside(folder / "set" / "papers.json")
    wrote: dict[str, Written] = {}
    truth: dict[str, Filled] = {}
    stack: list[Path] = []
    glyphs = made_glyphs(9, 40)
    for paper, capture in zip(papers, CAPTURES, strict=True):
        draw = np.random.default_rng([SEED, paper.variant])
        wrote[paper.code] = lines_of(papers, paper.variant, draw)
        pupil = a_pupil(draw, ["gel", "ball", "pencil"][paper.variant - 1])
        for code in printed.sides_of(paper.code):

            def says(box: Box, wrote: Written = wrote[paper.code], number: int = paper.variant) -> int | None:
                return bit_of(wrote, box, number)

            truth[code] = filled(printed, code, says, pupil=pupil, glyphs=glyphs, draw=draw, shares=SHARES)
            picture = taken(truth[code].page, capture, draw, turns=len(stack) % 4)
            stack.append(folder / f"{len(stack):02}.jpg")
            stack[-1].write_bytes(packed(picture))
    return Class(folder, papers, printed, stack[::-1], wrote, truth)


def blank(printed: Printed, code: str) -> npt.NDArray[np.uint8]:
    """Return a blank side as a clean picture."""
    return (paper_of(printed, code) * 255).astype(np.uint8)


def torn(printed: Printed, code: str) -> npt.NDArray[np.uint8]:
    """Return a blank side whose square codes are torn off."""
    picture = blank(printed, code)
    for one in printed.side(code).codes:
        left, top = (one.corners.min(0) * SCALE).astype(int)
        right, bottom = (one.corners.max(0) * SCALE).astype(int)
        picture[top:bottom, left:right] = 255
    return picture
