"""The storyboard of a lesson: what is shown, said and left to the class, in the order lessons need."""

from itertools import pairwise

import pytest

from chalkpoint.teaching import prompts
from chalkpoint.teaching.lesson import Lesson
from chalkpoint.teaching.lessonfile import lesson_from, lesson_of
from chalkpoint.teaching.parts import storyboard
from chalkpoint.teaching.storyboard import Shot
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


def test_a_step_is_named_before_it_is_done() -> None:
    """Each step's first sentence opens with its name, in a chapter of that name."""
    for _, _, name in one_working().chapters():
        shot = next(shot for shot in one_working().shots if shot.chapter == name)
        assert shot.cues[0].written.startswith(f"{name}.")


def test_a_pause_stands_before_each_heavy_step() -> None:
    """Normalising and repairing are predicted; aligning only where the sign to copy is 1."""
    negative = storyboard(lesson_of(work("subtract", "6.5", "-1.25")))
    positive = storyboard(lesson_of(work("subtract", "6.5", "1.25")))

    def predicted(told_of: object) -> set[str]:
        shots = told_of.shots  # type: ignore[attr-defined]
        return {shot.view.title for shot in shots if any(cue.written == prompts.PREDICT for cue in shot.cues)}

    assert "Match the exponents" in predicted(negative)
    assert "Match the exponents" not in predicted(positive)
    assert "Normalise" in predicted(one_working())


def test_the_value_is_checked_after_digits_move() -> None:
    """The sentence gives the values of the working's own rows."""
    said = [cue.written for shot in one_working().shots for cue in shot.cues]

    assert "Has the value changed? Yes, 3.6875 has become 3.625." in said
    assert "Has the value changed? No, it is still 5.25." in said


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


def test_a_mistake_is_marked_on_every_view_until_it_is_mended() -> None:
    """Nobody copies it down as right."""
    shots = shots_of("mistake")
    marked = [shot.view.mark == prompts.WRONG_ON_PURPOSE for shot in shots]

    assert marked == sorted(marked, reverse=True)
    assert any(marked)
    assert shots[-1].view.working is brackwater().parts[4].working


def test_a_hinge_shows_the_choices_before_the_answer() -> None:
    """A pause to think, then the right letter and each belief's own words."""
    asking, telling = (shot for shot in shots_of("hinge") if shot.view.kind == "choices")

    assert not asking.view.revealed
    assert any(cue.silent for cue in asking.cues)
    assert telling.view.revealed
    said = " ".join(cue.written for cue in telling.cues)
    assert all(choice.says in said for choice in telling.view.choices)


@pytest.mark.parametrize(
    "operation", [("encode", "-4.6"), ("decode", "10101100 0011"), ("range",), ("error", "0.3")]
)
def test_every_operation_can_be_taught(operation: tuple[str, ...]) -> None:
    """Each step becomes a chapter, the check too."""
    working = work(*operation)

    assert len(storyboard(lesson_of(working)).chapters()) == len(working.steps) + 1


def test_a_slower_pace_takes_longer() -> None:
    """The lesson's pace is kept."""
    table = {"part": [{"kind": "worked", "question": "add 1.5, 2.5"}]}
    fast: Lesson = lesson_from(table | {"pace": 150})
    slow: Lesson = lesson_from(table | {"pace": 90})

    assert storyboard(slow).milliseconds > storyboard(fast).milliseconds
