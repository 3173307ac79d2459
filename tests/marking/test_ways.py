"""Every way of working, run at once, writes what it writes alone."""

import random

from chalkpoint.marking.ways import WORKABLE, Way, held_method, predict, ways_for
from chalkpoint.working.beliefs.belief import compatible
from chalkpoint.working.beliefs.catalogue import BELIEFS
from chalkpoint.working.course import Course
from chalkpoint.working.procedures import answer_by
from chalkpoint.working.question import OPERATIONS, ask

COURSE = Course(accepts=("negate-then-align",))


def test_all_at_once_is_each_alone() -> None:
    """On random questions of every operation each of a sample of ways gives its own answer."""
    rng = random.Random(8)
    ways = ways_for(COURSE, frozenset(WORKABLE))
    for name in WORKABLE:
        operands = {"encode": ["-5.3"], "error": ["4.6"], "normalise": ["0.0011010 0011"]}.get(
            name, ["1.0110100 0010", "0.1011001 0000"][: OPERATIONS[name].operands]
        )
        question = ask(name, *operands, course=COURSE)
        answers = predict(question, ways)
        for number in rng.sample(range(len(ways)), 60):
            if ways[number].convention:
                continue
            alone = answer_by(held_method(ways[number], name, COURSE), question)
            assert answers[alone] >> number & 1, ways[number]


def test_every_way_gives_one_answer() -> None:
    """The sets of ways behind the answers share none and leave none out."""
    ways = ways_for(COURSE, frozenset({"add", "subtract"}))
    answers = predict(ask("subtract", "6.5", "0.7109375", course=COURSE), ways)
    assert sum(answers.values()) == (1 << len(ways)) - 1
    assert sum(mask.bit_count() for mask in answers.values()) == len(ways)


def test_accepted_methods_carry_beliefs_too() -> None:
    """A belief is tried on the course's own method and on the one it accepts."""
    ways = ways_for(COURSE, frozenset({"subtract"}))
    assert Way("negate-then-align", ("norm-skipped",)) in tuple(iter(ways))


def test_left_out_beliefs_are_in_no_way() -> None:
    """What is left out of the catalogue stands in no single and no pair."""
    ways = ways_for(COURSE, frozenset({"subtract"}), frozenset({"invert-only"}))
    assert not any("invert-only" in way.beliefs for way in ways)


def test_beliefs_on_one_step_are_no_pair() -> None:
    """Two ways to negate cannot be held at once."""
    assert not compatible(BELIEFS["invert-only"], BELIEFS["sign-bit-only"])


def test_look_alikes_are_no_pair() -> None:
    """Beliefs that pass for one another are not held together."""
    assert not compatible(BELIEFS["norm-skipped"], BELIEFS["norm-wants-point-one"])
