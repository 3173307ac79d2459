"""Pens and pupils: a pupil's habits, and an answer written box by box, with everything that goes wrong on paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from glyphs import A_PIXEL, HEIGHT, SIDE, Field, Glyphs

from chalkpoint.scanning.vision import cv2

__all__ = [
    "BLANK",
    "KINDS",
    "MARRED",
    "NOTHING",
    "PLAIN",
    "RICH",
    "SCALE",
    "USUAL",
    "Pupil",
    "Writer",
    "a_pupil",
]

SCALE = 8.0  # px/mm of the paper that is written on
Ink = npt.NDArray[np.float32]

#: What a pen is like: width in mm from and to, darkness from and to (1 is toner), grain, gaps.
PENS = {
    "gel": (0.45, 0.75, 0.78, 0.97, 0.0, 0.0),
    "ball": (0.28, 0.55, 0.55, 0.85, 0.10, 0.25),
    "pencil": (0.35, 0.80, 0.35, 0.70, 0.35, 0.0),
    "felt": (0.80, 1.50, 0.80, 0.98, 0.0, 0.0),
}
PEN_SHARES = (0.30, 0.36, 0.28, 0.06)
#: What may happen in a box. The marred kinds are for the teacher: no reading of them may pass.
PLAIN = ("blank", "digit", "rubbed out", "rubbed under", "dirt", "dirt on a digit")
MARRED = ("written over", "corrected beside", "crossed out", "other sign")
KINDS = PLAIN + MARRED
#: How often each happens, in a usual class and in the set that is learned from.
USUAL = (0.12, 0.836, 0.004, 0.010, 0.003, 0.007, 0.006, 0.007, 0.003, 0.004)
RICH = (0.12, 0.50, 0.04, 0.05, 0.03, 0.04, 0.07, 0.07, 0.03, 0.05)
BLANK, NOTHING = 2, 9  # the truth of an empty box, and of one that may not be read


@dataclass(frozen=True, slots=True)
class Pupil:
    """Habits that a pupil keeps over a page: pen, size, lean, shapes of 0 and 1, how tidy."""

    pen: str
    width: float
    dark: float
    size: float
    turn: float
    lean: float
    one: str
    zero: str
    untidy: float
    wide: float


def a_pupil(draw: np.random.Generator, pen: str | None = None) -> Pupil:
    """Return a pupil drawn at random, with *pen* if one is named."""
    pen = pen or str(draw.choice(list(PENS), p=PEN_SHARES))
    thin, thick, light, dark, _, _ = PENS[pen]
    return Pupil(
        pen,
        draw.uniform(thin, thick),
        draw.uniform(light, dark),
        draw.uniform(0.45, 0.88),
        draw.normal(0, 0.07),
        draw.normal(-0.06, 0.14),
        str(draw.choice(["plain", "flag", "flag and foot", "curl"], p=[0.55, 0.25, 0.12, 0.08])),
        str(draw.choice(["plain", "slashed", "open", "narrow"], p=[0.78, 0.07, 0.08, 0.07])),
        draw.uniform(0.03, 0.12),
        draw.uniform(0.85, 1.15),
    )


@dataclass(frozen=True, slots=True)
class Writer:
    """Writes on *ink* (0 none, 1 black) with a pupil's habits, in the shapes of *glyphs*."""

    ink: Ink
    pupil: Pupil
    glyphs: Glyphs
    draw: np.random.Generator

    def write(self, boxes: npt.NDArray[np.float64], kinds: Sequence[str], bits: Sequence[int]) -> list[int]:
        """Write *bits* into boxes (left, top, right, bottom in px), each as its kind says; return the truth of each."""
        return [self._box(box, kind, bit) for box, kind, bit in zip(boxes, kinds, bits, strict=True)]

    def tick(self, box: npt.NDArray[np.float64]) -> None:
        """Cross a small box."""
        left, top, right, bottom = box + self.draw.normal(0, 2, 4)
        self._line(((left, top), (right, bottom)))
        self._line(((left, bottom), (right, top)))

    def finish(self) -> None:
        """Give the ink its pen's grain and gaps."""
        _, _, _, _, grain, gaps = PENS[self.pupil.pen]
        high, wide = self.ink.shape
        if grain:
            rough = self.draw.random((high // 2 + 1, wide // 2 + 1), dtype=np.float32)
            self.ink[:] *= 1 - grain * cv2.resize(rough, (wide, high))
        if gaps:
            rough = self.draw.random((high // 10 + 1, wide // 10 + 1), dtype=np.float32)
            self.ink[:] *= 1 - gaps * np.clip((cv2.resize(rough, (wide, high)) - 0.72) * 5, 0, 1)

    def _box(  # noqa: C901 - a case of the table of kinds a line
        self, box: npt.NDArray[np.float64], kind: str, bit: int
    ) -> int:
        draw, pupil = self.draw, self.pupil
        left, top, right, bottom = box
        wide, high = right - left, bottom - top
        x = (left + right) / 2 + draw.normal(0, pupil.untidy) * wide
        y = (top + bottom) / 2 + draw.normal(0, pupil.untidy) * high * 0.8
        size = high * float(np.clip(pupil.size * draw.uniform(0.85, 1.18), 0.3, 1.12))
        faint = draw.uniform(0.04, 0.16)
        if kind in {"digit", "rubbed under", "dirt on a digit"}:
            if kind == "rubbed under":
                self._digit(1 - bit, x + draw.normal(0, 3), y + draw.normal(0, 3), size, dark=faint)
            self._digit(bit, x, y, size)
            if kind == "dirt on a digit":
                self._dirt(box)
            return bit
        if kind in {"blank", "rubbed out", "dirt"}:
            if kind == "rubbed out":
                self._digit(bit, x, y, size, dark=faint)
            if kind == "dirt":
                self._dirt(box)
            return BLANK
        if kind == "written over":
            self._digit(1 - bit, x, y, size)
            for _ in range(draw.integers(1, 3)):
                at = x + draw.normal(0, 3), y + draw.normal(0, 3)
                self._digit(bit, *at, size * draw.uniform(0.9, 1.2), thick=draw.uniform(0.9, 1.8))
            return bit
        if kind == "corrected beside":
            self._digit(1 - bit, x, y, size)
            self._cross(x, y, wide, high)
            self._beside(bit, box, x, y, size)
            return bit
        if kind == "crossed out":
            self._digit(bit, x, y, size)
            self._cross(x, y, wide, high)
        else:
            self._other(bit, x, y, wide, high, size)
        return NOTHING

    def _beside(self, bit: int, box: npt.NDArray[np.float64], x: float, y: float, size: float) -> None:
        """Write the right bit above, under or beside what was crossed out."""
        left, top, right, bottom = box
        wide, high = right - left, bottom - top
        small = self.draw.uniform(0.3, 0.5) * high
        where = self.draw.choice(3, p=[0.65, 0.15, 0.2])
        along = (left + right) / 2 + self.draw.normal(0, 0.1) * wide
        if where == 0:
            self._digit(bit, along, top - 0.22 * high + self.draw.normal(0, 2), small)
        elif where == 1:
            self._digit(bit, along, bottom + 0.2 * high, small * 0.9)
        else:
            self._digit(bit, x + wide * self.draw.choice([-0.3, 0.3]), y + self.draw.normal(0, 3), size * 0.7)

    def _other(self, bit: int, x: float, y: float, wide: float, high: float, size: float) -> None:
        """Write what is no bit: another digit, a dash, a tick, two digits."""
        draw = self.draw
        chance = draw.random()
        others = [digit for digit, shapes in self.glyphs.items() if digit > 1 and shapes]
        if chance < 0.55 and others:
            self._digit(int(draw.choice(others)), x, y, size)
        elif chance < 0.75:
            ends = (x - wide * draw.uniform(0.15, 0.4), y), (x + wide * draw.uniform(0.15, 0.4), y)
            self._line(ends)
        elif chance < 0.85:
            self._line(
                ((x - 0.25 * wide, y), (x - 0.05 * wide, y + 0.2 * high), (x + 0.35 * wide, y - 0.3 * high))
            )
        else:
            self._digit(bit, x - 0.22 * wide, y, size * 0.75)
            self._digit(int(draw.integers(2)), x + 0.24 * wide, y, size * 0.75)

    def _dirt(self, box: npt.NDArray[np.float64]) -> None:
        for _ in range(self.draw.integers(1, 4)):
            x, y = self.draw.uniform(box[0], box[2]), self.draw.uniform(box[1], box[3])
            if self.draw.random() < 0.6:
                dot = int(x), int(y)
                cv2.circle(
                    self.ink, dot, int(self.draw.uniform(1, 3)), float(self.draw.uniform(0.2, 0.9)), -1
                )
            else:
                length, angle = self.draw.uniform(3, 13), self.draw.uniform(0, 6.3)
                end = x + length * np.cos(angle), y + length * np.sin(angle)
                self._line(((x, y), end), self.draw.uniform(1, 2.5), self.draw.uniform(0.1, 0.6))

    def _cross(self, x: float, y: float, wide: float, high: float) -> None:
        """Cross out: one stroke, two, two levels, a scribble."""
        draw = self.draw
        a, b = wide * draw.uniform(0.32, 0.6), high * draw.uniform(0.25, 0.5)
        rising, falling = ((x - a, y + b), (x + a, y - b)), ((x - a, y - b), (x + a, y + b))
        kind = draw.integers(5)
        if kind == 0:
            self._line(falling if draw.random() < 0.4 else rising)
        elif kind == 1:
            self._line(falling)
            self._line(rising)
        elif kind == 2:
            for level in (draw.uniform(-0.15, 0), draw.uniform(0.02, 0.18)):
                self._line(((x - a, y + level * high), (x + a, y + level * high + draw.normal(0, 3))))
        elif kind == 3:
            count = draw.integers(7, 14)
            side = [(1 if at % 2 else -1) * draw.uniform(0.6, 1.1) for at in range(count)]
            self._line([(x + a * (2 * at / (count - 1) - 1), y + b * side[at]) for at in range(count)])
        else:
            self._line(((x - a, y + draw.normal(0, 0.05) * high), (x + a, y + draw.normal(0, 0.05) * high)))

    def _digit(
        self,
        digit: int,
        x: float,
        y: float,
        high: float,
        *,
        dark: float | None = None,
        thick: float | None = None,
    ) -> None:
        draw, pupil = self.draw, self.pupil
        dark = min(dark or pupil.dark * draw.uniform(0.9, 1.08), 1.0)
        width = pupil.width * SCALE * (thick or draw.uniform(0.88, 1.15))
        shapes = self.glyphs[digit]
        narrow = draw.uniform(0.45, 0.7) if digit == 0 and pupil.zero == "narrow" else 1.0
        mask = self._traced(shapes[draw.integers(len(shapes))], high, width, narrow)
        side = len(mask)
        if digit == 0 and pupil.zero == "open" and draw.random() < 0.7:
            angle, gap = draw.normal(-np.pi / 2, 0.7), draw.uniform(0.12, 0.3) * high
            hole = side / 2 + 0.29 * high * pupil.wide * np.cos(angle), side / 2 + 0.46 * high * np.sin(angle)
            cv2.circle(mask, (int(hole[0]), int(hole[1])), int(gap / 2), 0, -1)
        _lay(self.ink, mask * np.float32(dark), x, y)
        if digit == 0 and pupil.zero == "slashed" and draw.random() < 0.9:
            length, angle = high * draw.uniform(0.4, 0.62), draw.uniform(0.35, 1.0)
            a, b = length * np.sin(angle), length * np.cos(angle)
            self._line(((x - a, y + b), (x + a, y - b)), width, dark)
        if digit == 1 and pupil.one != "plain" and draw.random() < 0.93:
            self._serifs(mask, x - side / 2, y - side / 2, high, width, dark)

    def _serifs(self, mask: Ink, left: float, top: float, high: float, width: float, dark: float) -> None:
        """Give a 1 its flag, its foot or its curl."""
        draw = self.draw
        rows, columns = np.where(mask > 0.5)
        if not len(rows):
            return
        head = left + columns[rows <= rows.min() + 2].mean(), top + rows.min() + width / 2
        foot = left + columns[rows >= rows.max() - 2].mean(), top + rows.max() - width / 2
        if self.pupil.one in {"flag", "flag and foot"}:
            length, angle = high * draw.uniform(0.15, 0.5), draw.uniform(0.4, 1.25)
            end = head[0] - length * np.sin(angle), head[1] + length * np.cos(angle)
            self._line((head, end), width, dark)
        if self.pupil.one == "flag and foot":
            length = high * draw.uniform(0.12, 0.35)
            ends = (
                (foot[0] - length, foot[1] + draw.normal(0, 2)),
                (foot[0] + length * draw.uniform(0.6, 1.2), foot[1]),
            )
            self._line(ends, width, dark)
        if self.pupil.one == "curl":
            length = high * draw.uniform(0.1, 0.28)
            middle = foot[0] + length / 2, foot[1] + width / 2
            self._line(
                (foot, middle, (foot[0] + length, foot[1] - length * draw.uniform(0.2, 0.8))), width, dark
            )

    def _traced(self, field: Field, high: float, width: float, narrow: float) -> Ink:
        """Return the mask (0..1) of a glyph *high* px high, traced by a pen *width* px wide."""
        draw, pupil = self.draw, self.pupil
        scale = high / HEIGHT
        wide = pupil.wide * draw.uniform(0.93, 1.07) * narrow
        turn, lean = pupil.turn + draw.normal(0, 0.05), pupil.lean + draw.normal(0, 0.05)
        c, s = np.cos(turn), np.sin(turn)
        matrix = np.array([[c, -s], [s, c]]) @ np.array([[1, lean], [0, 1]]) @ np.diag([scale * wide, scale])
        side = int(SIDE * scale * 1.15)
        shift = side / 2 - matrix @ np.array([SIDE / 2, SIDE / 2])
        moved = np.column_stack([matrix, shift])
        far = cv2.warpAffine(field, moved, (side, side), flags=cv2.INTER_LINEAR, borderValue=255)
        distance = far.astype(np.float32) / A_PIXEL * scale * min(1.0, (1 + wide) / 2)
        return np.clip(width / 2 - distance + 0.5, 0, 1).astype(np.float32)

    def _line(
        self, points: Sequence[tuple[float, float]], width: float | None = None, dark: float | None = None
    ) -> None:
        width = width or self.pupil.width * SCALE
        dark = dark or self.pupil.dark
        path = np.array(points, np.float32)
        first = np.floor(path.min(0) - width - 2).astype(int).clip(0)
        last = np.ceil(path.max(0) + width + 2).astype(int)
        part = self.ink[first[1] : max(last[1], 0), first[0] : max(last[0], 0)]
        if part.size:
            mask = np.zeros(part.shape, np.uint8)
            moved = [np.round((path - first) * 16).astype(np.int32)]
            cv2.polylines(mask, moved, False, 255, max(1, round(width)), cv2.LINE_AA, 4)  # noqa: FBT003
            np.maximum(part, mask * np.float32(dark / 255), out=part)


def _lay(ink: Ink, mask: Ink, x: float, y: float) -> None:
    """Lay a mask on the ink, its middle at (x, y)."""
    high, wide = mask.shape
    left, top = round(x - wide / 2), round(y - high / 2)
    a, b = max(left, 0), max(top, 0)
    c, d = min(left + wide, ink.shape[1]), min(top + high, ink.shape[0])
    if c > a and d > b:
        part = ink[b:d, a:c]
        np.maximum(part, mask[b - top : d - top, a - left : c - left], out=part)
