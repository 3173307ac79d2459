"""Diagnosis: a belief is named from enough answers that show it, and nobody else is accused."""

import pytest

from chalkpoint.marking.asking import diagnose, diagnoser_for
from chalkpoint.working.beliefs.catalogue import beliefs_for
from chalkpoint.working.course import Course
from heron import answers_by, papers_of

PAPERS = papers_of()
COMMON = (
    "invert-only",
    "sub-adds",
    "align-skip",
    "norm-skipped",
    "align-fill-zeros",
    "norm-exponent-wrong-way",
)


@pytest.mark.parametrize("belief", COMMON)
def test_a_holder_is_named(belief: str) -> None:
    """Whoever works by a common belief throughout has it named, alone or among its look-alikes."""
    named = diagnose(answers_by(PAPERS, belief)).named
    assert named
    assert all(belief in finding.among for finding in named)


def test_all_right_names_nothing() -> None:
    """Right answers speak for no belief, and leave little doubt."""
    said = diagnose(answers_by(PAPERS))
    assert not said.findings
    assert said.right > 0.8


@pytest.mark.parametrize(
    "method", ["negate-then-align", "exact-then-truncate", "size-and-sign", "spare-place-first"]
)
def test_another_method_is_no_belief(method: str) -> None:
    """A pupil who is right by another method is never accused."""
    lossy = papers_of(
        ("subtract", "6.5", "0.7109375"),
        ("subtract", "1.015625", "0.9921875"),
        ("subtract", "3.984375", "0.3984375"),
        ("subtract", "5.0625", "0.6640625"),
        ("add", "6.5", "-0.7109375"),
        ("add", "2.84375", "2.28125"),
    )
    assert not diagnose(answers_by(lossy, method=method)).named


def test_one_answer_names_nothing() -> None:
    """However telling, one answer is not enough, and the report says so."""
    said = diagnose(answers_by(PAPERS, "invert-only")[:1])
    assert not said.named
    assert said.findings[0].why == "one answer is not enough"


@pytest.mark.parametrize("text", ["", "-", "see over", "1.01011E+11", "01010100 0011 or 01010011 0011"])
def test_a_blank_says_nothing(text: str) -> None:
    """Blanks, what cannot be read, and two answers at once leave the shares as they were before."""
    blank = diagnose([(question, text) for question, _ in answers_by(PAPERS)])
    assert blank.right == pytest.approx(0.5)
    assert not blank.findings


def test_two_beliefs_are_both_named() -> None:
    """A pupil who holds two beliefs has both named."""
    said = diagnose(answers_by(PAPERS, "sub-adds", "norm-exponent-wrong-way"))
    named = {name for finding in said.named for name in finding.among}
    assert {"sub-adds", "norm-exponent-wrong-way"} <= named


def test_look_alikes_are_named_as_a_class() -> None:
    """Where the answers cannot tell two beliefs apart, both stand in the class."""
    twice = papers_of(
        ("add", "3.25", "2.75"), ("add", "3.5", "2.5"), ("add", "3.25", "3.75"), ("add", "2.5", "0.75")
    )
    said = diagnose(answers_by(twice, "wrap-accepted"))
    assert {"wrap-accepted", "repair-copies-wrong-sign"} <= set(said.findings[0].among)


def test_shown_on_is_part_of_could_show_on() -> None:
    """Answers that show a belief are among those that could."""
    for belief in COMMON:
        for finding in diagnose(answers_by(PAPERS, belief)).findings:
            assert set(finding.shown_on) <= set(finding.could_show_on)


def test_untested_beliefs_are_not_clear() -> None:
    """A belief that no question could show is untested; one that could and did not is clear; none is both."""
    said = diagnose(answers_by(PAPERS))
    assert "exp-wrap-silent" in said.untested
    assert "invert-only" in said.clear
    assert not set(said.untested) & set(said.clear)


def test_a_belief_of_the_moment_is_not_named() -> None:
    """Another belief at every question is no belief held."""
    beliefs = [belief.id for belief in beliefs_for("subtract")][:8]
    changing = [answers_by(PAPERS, belief)[at] for at, belief in enumerate(beliefs)]
    assert not diagnose(changing).named


def test_posterior_adds_up_to_one() -> None:
    """The chances of all ways and of none make one."""
    diagnoser = diagnoser_for(Course(), frozenset({"add", "subtract"}))
    seen = [diagnoser.see(1, question, text) for question, text in answers_by(PAPERS, "sub-adds")]
    assert sum(diagnoser.posterior(seen)) == pytest.approx(1)


def test_working_names_what_answers_leave_open() -> None:
    """Two answers that fit two beliefs are decided by the lines of working."""
    diagnoser = diagnoser_for(Course(), frozenset({"add", "subtract"}))
    wrapped = answers_by(papers_of(("add", "3.25", "2.75"), ("add", "3.5", "2.5")), "wrap-accepted")
    bare = [diagnoser.see(at, question, text) for at, (question, text) in enumerate(wrapped, start=1)]
    lines = (("add", "misconception", ("wrap-accepted",)), ("answer", "follow-through", ()))
    worked = [diagnoser.see(one.number, one.item.question, one.answer, lines) for one in bare]
    assert set(diagnoser.diagnose_with_chances(bare)[0].findings[0].among) > {"wrap-accepted"}
    assert diagnoser.diagnose_with_chances(worked)[0].findings[0].among == ("wrap-accepted",)


@pytest.mark.parametrize("convention", ["exponent-first", "excess", "integer-mantissa"])
def test_another_convention_is_no_belief(convention: str) -> None:
    """A pupil whose answers are all right under another convention is said to follow it, and not accused."""
    diagnoser = diagnoser_for(Course(), frozenset({"add", "subtract", "decode", "encode"}))
    mixed = papers_of(
        ("decode", "1.0110000 1110"),
        ("decode", "0.1010000 0011"),
        ("encode", "-5.25"),
        ("encode", "3.5"),
        ("subtract", "6.5", "1.25"),
        ("add", "2.5", "0.75"),
    )
    number = next(at for at, way in enumerate(diagnoser.ways) if way.convention == convention)
    questions = [asked.question for asked in mixed.first.questions]
    said = diagnoser.diagnose(
        [
            (at, question, diagnoser.item(question).by(number))
            for at, question in enumerate(questions, start=1)
        ]
    )
    assert not said.named
    assert f"convention {convention}" in said.methods or said.right > 0.5
