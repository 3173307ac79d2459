"""Spoken phrases are kept: the voice is asked for each once, whatever is wrong with the folder."""

from collections.abc import Sequence
from pathlib import Path

import pytest

from chalkpoint.publishing import phrases
from chalkpoint.publishing.phrases import keeping


class Counting:
    """A voice that writes down what it was asked to say."""

    def __init__(self) -> None:
        self.asked: list[tuple[str, ...]] = []

    def __call__(self, sentences: Sequence[str], words_a_minute: int) -> list[bytes]:
        """Say each sentence as its own letters."""
        self.asked.append(tuple(sentences))
        return [f"{words_a_minute} {sentence}".encode() for sentence in sentences]


def test_a_phrase_is_spoken_once(tmp_path: Path) -> None:
    """Twice in one lesson, and again in the next: only what is new is asked for, in its order."""
    voice = Counting()
    speak = keeping(voice, "one", tmp_path)

    assert speak(["a", "b", "a"], 120) == [b"120 a", b"120 b", b"120 a"]
    assert speak(["b", "c", "a"], 120) == [b"120 b", b"120 c", b"120 a"]
    assert voice.asked == [("a", "b"), ("c",)]


def test_another_voice_or_rate_is_another_phrase(tmp_path: Path) -> None:
    """Nothing of one voice is heard in another's place."""
    voice = Counting()
    keeping(voice, "one", tmp_path)(["a"], 120)
    keeping(voice, "one", tmp_path)(["a"], 100)
    keeping(voice, "two", tmp_path)(["a"], 120)

    assert voice.asked == [("a",)] * 3


def test_what_cannot_be_read_or_written_is_spoken(tmp_path: Path) -> None:
    """A broken file is spoken anew; where the folder is a file, nothing is kept and nothing fails."""
    voice = Counting()
    keeping(voice, "one", tmp_path)(["a"], 120)
    for path in tmp_path.iterdir():
        path.write_bytes(b"broken")
    assert keeping(voice, "one", tmp_path)(["a"], 120) == [b"120 a"]

    in_the_way = tmp_path / "file"
    in_the_way.write_bytes(b"")
    assert keeping(voice, "one", in_the_way)(["a"], 120) == [b"120 a"]
    assert voice.asked == [("a",)] * 3


def test_the_oldest_go_when_there_are_too_many(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No more than so many are kept."""
    monkeypatch.setattr(phrases, "MOST", 3)
    keeping(Counting(), "one", tmp_path)(list("abcdef"), 120)

    assert len(list(tmp_path.iterdir())) == 3
