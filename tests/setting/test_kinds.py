"""Worked examples with lines left out, and workings with one wrong line."""

from random import Random

import pytest

from brackwater import EVERY_KIND, papers
from chalkpoint.numbers.errors import EntryError
from chalkpoint.setting.asking import Asked, Blueprint
from chalkpoint.setting.kinds import faded_scheme, lines_shown, mistake_in, wrong_line
from chalkpoint.setting.variants import choose
from chalkpoint.working.course import Course

ITEMS = [item for paper in papers(EVERY_KIND) for item in paper.items]
MISTAKES = [item for item in ITEMS if item.kind == "mistake"]
FADED = [item for item in ITEMS if item.kind == "faded"]


def test_a_shown_mistake_has_one_wrong_line_and_a_wrong_answer() -> None:
    """Every other line follows from the one above it."""
    assert MISTAKES
    for item in MISTAKES:
        assert item.faulty is not None
        assert item.faulty.result.bits != item.working.result.bits
        line, correction, answer = item.scheme.marks
        assert line.expects == wrong_line(item.candidate, item.faulty) != ""
        assert answer.expects == item.working.result.bits
        assert correction.expects != ""


def test_each_faded_question_leaves_out_one_line_more() -> None:
    """Backward fading: the last lines go first."""
    first, second = [item for item in papers(EVERY_KIND).papers[0].items if item.kind == "faded"]

    assert first.shown == ("align", "negate", "add")
    assert second.shown == ("align", "negate")


def test_filled_in_lines_earn_no_marks() -> None:
    """Only what is left to write is marked."""
    for item in FADED:
        assert not {mark.rule for mark in item.scheme.marks} & set(item.shown)
        assert item.scheme.total < item.candidate.measure.points


def test_fading_starts_again_after_the_last_line() -> None:
    """A fourth faded subtraction shows what the first did."""
    working = FADED[0].working

    assert [len(lines_shown(working, number)) for number in (1, 2, 3, 4)] == [3, 2, 1, 3]
    assert faded_scheme(FADED[0].scheme, ()) == FADED[0].scheme


def test_operations_without_such_a_mistake_are_refused() -> None:
    """A reading has no row of bits to put right."""
    asked = Asked("decode", Course())
    slot = choose(Blueprint("L", Course()), asked, 1, "7", set())

    with pytest.raises(
        EntryError, match=r'decode has no belief to show a mistake of; ask kind = "mistake" of add'
    ):
        mistake_in(slot.chosen[0], Random(1))
