"""How questions flow over the sides of a paper: each is made of pieces of known height, never separated from its boxes.

Lengths are in mm, from the top left corner of the side.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import takewhile
from typing import Any

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.numbers.named import AnyFormat
from chalkpoint.publishing.papers.fields import FieldPlan, plan_fields
from chalkpoint.publishing.papers.measures import LEFT, TRAY, Sheet
from chalkpoint.publishing.papers.metrics import Piece, width_of, wrap
from chalkpoint.working.wording.words_papers import BOXES

__all__ = [
    "LABEL",
    "SMALL_LABEL",
    "TICK",
    "Block",
    "Placed",
    "Side",
    "box_row",
    "flow",
    "headings_of",
    "inline",
    "text_block",
    "ticks",
]

Data = JsonObject
LEAST_PAD, USUAL_PAD = 3.0, 7.0  # above a question


@dataclass(frozen=True, slots=True)
class Block:
    """A piece of a question that is kept whole on one side.

    kind     "text", "row", "line", "room" or "ruled": how it is drawn
    height   with the space below it
    data     what is drawn
    words    for the ear, where a row of boxes is drawn
    """

    kind: str
    height: float
    data: Data
    words: str = ""
    line: str = ""
    fields: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Placed:
    """A block where it stands on a side."""

    y: float
    block: Block
    question: int


@dataclass(slots=True)
class Side:
    """One side of a paper: its blocks, and the questions that begin on it."""

    number: int
    placed: list[Placed] = field(default_factory=list)
    questions: list[int] = field(default_factory=list)


class Flow:
    """Places questions on sides: a side is filled first, and what space is left then shared out above its questions."""

    def __init__(self, first_top: float, next_top: float, bottom: float, *, keeps: bool) -> None:
        self.keeps = keeps
        self.tops = first_top, next_top
        self.bottom = bottom
        self.sides = [Side(1)]
        self.held: list[tuple[int, Sequence[Block]]] = []

    @property
    def top(self) -> float:
        """Where the questions of the side at hand begin."""
        return self.tops[len(self.sides) > 1]

    @property
    def room(self) -> float:
        """The height that is left on the side at hand."""
        return self.bottom - self.top - sum(height_of(blocks) for _, blocks in self.held)

    def add(self, number: int, blocks: Sequence[Block], spare: float) -> None:
        """Add a question: to this side, without its spare line if it fits only so, else to the next."""
        if not self.keeps and height_of(blocks) > self.room >= height_of(blocks) - spare and spare:
            blocks = blocks[:-1]
        if self.held and height_of(blocks) > self.room:
            self.set()
            self.sides.append(Side(len(self.sides) + 1))
        if spare and height_of(blocks) > self.room:
            blocks = blocks[:-1]
        self.sides[-1].questions.append(number)
        self.held.append((number, blocks))

    def set(self) -> None:
        """Place what the side holds; a question that is higher than a whole side goes on on the next, between rows."""
        pad = LEAST_PAD + min(USUAL_PAD - LEAST_PAD, max(0.0, self.room / max(len(self.held), 1)))
        y = self.top
        for number, blocks in self.held:
            y += pad
            for block in blocks:
                if y + block.height > self.bottom + 0.01 and self.sides[-1].placed:
                    self.sides.append(Side(len(self.sides) + 1))
                    y = self.top + LEAST_PAD
                self.sides[-1].placed.append(Placed(y, block, number))
                y += block.height
        self.held.clear()


def height_of(blocks: Sequence[Block]) -> float:
    """Return the least height of a question."""
    return LEAST_PAD + sum(block.height for block in blocks)


def flow(
    questions: Sequence[tuple[int, Sequence[Block], float]],
    first_top: float,
    next_top: float,
    bottom: float,
    *,
    keeps: bool = False,
) -> list[Side]:
    """Return the sides that *questions* take, in their order; a question moves to the next side whole.

    questions  number, blocks, and how much of its height the question can do without: its spare line, which stands last
    keeps      whether spare lines stay but where a question is higher than a side

    >>> rows = [Block("row", 50.0, {})] * 2
    >>> [side.questions for side in flow([(1, rows, 0), (2, rows, 0), (3, rows, 0)], 40, 30, 260)]
    [[1, 2], [3]]
    """
    flowing = Flow(first_top, next_top, bottom, keeps=keeps)
    for number, blocks, spare in questions:
        flowing.add(number, blocks, spare)
    flowing.set()
    return flowing.sides


# === Blocks ===


def text_block(
    pieces: list[Piece],
    sheet: Sheet,
    size: float,
    *,
    below: float,
    bold: bool = False,
    number: str = "",
    right: str = "",
) -> Block:
    """Return words, broken into lines; *number* stands in the margin, *right* at the end of the first line."""
    setting = sheet.type(size, bold=bold)
    lines = wrap(pieces, setting, sheet.width - (width_of(right, setting) + 4 if right else 0))
    data = {
        "lines": lines,
        "size": setting.size,
        "leading": setting.line,
        "bold": bold,
        "number": number,
        "right": right,
        "soft": False,
    }
    return Block("text", len(lines) * setting.line + below, data, "".join(text for text, _ in pieces))


def box_row(
    row: Data, sheet: Sheet, *, words: str, below: float, given: bool = False, carries: bool = False
) -> Block:
    """Return a row of boxes, digits in those that are filled; above it a row for carries where that is wanted.

    Beside the answer of a sheet that is read by machine stand the words that an answer may be, each with a box to tick.
    """
    fmt = row["format"]
    plan = plan_fields(fmt, sheet, tray=row["lost"] is not None)
    carried = {run.line for run in plan.runs if run.name in CARRIED} if carries else set()
    above = (
        sheet.carry if carries else 0.0
    )  # over the first line; a field that goes on below has carries there too
    over_names = NAME * sheet.scale  # where no row of carries makes room for a name
    named = {run.line for run in plan.beside} - carried
    tops = [
        line * sheet.line_pitch
        + above * max(1, sum(one <= line for one in carried))
        + over_names * sum(one <= line for one in named)
        for line in range(plan.lines)
    ]
    height = sheet.height - 1.0 if given else sheet.height
    over = row.get("carries_label", BOXES["carries"])
    to_tick = _words_to_tick(row["words"], plan, sheet, tops) if row["kind"] == "boxes" else []
    label_width = sheet.labels - 2 - (sheet.pitch if row["lead"] else 0)
    widest = max(width_of(word, sheet.type(LABEL)) for word in row["label"].split(" "))
    data = {
        "kind": "given" if given else "boxes",
        "label": row["label"],
        "label_size": row.get("label_size", LABEL if widest < label_width else SMALL_LABEL),
        "mark": row["mark"],
        "above": above,
        "box": height,
        "carries": row.get("carries", "") if carries else None,
        "runs": [
            {
                "x": sheet.first_box + run.x,
                "y": tops[run.line],
                "digits": [*row["digits"][run.name][run.first : run.first + run.bits]],
                "edges": list(run.edges),
                "point": run.point,
                "carries": run.line in carried and run.name in CARRIED,
            }
            for run in plan.runs
        ],
        "tray": None
        if row["lost"] is None or plan.tray is None
        else {
            "x": sheet.first_box + plan.tray[0],
            "y": tops[plan.tray[1]],
            "digits": [*row["lost"]],
        },
        "lead": row["lead"],
        "label_width": label_width,
        "aside": asides(plan, sheet, tray=row["lost"] is not None, tops=tops),
        "note": row.get("note", []),
        "note_at": sheet.first_box + (plan.tray[0] if plan.tray and plan.lines == 1 else 0) + 2,
        "ticks": to_tick,
        "carry_gap": sheet.carry - 5.0 * sheet.scale,
        "carries_label": over if width_of(over, sheet.type(9)) < sheet.labels - 1 else BOXES["carries-short"],
    }
    fields = tuple((run.name, run.first) for run in plan.runs)
    end = max([tops[-1] + height, *(tick["y"] + TICK + 1 for tick in to_tick)])
    return Block("row", end + below, data, words, row["name"], fields)


LABEL, SMALL_LABEL = 10.5, 8.5  # pt, before a row
NAME = 3.0  # mm, what the name of a field needs over its boxes
CARRIED = ("mantissa", "whole number", "fixed point")
TICK = 3.6  # mm, a box to tick


def ticks(names: Sequence[tuple[str, str]], x: float, y: float, sheet: Sheet, pitch: float) -> list[Data]:
    """Return boxes to tick, each with its name behind it: side by side from *x*, on further lines where they need them.

    names  the line each is for, and as it is printed
    pitch  from one line to the next
    """
    found = []
    for line, name in names:
        wide = TICK + 1 + width_of(name, sheet.type(9))
        if x + wide > sheet.right:
            x, y = sheet.first_box, y + pitch
        found.append({"x": x, "y": y, "size": TICK, "name": name, "line": line})
        x += wide + 4
    return found


def _words_to_tick(names: Sequence[str], plan: FieldPlan, sheet: Sheet, tops: Sequence[float]) -> list[Data]:
    """Return the words an answer may be: one under another in the tray's place or behind the boxes, else below them."""
    if not names or not sheet.scan:
        return []
    if plan.tray is not None and plan.lines == 1:
        x, line = plan.tray[0] + 2, 0
    else:
        last = plan.runs[-1]
        x, line = last.x + sheet.span(last.bits) + 2, last.line
        x += width_of(last.name, sheet.type(9)) + 4 if plan.lines > 1 else 0  # behind the name of the field
    widest = max(width_of(name, sheet.type(9)) for name in names)
    if x + TICK + 1 + widest > sheet.room:
        return ticks(
            [(name, name) for name in names], sheet.first_box, tops[-1] + sheet.height + 3, sheet, 0.0
        )
    y = tops[line] + (sheet.height - len(names) * (TICK + 0.8)) / 2
    return [
        tick
        for at, name in enumerate(names)
        for tick in ticks([(name, name)], sheet.first_box + x, y + at * (TICK + 0.8), sheet, 0.0)
    ]


def headings_of(fmt: AnyFormat, sheet: Sheet, *, tray: bool, marks: bool) -> Block:
    """Return the names over the columns of a row."""
    plan = plan_fields(fmt, sheet, tray=False)
    names = [(sheet.first_box + run.x, run.name) for run in plan.runs if not run.first and not run.line]
    if plan.lines > 1 and len(names) == 1 and not plan.beside:
        names = []  # each field's name stands beside its own line
    if plan.lines == 1 and tray and plan.tray:
        names.append((sheet.first_box + plan.tray[0], "tray"))
    data = {"names": names, "marks": marks, "size": 9 * sheet.scale}
    return Block("names", 4.6 * sheet.scale, data)


def asides(plan: FieldPlan, sheet: Sheet, *, tray: bool, tops: Sequence[float]) -> list[Data]:
    """Return the names of the fields of a row that takes several lines: beside a line, or over what begins behind."""
    if plan.lines == 1:
        return []
    middle = NAME * sheet.scale / 2 + 0.6
    found: list[Data] = [
        {"x": sheet.first_box + run.x, "y": tops[run.line] - middle, "name": run.name} for run in plan.beside
    ]
    for line in range(plan.lines):
        here = [run for run in plan.runs if run.line == line]
        names = list(dict.fromkeys(run.name for run in here))
        end = max((run.x + sheet.span(run.bits) for run in here), default=0.0)
        if tray and plan.tray and plan.tray[1] == line:
            names.append("tray")
        if plan.tray and plan.tray[1] == line:
            end = max(end, plan.tray[0] + TRAY * sheet.box)
        name = ", ".join(names)
        x = sheet.first_box + end + 2
        if x + width_of(name, sheet.type(9)) > sheet.right - 9 * sheet.scale:
            continue
        found.append({"x": x, "y": tops[line] + sheet.height / 2, "name": name})
    return found


def inline(parts: Sequence[tuple[str, Any]], sheet: Sheet, *, mark: str) -> Block:
    """Return a line of words and blanks, broken where it is too long; *mark* at its right end.

    parts  ("words", text) or the name of a blank's line, and its width in mm
    """
    setting, above = sheet.type(10.5), 3.4
    space = width_of(" ", setting)
    room = sheet.width - (width_of(mark, setting) + 3 if mark else 0)
    atoms: list[tuple[str, Any, float, bool]] = []  # kind, what, width, whether a space stands before it
    loose = False
    for kind, what in parts:
        if kind != "words":
            atoms.append((kind, what, what * sheet.scale, loose))
            loose = False
            continue
        words = what.split(" ")
        for at, word in enumerate(words):
            loose = loose or at > 0
            if word:
                atoms.append(("words", word, width_of(word, setting), loose))
                loose = False
    lines: list[list[tuple[float, str, Any, float]]] = [[]]
    x = 0.0
    for at, (kind, what, wide, spaced) in enumerate(atoms):
        start = x + (space if spaced and lines[-1] else 0)
        together = wide + sum(one[2] for one in takewhile(lambda one: not one[3], atoms[at + 1 :]))
        if lines[-1] and start + together > room and spaced:
            lines.append([])
            start = 0.0
        lines[-1].append((start, kind, what, wide))
        x = start + wide
    pitch = max(setting.line, 8.5 if len(lines) > 1 else 0)
    data = {
        "lines": [
            [
                {
                    "x": LEFT + x,
                    "blank": kind != "words",
                    "line": kind,
                    "text": what if kind == "words" else "",
                    "width": wide,
                }
                for x, kind, what, wide in line
            ]
            for line in lines
        ],
        "size": setting.size,
        "above": above * sheet.scale,
        "pitch": pitch,
        "mark": mark,
    }
    return Block("line", above * sheet.scale + (len(lines) - 1) * pitch + setting.line + 1.4, data)
