"""The stage: where a frame's rows stand on a board of 1920 by 1080 px, so that columns line up all through a lesson."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.publishing import layout
from chalkpoint.publishing.frames import Frame
from chalkpoint.publishing.parts import Left
from chalkpoint.publishing.stagerows import CHARACTER, Measures
from chalkpoint.publishing.typst.rows import MEASURES, RowBuilder

__all__ = ["BOARD_MEASURES", "HEIGHT", "HELD", "LABEL", "LEFT", "WIDTH", "Stage"]

WIDTH, HEIGHT, LEFT = 1920, 1080, 80
LARGEST = 106.0  # a cell
LABEL = 48  # px, 24 pt: the least size of words on a slide
TOP, BOTTOM = 335.0, 925.0  # where rows may stand
HELD = 0.74  # u, what the tray holds since an earlier step: low, but labels of 24 pt fit one under another
#: The scene's measures, with the board's larger digits.
BOARD_MEASURES = MEASURES | {"digit": 0.84}

Data = JsonObject


@dataclass(frozen=True, slots=True)
class Stage:
    """One width of cell for a whole lesson.

    u       px, a cell's width
    labels  u, the room for labels
    """

    u: float
    labels: float

    @classmethod
    def of(cls, frames: Iterable[Frame]) -> Stage:
        """Return the largest stage on which all *frames* fit."""
        trial = cls(LARGEST, 0)
        drawn: list[list[Data]] = []
        widest, label = 1.0, 0
        for frame in frames:
            rows = trial.rows(frame)
            if frame.scene and rows:
                drawn.append(rows)
                widest = max(widest, layout.grid(frame.scene).width)
                label = max([label, *(len(row.get("label", "")) for row in rows)])
        room = label * LABEL * CHARACTER + 30
        stage = cls(min(LARGEST, (WIDTH - 2 * LEFT - room) / (widest + 0.4)), room)
        for _ in range(4):  # words keep their size, so that smaller cells leave them more of the height
            highest = max(map(stage.height, drawn), default=1.0)
            stage = cls(min(stage.u, (BOTTOM - TOP) / highest), room)
        return cls(stage.u, room / stage.u)

    @property
    def weight(self) -> float:
        """The size of place values, in px."""
        return max(20.0, min(float(LABEL), 0.63 * self.u))

    @property
    def measures(self) -> Measures:
        """How large rows are drawn; their decimal values a board writes below them."""
        return Measures(
            u=self.u,
            left=LEFT,
            label=LABEL,
            weight=self.weight,
            line=1,
            digit=BOARD_MEASURES["digit"],
            carry=min(max(LABEL, layout.CARRY_HEIGHT * self.u), 0.9 * self.u),
            held=HELD,
            held_digit=0.9 * HELD,
            value=(LABEL, LABEL),
        )

    def row_builder(self, frame: Frame) -> RowBuilder:
        """Return what lays out the rows of *frame*."""
        if frame.scene is None:
            raise ValueError("a frame without a scene has no rows")
        return RowBuilder(frame.scene, labels=self.labels)

    def rows(self, frame: Frame) -> list[Data]:
        """Return the rows of *frame*; one not shown yet keeps its place: a rail with nothing in its cells."""
        if not frame.items:
            return []
        rows = self.row_builder(frame).rows(item for item, _ in frame.items)
        shown = [shown for _, shown in frame.items]
        told = (self._without_value(row) for row in rows)
        blanked = [row if here else self.blank(row) for row, here in zip(told, shown, strict=True)]
        return blanked if self.has_walls(frame) else [row | {"wall": None} for row in blanked]

    @staticmethod
    def has_walls(frame: Frame) -> bool:
        """Tell whether the tray's walls may be seen: not while the row that makes them is still hidden."""
        complete = all(shown for _, shown in frame.items)
        return bool(frame.items) and (complete or frame.items[0][0].tray is not None)

    def left_in(self, frame: Frame, left: Left) -> Data:
        """Return bits left in the tray; what they are worth stands left of them, where there is room."""
        return self.row_builder(frame).left_in(left) | {"label": f"{left.label}, {left.worth}", "worth": []}

    def height(self, rows: Iterable[Data]) -> float:
        """Return how high *rows* are together, in u."""
        measures = self.measures
        return sum(measures.height_of(row) + float(row["gap"]) for row in rows)

    def top(self, rows: Iterable[Data]) -> float:
        """Return where *rows* start, in px: a third of the spare room stands above them."""
        return TOP + max(0.0, (BOTTOM - TOP - self.height(rows) * self.u) / 3)

    def _without_value(self, row: Data) -> Data:
        """Return a row without its decimal, which a board writes below the rows."""
        return row | {"value": [], "lost_words": []} if row["kind"] == "rail" else row

    def blank(self, row: Data) -> Data:
        """Return the room of *row*: a rail with nothing in its cells, or space."""
        if row["kind"] in {"held", "names", "weights"}:
            return row
        if row["kind"] != "rail":
            return {
                "kind": "space",
                "height": self.measures.height_of(row),
                "gap": row["gap"],
                "wall": row["wall"],
            }
        cells = [_emptied(cell) for cell in row["cells"] if cell["kind"] == "kept"]
        exponent = [_emptied(cell) for cell in row["exponent"]]
        return row | {"cells": cells, "exponent": exponent, "exponent_text": ""}


def _emptied(cell: Data) -> Data:
    return cell | {"digit": "", "changed": False, "copied": False}
