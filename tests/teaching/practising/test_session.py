"""A practice session: own lines answered, levels that rise and fall, and counter-examples that are some."""

from collections.abc import Callable

import pytest

from chalkpoint.marking.judging import sheet_for
from chalkpoint.numbers.errors import EntryError
from chalkpoint.teaching.board import question_on
from chalkpoint.teaching.practising.levels import PRACTISED, top_level
from chalkpoint.teaching.practising.session import (
    Practice,
    begin,
    fill_in,
    hint,
    keep,
    next_one,
    to_write_next,
    write,
)
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import answer_by, right_method

COURSE = Course(name="12 Heron")


def expected(session: Practice) -> str:
    """Return what the line at hand should be."""
    line = to_write_next(session)
    assert line is not None
    return line.expects


def finish(session: Practice) -> Practice:
    """Return the session with every line left written as it should be."""
    while not session.finished:
        session = write(session, expected(session))
    return session


def at_line(session: Practice, rule: str) -> Practice:
    """Return the session with every line before *rule* written as it should be."""
    while (line := to_write_next(session)) is not None and line.rule != rule:
        session = write(session, line.expects)
    return session


def inverted(session: Practice) -> str:
    """Return the line at hand, a negation, as it is written by who forgets to add one."""
    digits = expected(session).partition(" ")[0].replace(".", "")
    return f"{int(digits, 2) - 1:0{len(digits)}b}"


FULL = begin("subtract", course=COURSE, seed=7, level=3)


@pytest.mark.parametrize("operation", PRACTISED)
def test_every_operation_is_practised_on_every_level(operation: str) -> None:
    """From a worked example to all lines own; what the rules write is right on each line."""
    top = top_level(operation, COURSE)
    own = []
    for level in range(top + 1):
        session = finish(begin(operation, course=COURSE, seed=3, level=level))
        assert {line.kind for line in session.board} <= {"given", "right"}
        own.append(sum(line.kind == "right" for line in session.board))

    assert own[0] == 0
    assert own[1] > 0
    assert all(line.kind == "right" for line in session.board)


def test_lines_fade_from_the_last() -> None:
    """What is given comes first."""
    session = begin("subtract", course=COURSE, seed=7, level=2)
    kinds = [line.kind for line in finish(session).board]

    assert kinds == sorted(kinds)  # given before right
    assert "given" in kinds


def test_two_questions_without_help_go_up_one_level() -> None:
    """One is not enough; a worked example goes up by itself."""
    session = next_one(begin("subtract", course=COURSE, seed=7))
    levels = [session.level]
    for _ in range(6):
        session = next_one(finish(session))
        levels.append(session.level)

    assert levels == [1, 1, 2, 2, 3, 3, 3]


def test_a_hint_breaks_the_row() -> None:
    """A question with a hint is no success without help."""
    session = next_one(finish(begin("subtract", course=COURSE, seed=7, level=1)))
    session = next_one(finish(hint(session)))

    assert (session.level, session.streak) == (1, 0)
    assert not session.done[-1].unaided


def test_a_wrong_line_waits_and_is_met_with_doubt() -> None:
    """The entry stays; what is said names no belief and does not give the line."""
    session = at_line(FULL, "negate")
    wrong = write(session, inverted(session))

    assert wrong.board == session.board
    assert wrong.draft is not None
    assert wrong.said is not None
    assert wrong.said.kind == "not yet"
    assert wrong.said.says == "Not yet. Add your answer to the original: is it zero?"
    assert wrong.shown == ("invert-only",)


def test_a_belief_brings_its_counter_example_and_goes_one_level_back() -> None:
    """The next question is one on which that belief gives another answer."""
    session = at_line(FULL, "negate")
    session = next_one(finish(write(session, inverted(session))))
    question = question_on(COURSE, session.question)
    right = right_method("subtract", COURSE)
    faulty = BELIEFS["invert-only"].method_for("subtract", right)

    assert (session.level, session.streak, session.counter) == (2, 0, True)
    assert faulty is not None
    assert answer_by(faulty, question) != answer_by(right, question)
    assert not next_one(finish(session)).counter


def test_a_wrong_line_that_is_kept_is_followed() -> None:
    """What comes from it by the right rules follows from the pupil's own line."""
    session = at_line(FULL, "negate")
    session = keep(write(session, inverted(session)))
    session = write(session, expected(session))

    assert session.said is not None
    assert session.said.kind == "follow-through"
    assert session.said.says.startswith("This follows from your own line before.")
    assert not next_one(finish(session)).done[-1].right


def test_a_wrong_line_may_be_written_anew() -> None:
    """Then the question is right, but not without help."""
    session = at_line(FULL, "negate")
    session = finish(write(session, inverted(session)))
    done = next_one(session).done[-1]

    assert (done.right, done.wrong, done.unaided) == (True, 1, False)
    assert done.first == done.own - 1


def test_hints_come_in_three_depths_and_the_deepest_is_kept() -> None:
    """Nudge, rule, show; after that the last again."""
    said = []
    session = at_line(FULL, "negate")
    for _ in range(4):
        session = hint(session)
        assert session.said is not None
        said.append((session.said.kind, session.said.says))

    assert [kind for kind, _ in said] == ["nudge", "rule", "show", "show"]
    assert said[2][1].startswith("It begins ")
    assert session.tally.hints == (("negate", "show"),)
    assert finish(session).tally.hints == (("negate", "show"),)


def test_after_a_wrong_line_the_first_hint_is_the_rule() -> None:
    """The nudge was said with it."""
    session = at_line(FULL, "negate")
    session = hint(write(session, inverted(session)))

    assert session.said is not None
    assert session.said.kind == "rule"


def test_a_pupil_who_is_stuck_goes_on() -> None:
    """The line is filled in, and is not the pupil's own."""
    session = fill_in(FULL)
    done = next_one(finish(session)).done[-1]

    assert session.board[-1].kind == "filled in"
    assert (done.filled, done.unaided, done.right) == (1, False, True)


@pytest.mark.parametrize("accepts", [(), ("one-guard-bit",)])
def test_what_is_right_under_another_method_stands(accepts: tuple[str, ...]) -> None:
    """It is said to be right another way, and the working goes on by that way, accepted or not."""
    course = Course(accepts=accepts)
    session = begin("subtract", course=course, seed=7, level=3, where=["align-shift = 2", "lost-ones = 2"])
    question = question_on(course, session.question)
    guarded = right_method("subtract", course, "one-guard-bit")
    sheet = sheet_for(question)
    page = sheet.start
    for line in guarded.lines:
        before, page = page, guarded.apply(line, page, sheet.context)
        if line.name == "align":
            break
    session = write(session, sheet.says("align", before, page).partition(";")[0])

    assert session.said is not None
    assert session.said.kind == "right elsewhere"
    assert "one guard bit is kept to the end" in session.said.says
    done = finish(session)
    assert answer_by(guarded, question) == done.board[-1].written.replace(".", "")
    assert done.tally.unaided


def test_the_same_seed_and_acts_give_the_same_session() -> None:
    """And another seed another one."""

    def run(seed: int) -> list[str]:
        session = begin("subtract", course=COURSE, seed=seed)
        for _ in range(6):
            session = next_one(finish(session))
        return [done.question for done in session.done]

    assert run(7) == run(7)
    assert run(7) != run(8)
    assert len(set(run(7))) == 6


def test_the_teachers_traits_hold_on_every_level() -> None:
    """The same demands, new digits."""
    session = begin("subtract", course=COURSE, seed=7, where=["align-shift = 2", "lost-ones >= 1"])
    for _ in range(4):
        (_, first), (_, second) = question_on(COURSE, session.question).patterns
        assert abs(first - second) == 2
        session = next_one(finish(session))


def test_small_formats_are_practised_too() -> None:
    """Where no question has a level's traits there is still one to ask."""
    for operation in PRACTISED:
        session = begin(operation, course=Course(format="4+3"), seed=1, level=1)
        assert finish(session).finished


REFUSED: list[tuple[Callable[[], object], str]] = [
    (lambda: begin("explain"), "'explain' is not practised line by line"),
    (lambda: begin("subtract", level=4), "give one from 0 to 3"),
    (lambda: begin("subtract", where=["lost-one >= 1"]), "lost-ones"),
    (lambda: write(FULL, "?"), "cannot be read"),
    (lambda: keep(FULL), "there is no line to keep"),
    (lambda: next_one(FULL), "this question is not finished"),
    (lambda: write(finish(FULL), "0"), "go on to the next one"),
    (lambda: hint(finish(FULL)), "go on to the next one"),
]


@pytest.mark.parametrize(("act", "said"), REFUSED, ids=range(len(REFUSED)))
def test_what_cannot_be_done_is_refused_in_one_sentence(act: Callable[[], object], said: str) -> None:
    """The sentence says what to do instead."""
    with pytest.raises(EntryError, match=said):
        act()
