"""How large a box is: eight millimetres, and less only where a row would not fit."""

import pytest

from chalkpoint.numbers.formats import parse_format
from chalkpoint.publishing.papers.measures import GAP, MARK, TRAY, sheet_for
from chalkpoint.setting.asking import PRINT_KEYS, Printing

SIZES = ("3+2", "5+3", "6+4", "8+4", "10+6", "12+4", "16+8", "24+8")


@pytest.mark.parametrize("text", PRINT_KEYS["text"].choices)
@pytest.mark.parametrize("paper", PRINT_KEYS["paper"].choices)
@pytest.mark.parametrize("size", SIZES)
def test_a_row_fits_between_the_margins(size: str, paper: str, text: str) -> None:
    """Label, boxes, tray, exponent and mark together are no wider than the type."""
    fmt, sheet = parse_format(size), sheet_for(Printing(paper, text))
    columns = fmt.mantissa_bits + TRAY + (0 if sheet.stacks(fmt) else GAP + fmt.exponent_bits)

    assert sheet.labels + columns * sheet.u(fmt) + MARK * sheet.scale <= sheet.width + 1e-9


@pytest.mark.parametrize("size", ["5+3", "6+4", "8+4"])
def test_boxes_of_school_formats_are_eight_millimetres(size: str) -> None:
    """Large enough for a digit by hand, and for a camera."""
    assert sheet_for(Printing()).u(parse_format(size)) == 8.0
    assert sheet_for(Printing(text="large")).u(parse_format(size)) >= 8.0
