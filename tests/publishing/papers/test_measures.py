"""How large a box is: eight millimetres on every paper, ten in large print, and never less."""

import pytest

from chalkpoint.publishing.papers.measures import sheet_for
from chalkpoint.publishing.papers.metrics import Setting, width_of, wrap
from chalkpoint.setting.asking import PRINT_KEYS, Printing


@pytest.mark.parametrize("paper", PRINT_KEYS["paper"].choices)
def test_boxes_have_one_size(paper: str) -> None:
    """Large enough for a digit by hand, and for a camera; sixteen side by side, twelve in large print."""
    usual, large = (sheet_for(Printing(paper, text)) for text in ("usual", "large"))
    assert (usual.box, usual.height) == (8.0, 9.0)
    assert int(usual.room / usual.box) >= 16
    assert (large.box, large.height) == (10.0, 11.5)
    assert int(large.room / large.box) >= 12


def test_lines_are_broken_where_they_would_be_too_long() -> None:
    """No line is wider than its room, and no word is lost; a pattern is never broken."""
    said = [
        ("Write the pattern of the opposite of ", ""),
        ("1.0000011 0101", "bits"),
        (" and normalise it.", ""),
    ]
    setting = Setting(12)
    lines = wrap(said, setting, 60)
    assert all(sum(width_of(text, setting, kind) for text, kind in line) <= 60 for line in lines)
    assert " ".join("".join(text for text, _ in line) for line in lines) == "".join(text for text, _ in said)
    assert any(("1.0000011 0101", "bits") in line for line in lines)


def test_wide_spacing_takes_more_room() -> None:
    """Letters and words further apart."""
    assert width_of("Add the two", Setting(12, wide=True)) > 1.08 * width_of("Add the two", Setting(12))
