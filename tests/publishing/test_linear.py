"""Linear text for Braille: short lines, whole bit strings, every word."""

from chalkpoint.publishing.linear import CELLS, linear
from chalkpoint.teaching.digits import HELD
from lessons import told


def test_no_line_is_longer_than_a_braille_line() -> None:
    """Forty cells."""
    assert max(map(len, linear(told()).splitlines())) <= CELLS


def test_every_word_is_there() -> None:
    """In the order it is said."""
    text = " ".join(linear(told()).split())
    said = [" ".join(cue.written.replace(HELD, " ").split()) for shot in told().shots for cue in shot.cues]

    assert [sentence for sentence in said if sentence not in text] == []


def test_a_bit_string_stands_on_one_line() -> None:
    """A reader's fingers find it whole."""
    text = linear(told())

    assert any("0.1110 110" in line for line in text.splitlines())
