"""A picture that repeats the one before, written by hand: an H.264 slice in which every block is skipped.

Source: ITU-T Recommendation H.264, 7.3.2.1 (sequence parameters), 7.3.2.2 (picture parameters), 7.3.3 (slice header),
7.3.4 (slice data, where mb_skip_run counts the blocks skipped), 7.4.1 (bytes that keep start codes apart). A slice
takes 12 to 17 bytes. What follows repeats is numbered on from them: only the frame number in its header changes.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

__all__ = ["Numberer"]

START = b"\x00\x00\x00\x01"
SLICE, KEY_SLICE, SEQUENCE, PICTURE = 1, 5, 7, 8  # kinds of units
P_SLICE = 5  # "all slices of this picture are P"
HIGH_PROFILES = (100, 110, 122, 244)


class _Bits:
    """Reads numbers of a unit bit by bit."""

    def __init__(self, unit: bytes) -> None:
        self.bits = "".join(f"{byte:08b}" for byte in unit)
        self.at = 0

    def fixed(self, count: int) -> int:
        """Return the next number of *count* bits."""
        self.at += count
        return int(self.bits[self.at - count : self.at] or "0", 2)

    def counted(self) -> int:
        """Return the next number in the code whose length its leading zeros tell (9.1)."""
        zeros = 0
        while self.fixed(1) == 0:
            zeros += 1
        return (1 << zeros) - 1 + self.fixed(zeros)


def _counted(number: int) -> str:
    written = f"{number + 1:b}"
    return "0" * (len(written) - 1) + written


class Numberer:
    """Numbers the pictures of one stream and writes the repeats between them."""

    def __init__(self, width: int, height: int) -> None:
        self._blocks = -(-width // 16) * -(-height // 16)
        self._digits = 4  # of a frame number
        self._number = 0
        self._deblocking = False

    def picture(self, coded: bytes) -> bytes:
        """Return a coded picture, its frame number following on what was written before."""
        units = []
        for unit in _units(coded):
            match unit[0] & 31:
                case n if n == SEQUENCE:
                    self._sequence(unit)
                case n if n == PICTURE:
                    self._parameters(unit)
                case n if n == KEY_SLICE:
                    self._number = 0
                case n if n == SLICE:
                    self._number = (self._number + 1) % (1 << self._digits)
                    unit = self._numbered(unit)  # noqa: PLW2901  (the same unit, renumbered)
            units.append(unit)
        return b"".join(START + unit for unit in units)

    def repeat(self) -> bytes:
        """Return a picture in which nothing changes."""
        self._number = (self._number + 1) % (1 << self._digits)
        header = _counted(0) + _counted(P_SLICE) + _counted(0) + f"{self._number:0{self._digits}b}"
        header += (
            "0" + "0" + "0" + _counted(0)
        )  # usual references, no changed order, no marking; quantiser as it is
        header += _counted(1) if self._deblocking else ""
        bits = header + _counted(self._blocks) + "1"
        bits += "0" * (-len(bits) % 8)
        return START + b"\x41" + _escaped(int(bits, 2).to_bytes(len(bits) // 8, "big"))

    def _sequence(self, unit: bytes) -> None:
        bits = _Bits(_plain(unit)[1:])
        profile = bits.fixed(8)
        bits.fixed(16)
        bits.counted()
        if profile in HIGH_PROFILES:
            if bits.counted() == 3:
                bits.fixed(1)
            bits.counted()
            bits.counted()
            if bits.fixed(2) & 1:
                raise ValueError("the coder's sequence has scaling matrices, which are not read here")
        self._digits = bits.counted() + 4
        if bits.counted() != 2:
            raise ValueError("the coder numbers pictures in another way than in the order shown")

    def _parameters(self, unit: bytes) -> None:
        bits = _Bits(_plain(unit)[1:])
        bits.counted()
        bits.counted()
        if bits.fixed(1):
            raise ValueError("the coder's entropy code is arithmetic, in which no repeat is written here")
        bits.fixed(1)
        if bits.counted():
            raise ValueError("the coder's pictures have groups of slices")
        bits.counted()
        bits.counted()
        if bits.fixed(3):
            raise ValueError("the coder's prediction is weighted")
        for _ in range(3):
            bits.counted()
        self._deblocking = bool(bits.fixed(1))

    def _numbered(self, unit: bytes) -> bytes:
        """Return a slice with the frame number that is its turn."""
        plain = _plain(unit)
        head = _Bits(plain[1:17])
        for _ in range(3):
            head.counted()
        at, bits = head.at, head.bits
        changed = bits[:at] + f"{self._number:0{self._digits}b}" + bits[at + self._digits :]
        return unit[:1] + _escaped(int(changed, 2).to_bytes(len(changed) // 8, "big") + plain[17:])


def _units(coded: bytes) -> Iterator[bytes]:
    for unit in re.split(b"\x00\x00\x00?\x01", coded):
        if unit:
            yield unit


def _plain(unit: bytes) -> bytes:
    return unit.replace(b"\x00\x00\x03", b"\x00\x00")


def _escaped(plain: bytes) -> bytes:
    return re.sub(b"\x00\x00(?=[\x00-\x03])", b"\x00\x00\x03", plain)
