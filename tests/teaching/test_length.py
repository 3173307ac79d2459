"""Lengths: what is left out first, what never is, and that a lesson fits the time asked for."""

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.teaching.length import parse_length, shortened
from chalkpoint.teaching.storyboard import CORE
from lessons import one_working


@pytest.mark.parametrize("milliseconds", [60_000, 90_000, 120_000, 150_000, 170_000])
def test_a_working_fits_the_time_asked_for(milliseconds: int) -> None:
    """A lossy subtraction in 8+4 can be told in a minute, and uses most of a longer time."""
    told = shortened(one_working(), milliseconds)

    assert 0.8 * milliseconds <= told.milliseconds <= milliseconds


def test_nothing_is_left_out_where_there_is_time() -> None:
    """Three minutes are enough for it."""
    assert shortened(one_working(), 180_000) == one_working()


def test_what_a_step_comes_to_is_never_left_out() -> None:
    """Every sentence of the core is still said, in its order, and every step keeps its chapter."""
    core = [cue.written for _, cue in one_working().timed_cues() if cue.weight == CORE]
    told = shortened(one_working(), 1000)
    said = [cue.written for _, cue in told.timed_cues()]

    assert [sentence for sentence in said if sentence in core] == core
    assert [name for *_, name in told.chapters()] == [name for *_, name in one_working().chapters()]


def test_details_go_first() -> None:
    """In two minutes nothing usual is missed as long as a detail is left in that shot's kind."""
    told = shortened(one_working(), 150_000)
    said = {cue.written for _, cue in told.timed_cues()}

    assert "Look in the tray: 0.0625." in said
    assert "So 3.6875 has become 3.625." in said


@pytest.mark.parametrize("text", ["", "60", "0s", "-1s", "1.5min", "long"])
def test_other_lengths_are_refused(text: str) -> None:
    """One sentence with what would be taken."""
    with pytest.raises(EntryError, match="60s or 3min"):
        parse_length(text)
