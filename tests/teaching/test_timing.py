"""Rates, lines and pauses, for any sentence and for every sentence of a lesson."""

import re

from hypothesis import given
from hypothesis import strategies as st

from chalkpoint.teaching.digits import HELD, count_words, speaks_bits
from chalkpoint.teaching.timing import BIT_PACE, LINE, phrases, writing_pause
from lessons import told

WORDS = st.one_of(
    st.text("abcdefghij", min_size=1, max_size=11),
    st.text("01", min_size=4, max_size=16),
    st.from_regex(f"0\\.[01]{{4,12}}{HELD}[01]{{4,8}}", fullmatch=True),
)
SENTENCES = st.lists(WORDS, min_size=1, max_size=40).map(" ".join)


@given(SENTENCES, st.integers(80, 150))
def test_no_caption_is_faster_than_its_pace(sentence: str, pace: int) -> None:
    """Words a minute stay at or below what is asked, and at 120 where bits are read."""
    limit = min(pace, BIT_PACE) if speaks_bits(sentence) else pace

    for phrase in phrases(sentence, pace):
        assert count_words(" ".join(phrase.lines)) * 60_000 <= limit * phrase.milliseconds


@given(SENTENCES)
def test_captions_stand_two_seconds_in_two_short_lines(sentence: str) -> None:
    """Long enough to be noticed, short enough to be read."""
    for phrase in phrases(sentence, 130):
        assert phrase.milliseconds >= 2000
        assert len(phrase.lines) <= 2
        assert all(len(line) <= LINE for line in phrase.lines)


@given(SENTENCES)
def test_captions_are_word_for_word(sentence: str) -> None:
    """Nothing is left out, added or split."""
    captioned = [
        word for phrase in phrases(sentence, 130) for line in phrase.lines for word in line.split(" ")
    ]

    assert captioned == sentence.split(" ")


def test_a_pause_to_write_grows_with_the_bits() -> None:
    """Two seconds a bit and ten more."""
    assert writing_pause(8) == 26_000


def test_every_cue_of_a_lesson_keeps_the_cap() -> None:
    """130 words a minute at most, counted on what is spoken."""
    for shot in told().shots:
        for cue in shot.cues:
            if not cue.silent:
                words = len(re.sub(r"[^\w\s\u2019]", " ", cue.spoken).split())
                assert words * 60_000 <= 160 * cue.milliseconds, cue.written
