"""What comes next, and a split screen: the rows are the working's and the belief's, and tell what they should."""

from chalkpoint.teaching.lesson import Lesson
from chalkpoint.teaching.lessonfile import lesson_from
from chalkpoint.teaching.parts import storyboard
from chalkpoint.working.wording import words_lessons as prompts


def lesson(kind: str, **keys: object) -> Lesson:
    """Return a lesson of one part."""
    return lesson_from({"part": [{"kind": kind, "question": "subtract 8.875, 3.6875", **keys}]})


def test_what_comes_next_has_the_right_row_and_three_of_beliefs() -> None:
    """Worked by hand: 3.6875 aligned is 0.0011101 with the exponent 0100; the others are beliefs'."""
    part = lesson("next", blanks=["align"]).parts[0]
    answers = [choice.answer for choice in part.choices]

    assert part.blanks == ("align",)
    assert next(choice.answer for choice in part.choices if choice.right) == "0.0011101 0100"
    assert len(set(answers)) == 4
    assert sum(bool(choice.belief) for choice in part.choices) == 3
    assert answers == sorted(answers)


def test_what_comes_next_is_asked_before_it_is_shown() -> None:
    """The question stays in sight, a pause runs, and no row of that step is seen before."""
    shots = storyboard(lesson("next", blanks=["align"])).shots
    asked = next(at for at, shot in enumerate(shots) if shot.view.kind == "choices")

    assert "8.875 \u2212 3.6875" in shots[asked].view.detail
    assert any(cue.silent and cue.written == prompts.NEXT for cue in shots[asked].cues)
    assert {shot.view.title for shot in shots[:asked] if shot.view.shown_step} == {"Read"}
    assert shots[asked + 1].view.revealed
    assert shots[asked + 2].view.title == "Match the exponents"


def test_a_split_screen_ends_where_the_two_part() -> None:
    """Who only inverts agrees in reading and matching; at the negated row 1.1100010 stands for 1.1100011."""
    shots = [s for s in storyboard(lesson("split", belief="invert-only")).shots if s.view.kind == "split"]
    said = [cue.written for shot in shots for cue in shot.cues]

    assert [shot.view.title for shot in shots] == ["Read", "Match the exponents", "Negate the second"]
    assert "Match the exponents: the same in both." in said
    assert "Negate the second: here they part." in said
    last = shots[-1].view
    assert last.working is not None
    assert last.beside is not None
    assert last.working.steps[last.step].rows[1].bits == "11100011"
    assert last.beside.steps[last.step].rows[1].bits == "11100010"
