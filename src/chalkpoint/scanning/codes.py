"""Square codes: which side of which paper a picture shows, and where."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
import zxingcpp

from chalkpoint.scanning.vision import cv2

__all__ = ["Code", "codes_in"]

#: The longer side of the picture in which codes are looked for first, in px: small ones are quick.
SIZES = (1500, 2600)


@dataclass(frozen=True, slots=True, eq=False)
class Code:
    """A square code that was read.

    corners  top left, top right, bottom right and bottom left, as the code itself is turned: (4, 2)
    """

    text: str
    corners: npt.NDArray[np.float64]

    def scaled(self, factor: float) -> Code:
        """Return the code in a picture *factor* as large."""
        return replace(self, corners=self.corners * factor)

    @property
    def side(self) -> float:
        """The mean length of its sides."""
        return float(np.linalg.norm(self.corners - np.roll(self.corners, 1, 0), axis=1).mean())


def codes_in(picture: npt.NDArray[np.uint8]) -> list[Code]:
    """Return every square code in a grey picture: cheap tries first, and the next only where two were not found."""
    best: list[Code] = []
    longest = max(picture.shape)
    for size in (*SIZES, longest):
        scale = size / longest
        if scale > 1 or (size == longest and best):
            continue
        smaller = (
            picture
            if scale == 1
            else cv2.resize(picture, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
        )
        found = [
            Code(one.text, _corners(one.position)).scaled(1 / scale)
            for one in zxingcpp.read_barcodes(
                smaller, formats=zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.QRCode])
            )
            if one.text
        ]
        if len(found) > len(best):
            best = found
        if len(best) > 1:
            break
    return best


def _corners(position: zxingcpp.Position) -> npt.NDArray[np.float64]:
    corners = position.top_left, position.top_right, position.bottom_right, position.bottom_left
    return np.array([[corner.x + 0.5, corner.y + 0.5] for corner in corners])
