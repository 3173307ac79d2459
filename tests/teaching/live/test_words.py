"""The room's word: enough of them, none mistaken for another, and forgiving of how it is typed."""

import random

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.teaching.live.words import WORDS, new_word, read_word


def test_there_are_enough_words_and_none_begins_like_another() -> None:
    """Two thousand combinations at the least, told apart by three letters."""
    assert len(WORDS) * (len(WORDS) - 1) >= 2000
    assert len({word[:3] for word in WORDS}) == len(WORDS) == len(set(WORDS))


def test_words_are_short_and_plain() -> None:
    """Every phone's keyboard has their letters."""
    assert all(word.isascii() and word.isalpha() and word.islower() and len(word) <= 7 for word in WORDS)


@pytest.mark.parametrize("typed", ["heron dune", " Heron  DUNE ", "heron-dune", "heron_dune", "herondune"])
def test_a_word_is_read_however_it_is_typed(typed: str) -> None:
    """Capitals, hyphens and spaces make no difference."""
    assert read_word(typed) == "heron dune"


def test_run_together_words_are_parted_in_one_way_only() -> None:
    """No two rooms share a word once its space is left out."""
    runs = [first + second for first in WORDS for second in WORDS if first != second]

    assert len(set(runs)) == len(runs)
    assert all(read_word(run).replace(" ", "") == run for run in runs[::37])


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("heron", "give the two words"),
        ("heron dunes", "did you mean dune?"),
        ("heron qqq", "look at the two words"),
    ],
)
def test_another_word_is_refused_in_a_sentence(typed: str, said: str) -> None:
    """The sentence says what to do."""
    with pytest.raises(EntryError, match=said.replace("?", r"\?")):
        read_word(typed)


def test_a_new_word_is_none_of_those_in_use() -> None:
    """The source that is passed in decides, among those left."""
    taken = [new_word(lambda words: words[0]), new_word(random.Random(1).choice)]
    fresh = new_word(lambda words: words[0], taken=taken)

    assert fresh == "anchor barge"
    assert read_word(fresh) == fresh


def test_no_word_left_is_said() -> None:
    """Only a school with six thousand rooms open comes here."""
    every = [f"{first} {second}" for first in WORDS for second in WORDS if first != second]
    with pytest.raises(EntryError, match="close a room first"):
        new_word(lambda words: words[0], taken=every)
