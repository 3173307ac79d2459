"""A mark as a scheme prints it."""

import pytest

from chalkpoint.setting.marks import Mark
from chalkpoint.working.written import Row


@pytest.mark.parametrize(
    ("row", "expects", "says"),
    [
        (None, "5.25", "5.25"),
        (Row(label="exponent", exponent_bits="0011"), "0011", "0011"),
        (Row(label="sum", bits="01011101", places=7, exponent_bits="0011"), "0011", "0011"),
        (Row(label="sum", bits="01011101", places=7, exponent_bits="0011"), "01011101", "0.1011101"),
        (Row(label="sum", bits="00111000", places=7, lead="1", lead_is="kept"), "100111000", "10.0111000"),
        (Row(label="sum", bits="00111000", places=7, lead="1", lead_is="dropped"), "00111000", "0.0111000"),
    ],
)
def test_what_is_expected_is_printed_as_its_row(row: Row | None, expects: str, says: str) -> None:
    """With its point, and a digit in front where that is kept; an exponent and a value as they are."""
    mark = Mark("add", "", "A", 1, expects, follows=True, needs=(), give="", row=row)
    assert mark.says == says
    assert (mark.letter, mark.name) == ("A1 ft", "add")
