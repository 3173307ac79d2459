"""Captions: WebVTT and SubRip that follow the narration to the millisecond."""

import re
from itertools import pairwise

from chalkpoint.publishing.captions import captions, srt, vtt
from chalkpoint.teaching.digits import HELD
from lessons import told

TIME = r"(\d\d):(\d\d):(\d\d)[.,](\d\d\d)"


def test_captions_follow_one_another_to_the_end() -> None:
    """None overlaps the next, and the last one ends with the narration at the latest."""
    shown = list(captions(told()))

    assert all(one.end <= after.start for one, after in pairwise(shown))
    assert shown[-1].end <= told().milliseconds


def test_each_sentence_starts_with_its_cue() -> None:
    """Caption times are the narration's."""
    starts = {caption.start for caption in captions(told())}

    assert {start for start, _ in told().timed_cues()} <= starts


def test_captions_say_every_word() -> None:
    """Word for word, bits as digits."""
    captioned = " ".join(line for caption in captions(told()) for line in caption.lines)
    said = [cue.written.replace(HELD, " ") for _, cue in told().timed_cues() if not cue.silent]

    assert [sentence for sentence in said if sentence not in captioned] == []


def test_both_files_hold_the_same_times() -> None:
    """As many cues in each, at the same milliseconds."""
    times = [re.findall(f"{TIME} --> {TIME}", text) for text in (vtt(told()), srt(told()))]

    assert times[0] == times[1]
    assert len(times[0]) == len(list(captions(told())))


def test_the_files_have_their_marks() -> None:
    """A WebVTT file says so first; SubRip numbers from 1."""
    assert vtt(told()).startswith("WEBVTT\n\n00:00:00.000 --> ")
    assert srt(told()).startswith("1\n00:00:00,000 --> ")
