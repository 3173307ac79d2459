"""How dark a page's pen is, whatever else lies on the paper."""

from __future__ import annotations

import numpy as np
import pytest

from chalkpoint.scanning.boxes import CROP_HIGH, CROP_WIDE, Crops, tone_of

PENCIL, TONER = 100, 200  # of 255
#: Rows and columns of a 1 as a thin pencil writes it, and of four specks of toner, each 2 by 2.
A_ONE = np.s_[20:45, 20:22]
SPECKS = ((22, 12), (30, 30), (38, 25), (47, 14))


def boxes(written: int, empty: int, *, specks: bool) -> Crops:
    """Return so many boxes with a 1 in pencil and so many empty ones; there is no print."""
    crops = np.zeros((written + empty, 2, CROP_HIGH, CROP_WIDE), np.uint8)
    crops[:written, 0][:, *A_ONE] = PENCIL
    for row, column in SPECKS if specks else ():
        crops[:, 0, row : row + 2, column : column + 2] = TONER
    return crops


@pytest.mark.parametrize("specks", [False, True])
@pytest.mark.parametrize(("written", "empty"), [(8, 0), (4, 4), (8, 60)])
def test_a_pencil_is_as_dark_as_its_strokes(written: int, empty: int, specks: bool) -> None:
    """Neither empty boxes nor the pepper of a photocopier, darker than any pencil, change it by more than a fifth."""
    assert tone_of(boxes(written, empty, specks=specks)) == pytest.approx(PENCIL / 255, rel=0.2)


def test_pepper_alone_is_no_pen() -> None:
    """A page on which nothing was written has next to no tone, specks or none; print is not taken for a pen."""
    assert tone_of(boxes(0, 40, specks=False)) == 0
    assert tone_of(boxes(0, 40, specks=True)) < 0.25
    framed = boxes(0, 40, specks=False)
    framed[:, :, 10:58, 20:22] = 200
    assert tone_of(framed) == 0
    assert tone_of(framed[:0]) == 0
