"""A teacher's take: times read, refused where they cannot be, and a lesson timed by them."""

import json

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.teaching.takes import Take, Turn, read_take, timed_by
from lessons import one_working

STATES = [(0, 1), (1, 1), (2, 1), (3, 1)]
SAVED = {
    "schema": "chalkpoint.take/1",
    "milliseconds": 9000,
    "turns": [[12, "0", "1"], [4000, "1", "1"]],
    "sound": "",
}


def test_what_a_board_saved_is_read() -> None:
    """Numbers come as text, since the board computes nothing; the first picture stands from the start."""
    take = read_take(json.dumps(SAVED | {"sound": "data:audio/webm;base64,AAEC"}), STATES)

    assert take == Take((Turn(0, 0, 1), Turn(4000, 1, 1)), 9000, b"\x00\x01\x02")


def test_each_picture_lasts_as_long_as_it_stood() -> None:
    """To the millisecond, sound and picture having one clock."""
    take = Take((Turn(0, 0, 1), Turn(3210, 1, 1), Turn(5000, 2, 2)), 12_000)
    told = timed_by(one_working(), take)

    assert [shot.milliseconds for shot in told.shots] == [3210, 1790, 7000]
    assert [cue.written for _, cue in told.timed_cues()] == [
        cue.written for _, cue in list(one_working().timed_cues())[:4]
    ]


def test_turning_back_shows_a_picture_again() -> None:
    """The same view comes twice, its chapter once."""
    told = timed_by(one_working(), Take((Turn(0, 0, 1), Turn(1000, 2, 1), Turn(2000, 0, 1)), 3000))

    assert [shot.view.title for shot in told.shots] == [
        "8.875 \u2212 3.6875 in 8+4",
        "Read",
        "8.875 \u2212 3.6875 in 8+4",
    ]
    assert [name for *_, name in told.chapters()] == ["The question", "Read"]


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("{}", "record it again"),
        (json.dumps(SAVED | {"schema": "other/1"}), "chalkpoint.take/1"),
        (json.dumps(SAVED | {"turns": []}), "no turns"),
        (json.dumps(SAVED | {"turns": [[5000, 0, 1], [4000, 1, 1]]}), "do not rise"),
        (json.dumps(SAVED | {"sound": "data:;base64,?"}), "sound"),
        ("0:00\nsoon\n0:09", "line 2"),
        ("0:00", "one for the end"),
        ("0\n1\n2\n3\n4\n5", "has 4 pictures"),
        ("0:09\n0:02\n0:12", "do not rise"),
    ],
)
def test_a_take_that_cannot_be_read_is_refused(text: str, why: str) -> None:
    """In one sentence with the reason."""
    with pytest.raises(EntryError, match=why):
        read_take(text, STATES)


def test_another_lessons_take_is_refused() -> None:
    """It turns to sentences that are not there."""
    with pytest.raises(EntryError, match="another's"):
        timed_by(one_working(), Take((Turn(0, 500, 1),), 1000))
