"""Typing in by exception: Enter takes the expected answer, and what is typed is saved as it comes."""

from collections.abc import Callable
from pathlib import Path

from chalkpoint.marking.answerfiles import read_answers
from chalkpoint.marking.answers import scripts
from chalkpoint.marking.entering import Entering, lines_that_matter
from heron import papers_of

PAPERS = papers_of(("subtract", "6.5", "1.25"), ("add", "2.75", "-1.5"), ("subtract", "5.5", "-2.25"))


def typed(*texts: str) -> Callable[[str], str | None]:
    """Return a keyboard on which *texts* are typed, one for each prompt."""
    left = iter(texts)
    return lambda prompt: next(left, None)


def test_enter_takes_the_expected_answer(tmp_path: Path) -> None:
    """A script all right is a name and an Enter for each question."""
    count = Entering(PAPERS, tmp_path / "a.csv").run(typed("Odo", "", "", "", ""))
    (odo,) = scripts(read_answers(tmp_path / "a.csv"), PAPERS)
    assert odo.written[1] == {"answer": "01010100 0011"}
    assert (count.scripts, count.keystrokes_a_script()) == (1, 8)


def test_at_most_two_lines_are_asked_for() -> None:
    """Three wrong answers lead to two lines of working and no more."""
    wrong = {1: "01010011 0011", 2: "01000000 0001", 3: "01111000 0011"}
    assert len(lines_that_matter(PAPERS.first, wrong)) == 2


def test_right_answers_ask_for_no_line() -> None:
    """Where every answer earns its marks nothing else is asked."""
    assert lines_that_matter(PAPERS.first, {1: "01010100 0011"}) == []


def test_a_broken_off_session_keeps_whole_scripts(tmp_path: Path) -> None:
    """What was finished is saved when the keyboard comes to its end."""
    Entering(PAPERS, tmp_path / "a.csv").run(typed("Odo", "", "", "", "Wren", ""))
    assert [script.student for script in scripts(read_answers(tmp_path / "a.csv"), PAPERS)] == ["Odo"]


def test_a_blank_is_no_answer(tmp_path: Path) -> None:
    """A minus stands for nothing written."""
    Entering(PAPERS, tmp_path / "a.csv").run(typed("Odo", "-", "", "", ""))
    (odo,) = scripts(read_answers(tmp_path / "a.csv"), PAPERS)
    assert 1 not in odo.written
