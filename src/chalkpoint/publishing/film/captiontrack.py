"""The text style of an MP4's captions: light on dark, in the strip that is kept for them, on any player.

Source: 3GPP TS 26.245 (timed text): the sample entry holds colours, justification, the box of the text and its
style; the track's header holds its size and place. The bytes are changed in place, none is moved.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator

__all__ = ["styled"]

LINES = 288  # every player takes for granted that a picture is so many lines of text space high
SCALE = 1080 / LINES
SIZE, ACROSS = 12, 512
FORE, BACK = 0xF3EFE4FF, 0x1C2223FF
STRIP_TOP = 258


def _boxes(data: bytes | bytearray, start: int, end: int) -> Iterator[tuple[bytes, int, int]]:
    while start + 8 <= end:
        (size,) = struct.unpack_from(">I", data, start)
        if size < 8:
            return
        yield bytes(data[start + 4 : start + 8]), start + 8, start + size
        start += size


def _inside(data: bytearray, path: tuple[bytes, ...], start: int, end: int) -> Iterator[tuple[int, int]]:
    if not path:
        yield start, end
        return
    for kind, first, last in _boxes(data, start, end):
        if kind == path[0]:
            yield from _inside(data, path[1:], first, last)


def styled(data: bytes) -> bytes:
    """Return an MP4 file whose text tracks stand in the kept strip, centred, light on dark."""
    changed = bytearray(data)
    for start, end in _inside(changed, (b"moov", b"trak"), 0, len(changed)):
        for first, _ in _inside(changed, (b"mdia", b"minf", b"stbl", b"stsd"), start, end):
            entry = first + 8
            if bytes(changed[entry + 4 : entry + 8]) == b"tx3g":
                _style(changed, entry + 16)
                for kind, _, last in _boxes(changed, start, end):
                    if kind == b"tkhd":
                        _place(changed, last)
    return bytes(changed)


def _style(changed: bytearray, at: int) -> None:
    changed[at + 4], changed[at + 5] = 1, 0xFF  # centred; at the bottom of its box
    struct.pack_into(">I4H", changed, at + 6, BACK, STRIP_TOP, 0, LINES, ACROSS)
    struct.pack_into(">BI", changed, at + 25, SIZE, FORE)


def _place(changed: bytearray, end: int) -> None:
    struct.pack_into(">II", changed, end - 8, ACROSS << 16, LINES << 16)
    for diagonal in (0, 4):
        struct.pack_into(">I", changed, end - 44 + 4 * diagonal, round(SCALE * 65536))
