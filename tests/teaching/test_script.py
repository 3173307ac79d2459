"""The narration on paper and back."""

import pytest

from chalkpoint.numbers.errors import EntryError
from chalkpoint.teaching.script import read_script, script
from lessons import told


def test_an_unchanged_script_changes_nothing() -> None:
    """What is read back is what was written."""
    assert read_script(script(told()), told()) == told()


def test_a_changed_sentence_is_said_instead() -> None:
    """In its place, timed afresh, spoken digit by digit."""
    changed = script(told()).replace(
        "Compare your working with this.", "The pattern is 01010100 0011, is it not?"
    )

    cues = [cue for shot in read_script(changed, told()).shots for cue in shot.cues]

    mine = [cue for cue in cues if cue.written.startswith("The pattern is")]
    assert len(mine) == 1
    assert "nought one nought one" in mine[0].spoken


def test_a_changed_pause_is_kept() -> None:
    """Seconds and tenths."""
    changed = script(told()).replace("(pause 60 s, writing)", "(pause 42.5 s, writing)")

    assert read_script(changed, told()).milliseconds == told().milliseconds - 17_500


def test_lines_can_be_added_and_struck_out() -> None:
    """A shot says what stands under its heading, no more and no less."""
    lines = script(told()).splitlines()
    at = next(index for index, line in enumerate(lines) if "Match the exponents first." in line)
    lines[at : at + 1] = ["- One.", "- Two."]

    shots = read_script("\n".join(lines), told()).shots

    assert [cue.written for shot in shots for cue in shot.cues][-3:-1] == ["One.", "Two."]


def test_a_lost_heading_is_refused() -> None:
    """Pictures and headings belong together."""
    broken = script(told()).replace("### 3 ", "3 ")

    with pytest.raises(EntryError, match="keep every heading"):
        read_script(broken, told())
