"""Lanes hold what was put into them, and their masks name questions."""

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chalkpoint.numbers.lanes import Lanes, nth_of, positions


@given(st.lists(st.integers(-(1 << 200), 1 << 200)) | st.lists(st.integers(-300, 300)))
def test_integers_come_back_as_they_were_packed(values: list[int]) -> None:
    """Any integers, few or many, narrow or wide."""
    lanes = Lanes(len(values))
    packed = lanes.pack(values)
    assert lanes.unpack(packed) == values
    assert [lanes.at(packed, place) for place in range(len(values))] == values


@pytest.mark.parametrize("bits", [1, 8, 9, 63, 64, 65, 128])
def test_every_width_comes_back(bits: int) -> None:
    """The ends of each width, where a word or a byte is just full."""
    values = [-(1 << (bits - 1)), (1 << (bits - 1)) - 1, 0, -1]
    assert Lanes(4).unpack(Lanes(4).pack(values)) == values


@given(st.lists(st.booleans(), min_size=1))
def test_truths_come_back_and_are_counted(truths: list[bool]) -> None:
    """A mask has a one for each question of which the condition holds."""
    lanes = Lanes(len(truths))
    mask = lanes.mask(lanes.pack_truths(truths))
    assert mask.bit_count() == sum(truths)
    assert positions(mask) == [place for place, truth in enumerate(truths) if truth]
    assert [bool(truth) for truth in lanes.unpack(lanes.truth(mask))] == truths


def test_counting_begins_anywhere() -> None:
    """The number of each question is counted from the first's."""
    for start, count in ((0, 1), (0, 2), (5, 1), (7, 300), (1000, 24)):
        assert Lanes(count).unpack(Lanes(count).counting(start)) == list(range(start, start + count))


def test_the_nth_question_of_a_mask() -> None:
    """Ranks within a mask are those of its list."""
    mask = Random(4).getrandbits(5000) & Random(5).getrandbits(5000)
    listed = positions(mask)
    assert [nth_of(mask, number) for number in range(len(listed))] == listed
