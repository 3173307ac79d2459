"""A lesson on paper: the handout a class writes on, and the cover a non-specialist can teach from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.publishing import layout
from chalkpoint.publishing.frames import Frame, Framer, frames, together
from chalkpoint.publishing.parts import Carries, Cell, Held, Item, Rail, Threads
from chalkpoint.publishing.stage import Stage
from chalkpoint.publishing.typst.compiling import compile_pdf
from chalkpoint.publishing.typst.literals import Length, literal
from chalkpoint.publishing.typst.rows import MEASURES, RowBuilder, pieces
from chalkpoint.teaching.digits import HELD
from chalkpoint.teaching.lesson import KINDS, Lesson, Part
from chalkpoint.teaching.script import clock
from chalkpoint.teaching.storyboard import Shot, Storyboard, View
from chalkpoint.teaching.unmarked import unmarked
from chalkpoint.working.wording import words_lessons as prompts
from chalkpoint.working.working import Working

__all__ = ["cover", "handout"]

LABELS = 2.8  # u
LARGEST = 7.0  # mm, a cell's width
TRAY = 4  # cells of a tray to fill, or as many as the lesson's longest needs: a shift's own would tell how far it goes
WIDTH = 184.0  # mm
HOW_TO = (
    "This lesson can be taught by anybody who can read aloud. Go through the pictures in order; beside each stands "
    "what to say. Where a pause is given, wait that long in silence. The answers are here: keep this copy to yourself."
)

Data = JsonObject


def handout(lesson: Lesson) -> bytes:
    """Return the pupils' copy as a tagged PDF: worked examples in full, the rest with rails to fill."""
    return _document(
        lesson, [prompts.WRITE_ON], [_part(part, _for_pupils(lesson, part)) for part in lesson.parts]
    )


def cover(lesson: Lesson, told: Storyboard) -> bytes:
    """Return the teacher's copy as a tagged PDF: every picture with the words to say."""
    shown = list(together(frames(told)))
    parts = []
    for index, part in enumerate(lesson.parts):
        mine = [(frame, _spoken(shots)) for shots, frame in shown if shots[0].part == index]
        parts.append(_part(part, iter(mine)))
    opening = [
        HOW_TO,
        f"The whole takes about {clock(told.milliseconds).partition('.')[0]} minutes, pauses included.",
    ]
    return _document(lesson, opening, parts)


def _document(lesson: Lesson, opening: list[str], parts: list[Data]) -> bytes:
    tray = _tray_of(lesson)
    for part in parts:
        part["frames"] = [_with_room(frame, tray) for frame in part["frames"]]
    rails = [frame for part in parts for frame in part["frames"] if frame.scene and frame.items]
    widest = max((layout.grid(frame.scene).width for frame in rails if frame.scene), default=16.0)
    u = min(LARGEST, WIDTH / (widest + LABELS + 0.4))
    stage = Stage(u / 0.353, LABELS)  # px are pt here
    for part in parts:
        steps = zip(part.pop("frames"), part.pop("says"), strict=True)
        part["steps"] = [_step(frame, says, stage, tray) for frame, says in steps]
    data = {
        "title": lesson.title,
        "footer": lesson.course.name or "chalkpoint",
        "opening": [pieces(line) for line in opening],
        "u": Length(u),
        "wide": widest + LABELS + 0.4,
        "parts": parts,
    }
    return compile_pdf(f"#lesson-pages({literal(data)}, {literal(MEASURES)})\n")


def _part(part: Part, shown: Iterator[tuple[Frame, list[str]]]) -> Data:
    entries = list(shown)
    return {
        "title": pieces(part.title),
        "note": f"{KINDS[part.kind].capitalize()}.",
        "frames": [frame for frame, _ in entries],
        "says": [says for _, says in entries],
    }


def _tray_of(lesson: Lesson) -> int:
    """Return how many cells every tray to fill has."""
    workings = [part.working for part in lesson.parts if part.working]
    moved = (row for working in workings for step in working.steps for row in step.rows if row.moved > 0)
    return max([TRAY, *(len(row.lost) for row in moved)])


def _with_room(frame: Frame, tray: int) -> Frame:
    """Return *frame* with columns enough for its trays, wherever a row is to fill."""
    if frame.scene is None or all(shown for _, shown in frame.items):
        return frame
    ends = [_last_kept(item) for item, _ in frame.items if isinstance(item, Rail) and item.cells]
    last = max([frame.scene.last, *(end + tray for end in ends[:1])])
    return replace(frame, scene=replace(frame.scene, last=last))


def _last_kept(rail: Rail) -> int:
    return max(cell.column for cell in rail.cells if cell.kind == "kept")


def _step(frame: Frame, says: list[str], stage: Stage, tray: int) -> Data:
    row_builder = RowBuilder(frame.scene, labels=LABELS) if frame.scene else None
    rows = stage.rows(frame)
    if row_builder:
        moves = any(isinstance(item, Threads) for item, _ in frame.items)
        rows = [
            row if shown else _to_fill(row, item, row_builder, tray if moves else 0)
            for row, (item, shown) in zip(rows, frame.items, strict=bool(rows))
        ]
    if not all(shown for _, shown in frame.items):  # how wide a tray is would tell how far digits have moved
        rows = [row | {"wall": None} for row in rows]
    lines = list(frame.lines)
    if frame.check:
        lines += [f"{label}: {text}" for label, text in frame.check.lines]
        lines += [frame.check.verdict, *frame.check.reasons]
    return {
        "number": frame.number,
        "title": pieces(frame.title) if frame.scene else [],
        "mark": frame.mark,
        "detail": pieces(frame.detail),
        "lines": [pieces(line) for line in lines],
        "rows": rows,
        "headings": row_builder.headings(value=False) if row_builder and rows else [],
        "alt": frame.words or prompts.TO_FILL.format(title=frame.title),
        "decimals": pieces(frame.decimals),
        "choices": [
            (choice.letter, f"{choice.answer}{'  (right)' if frame.revealed and choice.right else ''}")
            for choice in frame.choices
        ],
        "space": 0,
        "say": [pieces(line) for line in says],
    }


def _to_fill(row: Data, item: Item, row_builder: RowBuilder, tray: int) -> Data:
    """Return the room of a row that is written by hand: a tray where digits move, a line for carries above a sum.

    What lies in the tray since an earlier step is an answer too, and so is whether anything does: its line is left out.

    tray  how many cells its tray has; 0 where no digit moves
    """
    match item:
        case Held():
            return {"kind": "space", "height": 0.0, "gap": 0.0, "wall": None}
        case Carries():
            return row_builder.rows([replace(item, cells=())])[0] | {"gap": row["gap"], "wall": row["wall"]}
        case Rail(point=int(), soft=False) if row["cells"] and tray:
            first = _last_kept(item) + 1
            lost = tuple(Cell(column, "", kind="lost") for column in range(first, first + tray))
            return row | {
                "cells": [*row["cells"], *row_builder.rows([replace(item, cells=lost)])[0]["cells"]]
            }
    return row


def _spoken(shots: list[Shot]) -> list[str]:
    return [
        f"(pause {cue.milliseconds // 1000} seconds: {cue.written})"
        if cue.silent
        else cue.written.replace(HELD, " ")
        for shot in shots
        for cue in shot.cues
    ]


# === The pupils' copy ===


def _for_pupils(lesson: Lesson, part: Part) -> Iterator[tuple[Frame, list[str]]]:
    """Yield the frames of a part as a pupil is given them, with nothing to say."""
    if part.says:
        yield Frame(title=part.title, lines=part.says), []
    if part.working is None:
        return
    mistaken = part.kind == "mistake" and part.wrong is not None
    working = unmarked(part.wrong, part.working) if mistaken and part.wrong else part.working
    framer = Framer([working])
    if mistaken:
        yield Frame(title=part.title, lines=(prompts.FIND_MISTAKE,), mark=prompts.WRONG_ON_PURPOSE), []
    for at, step in enumerate(working.steps):
        blank = (part.kind == "try" and at > 0) or (part.kind == "faded" and step.rule in part.blanks)
        if (part.kind == "hinge" and at > 0) or (part.kind == "next" and step.rule in part.blanks):
            break
        view = View(
            kind="step",
            title=step.title,
            detail="" if blank else step.detail,
            working=working,
            step=at,
            hidden=_fresh(working, at) if blank else frozenset(),
        )
        frame = framer.frame(view)
        yield (_all_blank(frame, adds=step.rule == "add") if blank and part.kind == "try" else frame), []
    if part.choices:
        hidden = tuple(replace(choice, says="") for choice in part.choices)
        asked = prompts.NEXT_ROW if part.kind == "next" else prompts.CHOOSE
        yield Frame(title=asked, lines=(asked,), choices=hidden), []


def _fresh(working: Working, at: int) -> frozenset[int]:
    """Return the rows that the step at *at* writes: all but those kept for comparison."""
    return frozenset(
        row for row, entry in enumerate(working.steps[at].rows) if not entry.soft or entry.carries
    )


def _all_blank(frame: Frame, *, adds: bool) -> Frame:
    """Return *frame* without a digit, since a later step's "before" is an earlier step's answer.

    adds  whether it adds: then there is a line for carries, whether or not there are any
    """
    items = [(item, False) for item, _ in frame.items]
    if adds and not any(isinstance(item, Carries) for item, _ in items):
        first = next(at for at, (item, _) in enumerate(items) if isinstance(item, Rail))
        items.insert(first, (Carries(label="carries", cells=()), False))
    return replace(frame, items=tuple(items), decimals="")
