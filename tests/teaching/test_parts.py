"""The storyboard of a lesson: what is shown, said and left to the class, in the order lessons need."""

from itertools import pairwise

import pytest

from chalkpoint.teaching.lesson import Lesson
from chalkpoint.teaching.lessonfile import lesson_from, lesson_of
from chalkpoint.teaching.parts import storyboard
from chalkpoint.teaching.storyboard import Shot
from chalkpoint.working.wording import words_lessons as prompts
from chalkpoint.working.work import work
from lessons import brackwater, one_working, told


def shots_of(kind: str) -> list[Shot]:
    """Return the shots of the lesson's part of this kind."""
    index = [part.kind for part in brackwater().parts].index(kind)
    return [shot for shot in told().shots if shot.part == index]


def test_no_row_is_read_while_it_is_hidden() -> None:
    """What is read out stands on screen in that very shot."""
    for shot in told().shots:
        step = shot.view.shown_step
        if step is None:
            continue
        said = {cue.spoken for cue in shot.cues}
        for at, row in enumerate(step.rows):
            if f"{row.spoken}." in said:
                assert at not in shot.view.hidden


def test_every_row_is_shown_in_the_end() -> None:
    """The last shot of each step hides nothing."""
    shots = one_working().shots
    for one, after in pairwise(shots):
        if one.view.kind == "step" and one.view.step != after.view.step:
            assert not one.view.hidden


def test_every_step_is_a_chapter_after_the_question() -> None:
    """The question comes first, then the steps by their names, then the check."""
    names = [name for _, _, name in one_working().chapters()]

    assert names == [
        "The question",
        "Read",
        "Match the exponents",
        "Negate the second",
        "Add",
        "Normalise",
        "Check in decimal",
    ]


def test_the_question_is_said_and_estimated_first() -> None:
    """8.875 is about 9, 3.6875 about 4, so 5 is to be expected."""
    first = [cue.written for cue in one_working().shots[0].cues]

    assert first == [
        "8.875 take away 3.6875.",
        "Before any bits: about 9 take away 4, so expect about 5.",
    ]


def test_a_question_to_the_class_stands_before_digits_move() -> None:
    """Which bits fall, or what fills the gap where the sign to copy is 1; and how far to normalise."""
    negative = storyboard(lesson_of(work("subtract", "6.5", "-1.25")))
    asked = [cue.written for shot in negative.shots for cue in shot.cues if cue.silent]
    usual = [cue.written for shot in one_working().shots for cue in shot.cues if cue.silent]

    assert "What will fill the gap on the left?" in asked
    assert usual[:3] == [
        "Which bits will fall off the end?",
        "How many places, and which way?",
        "Where has it gone?",
    ]


def test_columns_are_added_from_the_right() -> None:
    """Worked by hand: 0.1000111 and 1.1100011 make 0.0101010 and a carry out of the sign place."""
    shot = next(shot for shot in one_working().shots if shot.view.title == "Add" and len(shot.cues) > 3)
    columns = [cue for cue in shot.cues if cue.moment and cue.moment.column is not None]

    assert [cue.moment.column for cue in columns if cue.moment] == [7, 6, 5, 4, 3, 2, 1, 0]
    assert [cue.moment.aside for cue in columns if cue.moment] == [
        "1 + 1 = 10",
        "1 + 1 + 1 = 11",
        "1 + 0 + 1 = 10",
        "0 + 0 + 1 = 1",
        "0 + 0 = 0",
        "0 + 1 = 1",
        "1 + 1 = 10",
        "0 + 1 + 1 = 10",
    ]
    assert columns[0].written == "One and one: nought, carry one."
    assert columns[1].written == "One, one and one: one, carry one."


def test_the_check_tells_the_gap_before_its_cause() -> None:
    """5.1875 exactly, 5.25 worked: over by 0.0625, which is what lies in the tray."""
    said = [cue.written for cue in one_working().shots[-1].cues]

    assert said[1:6] == [
        "The exact answer is 5.1875.",
        "We have 5.25: over by 0.0625.",
        "Where has it gone?",
        "Look in the tray: 0.0625.",
        "It closes the gap exactly. The bits we lost are the error.",
    ]


def test_trying_gives_the_time_asked_for() -> None:
    """Sixty seconds stand between the question and its working."""
    pauses = [cue.milliseconds for shot in shots_of("try") for cue in shot.cues if cue.silent]

    assert 60_000 in pauses


def test_a_faded_step_is_left_to_the_class() -> None:
    """Its rule is not told and its row not shown until the pause is over."""
    opening = next(shot for shot in shots_of("faded") if shot.view.title == "Repair the overflow")

    assert opening.view.detail == ""
    assert opening.view.hidden
    assert any(cue.silent for cue in opening.cues)
    assert all("raise the exponent" not in cue.written for cue in opening.cues)


def test_a_mistake_is_said_once_and_nothing_tells_where_it_is() -> None:
    """The opening says that one step is wrong; until the pause is over no step is marked, worded or laid out apart."""
    shots = shots_of("mistake")
    pause = next(at for at, shot in enumerate(shots) if any(cue.silent for cue in shot.cues))
    before = [shot for shot in shots[: pause + 1] if shot.view.kind == "step"]

    assert next(shot.view.kind for shot in shots if shot.view.mark) == "words"
    assert not any(shot.view.mark or shot.view.detail for shot in before)
    shapes = {
        shot.view.title: [
            (row.label, row.soft, row.carries, row.changed) for row in shot.view.shown_step.rows
        ]
        for shot in before
        if shot.view.shown_step
    }
    operands = [("first", False, "", ""), ("second", False, "", "")]
    assert shapes["Match the exponents"] == shapes["Negate the second"] == operands
    assert shots[pause + 1].view.mark == prompts.WRONG_ON_PURPOSE
    assert shots[-1].view.working is brackwater().parts[4].working


def test_a_mistakes_rows_are_those_of_the_faulty_working() -> None:
    """By hand: \u22121.75 moved is 1.1100100, inverted only 0.0011011; and 0.1011000 + 0.0011011 = 0.1110011."""
    rows = [
        row.bits
        for shot in shots_of("mistake")
        if shot.view.shown_step and shot.view.title == "Add" and not shot.view.mark
        for row in shot.view.shown_step.rows
    ]

    assert rows[:3] == ["01011000", "00011011", "01110011"]


def test_a_hinge_shows_the_choices_before_the_answer() -> None:
    """A pause to think, then the right letter and each belief's own words."""
    asking, telling = (shot for shot in shots_of("hinge") if shot.view.kind == "choices")

    assert not asking.view.revealed
    assert asking.view.detail == telling.view.detail == "8.875 \u2212 3.6875 in 8+4"
    assert any(cue.silent for cue in asking.cues)
    assert telling.view.revealed
    said = " ".join(cue.written for cue in telling.cues)
    assert all(choice.says in said for choice in telling.view.choices)


@pytest.mark.parametrize(
    "operation", [("encode", "-4.6"), ("decode", "10101100 0011"), ("range",), ("error", "0.3")]
)
def test_every_operation_can_be_taught(operation: tuple[str, ...]) -> None:
    """Each step becomes a chapter, the question and the check too."""
    working = work(*operation)

    assert len(storyboard(lesson_of(working)).chapters()) == len(working.steps) + 2


def test_a_slower_pace_takes_longer() -> None:
    """The lesson's pace is kept."""
    table = {"part": [{"kind": "worked", "question": "add 1.5, 2.5"}]}
    fast: Lesson = lesson_from(table | {"pace": 150})
    slow: Lesson = lesson_from(table | {"pace": 90})

    assert storyboard(slow).milliseconds > storyboard(fast).milliseconds
