"""The primitives say the same on one integer, on an array of them, and by their definition."""

from collections.abc import Callable

import numpy as np
import pytest

from arrays import array
from chalkpoint.numbers.carriers import (
    Number,
    fits,
    larger,
    opposite,
    sign_copies,
    smaller,
    toward_zero,
    where,
    wrap,
)

EVERY_6_BIT = array(np.arange(-32, 32))


@pytest.mark.parametrize(
    "primitive",
    [
        lambda x: fits(x, 4),
        lambda x: opposite(fits(x, 4)),
        lambda x: sign_copies(x, 6),
        lambda x: sign_copies(x, 9),
        lambda x: toward_zero(x, 2),
        lambda x: wrap(x, 4),
        lambda x: where(x < 3, x + 1, x - 1),
        lambda x: larger(x, 5),
        lambda x: smaller(x, 5),
    ],
    ids=["fits", "opposite", "copies 6", "copies 9", "toward zero", "wrap", "where", "larger", "smaller"],
)
def test_an_array_agrees_with_one_integer_at_a_time(primitive: Callable[[Number], Number]) -> None:
    """Each primitive gives an array what it gives each of its integers."""
    together = primitive(EVERY_6_BIT)

    assert together.tolist() == [primitive(int(x)) for x in EVERY_6_BIT]


@pytest.mark.parametrize("bits", [2, 3, 6, 7, 8, 16])
def test_sign_copies_counts_what_the_bits_show(bits: int) -> None:
    """The count is the run of equal digits at the left of the written bits, less one (by counting characters)."""
    for x in range(-(1 << (bits - 1)), min(1 << (bits - 1), 300)):
        written = format(x & ((1 << bits) - 1), f"0{bits}b")

        assert sign_copies(x, bits) == bits - len(written.lstrip(written[0])) - 1


def test_widths_may_differ_from_question_to_question() -> None:
    """An array of widths is taken, one for each integer."""
    widths = array([4, 6, 9])

    assert sign_copies(array([3, 3, -1]), widths).tolist() == [1, 3, 8]


def test_cutting_toward_zero_is_what_division_with_truncation_does() -> None:
    """The size is divided and cut, the sign kept (integer division as second road)."""
    for x in range(-70, 70):
        for places in range(8):
            size = abs(x) // 2**places

            assert toward_zero(x, places) == (size if x >= 0 else -size)
