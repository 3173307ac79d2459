"""The rows of a scene as data for `rails.typ`: what is drawn at which x, in u."""

from __future__ import annotations

from collections.abc import Iterable

from chalkpoint.numbers.datafiles import JsonObject
from chalkpoint.publishing import layout
from chalkpoint.publishing.layout import Grid, Line
from chalkpoint.publishing.parts import (
    Carries,
    Cell,
    Held,
    Item,
    Left,
    Names,
    PlaceValues,
    Rail,
    Ruler,
    Scene,
    Threads,
    Tray,
    Weight,
)
from chalkpoint.publishing.sentences import bits_in, powers_in

__all__ = ["MEASURES", "RowBuilder", "alt_of", "pieces", "ruler_data"]

#: The scene's measures by the names `rails.typ` knows them by.
MEASURES: dict[str, float] = {
    "cell": layout.CELL_HEIGHT,
    "digit": layout.DIGIT,
    "carry_height": layout.CARRY_HEIGHT,
    "carry_digit": layout.CARRY_DIGIT,
    "held": layout.HELD_HEIGHT,
    "wedge_width": layout.WEDGE[0],
    "wedge_height": layout.WEDGE[1],
    "bar": layout.BAR,
    "threads": layout.THREADS_HEIGHT,
    "stroke_gap": layout.STROKE_GAP,
}
BETWEEN_RAILS = 0.27
BEFORE_VALUE = 0.5
BEFORE_LABEL = 0.35

Data = JsonObject


def pieces(sentence: str) -> list[tuple[str, str]]:
    """Return *sentence* in pieces, each with its kind: "bits", "power" or "".

    >>> pieces("0.1010011 0011 is 83 \u00d7 2^\u22124")
    [('0.1010011 0011', 'bits'), (' is 83 \u00d7 2', ''), ('\u22124', 'power')]
    """
    found: list[tuple[str, str]] = []
    for piece, is_bits in bits_in(sentence):
        if is_bits:
            found.append((piece, "bits"))
        else:
            found += [(part, "power" if raised else "") for part, raised in powers_in(piece)]
    return found


def alt_of(items: Iterable[Item]) -> str:
    """Return the words that stand for a picture of *items*: a sentence a row."""
    said = [item.words for item in items if isinstance(item, Rail | PlaceValues) and item.words]
    return " ".join(words if words.endswith(".") else f"{words}." for words in said)


class RowBuilder:
    """Turns the items of one scene into rows; *labels* u are left free for labels at the left.

    values_below  whether a row's decimal value stands below its digits, for want of room beside them

    >>> from chalkpoint.publishing.scene import scene
    >>> from chalkpoint.working.work import work
    >>> drawn = scene(work("negate", "01101000 0011"))
    >>> row = RowBuilder(drawn, labels=2).rows(drawn.blocks[0].items)[0]
    >>> row["kind"], row["cells"][0]["x"], row["point"]
    ('rail', 2.0, 3.0)
    """

    def __init__(
        self, scene: Scene, *, labels: float, grid: Grid | None = None, values_below: bool = False
    ) -> None:
        self.scene = scene
        self.grid = grid or layout.grid(scene)
        self.left = float(labels)
        self.sign_at = self.left + self.grid.sign_at + max(0, scene.sign - 1)
        self.values_below = values_below
        self.value_at = self.mantissa_at if values_below else self.left + self.grid.width + BEFORE_VALUE
        self.label_at = self.left - BEFORE_LABEL

    def x(self, column: int) -> float:
        """Return the left edge of a mantissa column."""
        return self.left + self.grid.x(column)

    def exponent_at(self, *, first: bool) -> float:
        """Return the left edge of the exponent on one side of the mantissa."""
        return self.left + (self.grid.before_at if first else self.grid.exponent_at)

    @property
    def mantissa_at(self) -> float:
        """Where the mantissa is named: over its first digit."""
        return self.x(self.scene.heading_column)

    def headings(self, *, value: bool = True) -> list[tuple[float, str]]:
        """Return where each field is named."""
        mantissa, exponent, decimal, _ = self.scene.headings
        named = [(self.mantissa_at, mantissa)]
        named += [(self.sign_at, "sign")] if self.scene.sign else []
        for first, columns in ((True, self.scene.before), (False, self.scene.after)):
            named += [(self.exponent_at(first=first), exponent)] if columns else []
        return [*named, (self.value_at, decimal)] if value else named

    def rows(self, items: Iterable[Item]) -> list[Data]:
        """Return *items* as rows, top to bottom."""
        found: list[Data] = []
        above: Item | None = None
        for item in items:
            gap = BETWEEN_RAILS if isinstance(above, Rail) and isinstance(item, Rail) else 0
            found.append(self._row(item) | {"gap": gap, "wall": self.wall(item.tray)})
            above = item
        return found

    def wall(self, tray: Tray | None) -> Data | None:
        """Return where the walls of *tray* stand."""
        if tray is None:
            return None
        return {"left": self.x(tray.left), "right": self.x(tray.left + tray.width)}

    def left_in(self, left: Left) -> Data:
        """Return bits left in the tray, on its floor; without room beside them, their worth follows their label."""
        return {
            "label": f"{left.label}, {left.worth}" if self.values_below else left.label,
            "cells": [self._cell(cell, left.cells) for cell in left.cells],
            "worth": [] if self.values_below else pieces(left.worth),
            "worth_at": self.exponent_at(first=False) if self.scene.after else self.value_at,
        }

    def _row(self, item: Item) -> Data:
        match item:
            case Rail():
                return self._rail(item)
            case Carries():
                cells = [{"x": self.x(cell.column), "digit": cell.digit} for cell in item.cells]
                return {"kind": "carries", "label": item.label, "label_at": self.label_at, "cells": cells}
            case Held():
                held = [self._cell(cell, item.cells) for cell in item.cells]
                return {"kind": "held", "label": item.label, "label_at": self.label_at, "cells": held}
            case Names():
                return {"kind": "names", "names": [(self.x(at) + 0.5, name) for at, name in item.names]}
            case Threads():
                lines = [(thread.kind, layout.thread_line(thread)) for thread in item.threads]
                return {"kind": "threads", "threads": [self._thread(kind, line) for kind, line in lines]}
            case PlaceValues():
                weights = [_weight(weight, self.x(weight.column)) for weight in item.weights]
                exponent_at = self.exponent_at(first=item.exponent_first)
                weights += [_weight(weight, exponent_at + weight.column) for weight in item.exponent]
                return {
                    "kind": "weights",
                    "label": item.label,
                    "label_at": self.label_at,
                    "weights": weights,
                }

    def _rail(self, rail: Rail) -> Data:
        first = rail.cells[0].column if rail.cells else 0
        kept = [cell for cell in rail.cells if cell.kind == "kept" and not cell.unwritten]
        operator_at = (self.sign_at if rail.sign else self.x(first)) - 0.5
        exponent_at = self.exponent_at(first=rail.exponent_first)
        aside = [f"and {rail.lost_words}"] if rail.worth else []
        return {
            "kind": "rail",
            "label": rail.label,
            "label_at": self.label_at,
            "soft": rail.soft,
            "operator": rail.operator,
            "operator_at": operator_at,
            "cells": [self._cell(cell, kept, rail.point) for cell in rail.cells],
            "point": None if rail.point is None else self.x(rail.point + 1),
            "exponent": [*self._field(rail.sign, self.sign_at), *self._field(rail.exponent, exponent_at)],
            "exponent_text": rail.exponent_text,
            "exponent_moved": rail.exponent_moved,
            "exponent_at": exponent_at,
            "exponent_width": self.scene.before if rail.exponent_first else self.scene.after,
            "value": pieces(rail.value),
            "value_at": self.value_at,
            "below": self.values_below and bool(rail.value or rail.aside),
            "lost_words": pieces("; ".join([*aside, *filter(None, [rail.note])])),
        }

    def _field(self, cells: tuple[Cell, ...], left: float) -> list[Data]:
        """Return the cells of a field beside the mantissa, from *left*."""
        return [self._cell(cell, cells) | {"x": left + cell.column} for cell in cells]

    def _cell(self, cell: Cell, row: tuple[Cell, ...] | list[Cell], point: int | None = None) -> Data:
        ends = bool(row) and cell == row[-1]
        lost = [other for other in row if other.kind == "lost"]
        return {
            "x": self.x(cell.column),
            "digit": cell.digit,
            "kind": "extra" if cell.unwritten and cell.kind == "kept" else cell.kind,
            "lined": not cell.unwritten,
            "changed": cell.changed,
            "copied": cell.copied,
            "ringed": cell.ringed,
            "edge": ends
            or (cell.kind == "kept" and not cell.unwritten and layout.edge_after(cell.column, point)),
            "start": bool(row) and cell == row[0],
            "wall": bool(lost) and cell == lost[0],
        }

    def _thread(self, kind: str, line: Line) -> Data:
        start = self.x(0)
        return {"kind": kind, "x1": start + line.x1, "y1": line.y1, "x2": start + line.x2, "y2": line.y2}


def _weight(weight: Weight, x: float) -> Data:
    return {"x": x + 0.5, "top": weight.top, "bottom": weight.bottom, "power": weight.power}


def ruler_data(ruler: Ruler, *, character: float = layout.CHARACTER) -> Data:
    """Return the plan of *ruler* as data, in u from its top left; *character* is the width of one on it."""
    plan = layout.plan_ruler(ruler, character=character)
    return {
        "width": plan.width,
        "height": plan.height,
        "line": _stroke(plan.line),
        "ticks": [_stroke(tick) for tick in plan.ticks],
        "gap": plan.gap,
        "hatch": [_stroke(stroke) for stroke in plan.hatch],
        "captions": [
            (caption.x, caption.y, caption.anchor, pieces(caption.text)) for caption in plan.captions
        ],
    }


def _stroke(line: Line) -> tuple[float, float, float, float]:
    return line.x1, line.y1, line.x2, line.y2
