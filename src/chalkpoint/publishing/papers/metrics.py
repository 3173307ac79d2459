"""How wide words are in the faces of paper, so that lines are broken, and sides counted, before anything is printed."""

from __future__ import annotations

import struct
from functools import cache
from importlib.resources import files

__all__ = ["MM_PER_PT", "Piece", "Setting", "width_of", "wrap"]

MM_PER_PT = 25.4 / 72
MONO = 0.602  # em, every character of the mono face
POWER = 0.6  # of the size of the words a power stands in

Piece = tuple[str, str]  # text, and its kind: "", "bits" or "power"


class Setting:
    """A size of type, and how far its letters and words are apart.

    size  in pt
    bold  whether the heavy face is meant
    wide  whether letters, words and lines stand further apart
    """

    __slots__ = ("bold", "size", "wide")

    def __init__(self, size: float, *, bold: bool = False, wide: bool = False) -> None:
        self.size, self.bold, self.wide = size, bold, wide

    @property
    def line(self) -> float:
        """From one line to the next, in mm."""
        return self.size * MM_PER_PT * (1.7 if self.wide else 1.4)


def width_of(text: str, setting: Setting, kind: str = "") -> float:
    """Return the width of *text* in mm.

    >>> round(width_of("Subtract 1.25 from 6.5.", Setting(12)), 1)
    49.5
    """
    if kind == "bits":
        ems = MONO * len(text)
    else:
        advances = _advances(bold=setting.bold)
        ems = sum(advances.get(ord(letter), 0.6) for letter in text)
        if setting.wide:
            ems += 0.45 * advances[32] * (text.count(" ") + text.count("\u00a0"))
    if setting.wide:
        ems += 0.06 * len(text)
    return ems * setting.size * MM_PER_PT * (POWER if kind == "power" else 1)


def wrap(pieces: list[Piece], setting: Setting, room: float) -> list[list[Piece]]:
    """Return *pieces* in lines of at most *room* mm, broken at the spaces of plain words.

    >>> [[text for text, _ in line] for line in wrap([("Add the two numbers.", "")], Setting(12), 24)]
    [['Add the'], ['two'], ['numbers.']]
    """
    lines: list[list[Piece]] = [[]]
    used = 0.0
    for word in _words(pieces):
        wide = sum(width_of(text, setting, kind) for text, kind in word)
        space = width_of(" ", setting) if lines[-1] else 0.0
        if lines[-1] and used + space + wide > room:
            lines.append([])
            used, space = 0.0, 0.0
        if lines[-1]:
            lines[-1].append((" ", ""))
        lines[-1] += word
        used += space + wide
    return [_joined(line) for line in lines]


def _words(pieces: list[Piece]) -> list[list[Piece]]:
    """Return the words between spaces, each of one piece or of several that touch."""
    words: list[list[Piece]] = [[]]
    for text, kind in pieces:
        parts = [text] if kind else text.split(" ")
        for at, part in enumerate(parts):
            if at and words[-1]:
                words.append([])
            if part:
                words[-1].append((part, kind))
    return [word for word in words if word]


def _joined(line: list[Piece]) -> list[Piece]:
    """Return *line* with neighbours of one kind put together."""
    found: list[Piece] = []
    for text, kind in line:
        if found and found[-1][1] == kind:
            found[-1] = (found[-1][0] + text, kind)
        else:
            found.append((text, kind))
    return found


@cache
def _advances(*, bold: bool) -> dict[int, float]:
    """Return each letter's advance in em, read from the face's own tables."""
    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    data = (files("chalkpoint.publishing") / "fonts" / name).read_bytes()
    (count,) = struct.unpack_from(">H", data, 4)
    tables = {}
    for at in range(count):
        tag, _, offset, _ = struct.unpack_from(">4sLLL", data, 12 + 16 * at)
        tables[tag] = offset
    (per_em,) = struct.unpack_from(">H", data, tables[b"head"] + 18)
    (metrics,) = struct.unpack_from(">H", data, tables[b"hhea"] + 34)
    glyphs = _glyphs(data, tables[b"cmap"])

    def advance(glyph: int) -> int:
        found: tuple[int] = struct.unpack_from(">H", data, tables[b"hmtx"] + 4 * min(glyph, metrics - 1))
        return found[0]

    return {code: advance(glyph) / per_em for code, glyph in glyphs.items()}


def _glyphs(data: bytes, cmap: int) -> dict[int, int]:
    """Return the glyph of each character: the face has a table of format 4."""
    (count,) = struct.unpack_from(">H", data, cmap + 2)
    found: dict[int, int] = {}
    for at in range(count):
        _, _, offset = struct.unpack_from(">HHL", data, cmap + 4 + 8 * at)
        table = cmap + offset
        form, _, _, doubled = struct.unpack_from(">HHHH", data, table)
        if form != 4:
            continue
        ends, starts = table + 14, table + 16 + doubled
        deltas, ranges = starts + doubled, starts + 2 * doubled
        for segment in range(0, doubled, 2):
            (end,) = struct.unpack_from(">H", data, ends + segment)
            (start,) = struct.unpack_from(">H", data, starts + segment)
            (delta,) = struct.unpack_from(">H", data, deltas + segment)
            (reach,) = struct.unpack_from(">H", data, ranges + segment)
            for code in range(start, end + 1):
                glyph = code
                if reach:
                    (glyph,) = struct.unpack_from(">H", data, ranges + segment + reach + 2 * (code - start))
                    glyph = glyph and (glyph + delta) & 0xFFFF
                else:
                    glyph = (code + delta) & 0xFFFF
                if glyph and code != 0xFFFF:
                    found[code] = glyph
    return found
