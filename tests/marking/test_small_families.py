"""Small formats of every family, judged: all by `small_families.py`, some of them here."""

from __future__ import annotations

import pytest

from small_families import FORMATS, OPERATIONS, astray

WIDE = ("3+2 excess-2", "c3x-16", "1750a-32")  # many beliefs, many bits


@pytest.mark.parametrize("spelling", FORMATS)
def test_right_answers_beliefs_and_altered_bits(spelling: str) -> None:
    """Right ones are right, what a belief writes is traced to it, and a changed bit is told, in every operation."""
    assert [
        one for operation in OPERATIONS for one in astray(operation, spelling, 1 if spelling in WIDE else 2)
    ] == []
